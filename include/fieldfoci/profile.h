/* Disease profiles: what a disease is, where it lives, how it is read, and what must be said about it. */
#ifndef FIELDFOCI_PROFILE_H
#define FIELDFOCI_PROFILE_H

#include "fieldfoci/error.h"

/* A fact and where it comes from: a publication, or "common practice, no source". */
typedef struct {
    char *text;
    char *source;
} foci_fact;

typedef enum {
    FOCI_LIVES_SOIL,
    FOCI_LIVES_RESIDUE,
    FOCI_LIVES_WIND,
    FOCI_LIVES_VECTOR,
    FOCI_LIVES_UNKNOWN /* a profile of no one disease */
} foci_habitat;

typedef struct {
    char *name;  /* as typed: letters, digits, hyphens */
    char *title; /* "Southern stem rot of peanut" */
    char *crop;
    char *cause; /* organism, Latin name */
    foci_habitat lives_in;
    foci_fact habitat; /* the sentence on where it lives */
    foci_fact seen;    /* where on the plant it shows first */
    foci_fact when;    /* when in the season it shows first; "" where nothing is known, likewise below */
    size_t look_for_count;
    foci_fact *look_for; /* what to look for, step by step as one walks up to a plant */
    bool dig_first;
    foci_fact dig;       /* why to dig before one counts, or why not */
    foci_fact diagnosis; /* how sure a diagnosis in the field is */
    char *unit;          /* "percent of 1-ft (30 cm) row sections infected" */
    double least, most;  /* what a score can be, least where nothing is found; both 0: as the unit has it */
    char *scale;         /* built-in ordinal scale by which it is scored, the unit being percent of it; "" if none */
    char *value_column, *hits_column, *checked_column; /* usual column names, "" if none */
    char *rated;                                       /* "above-ground" or "dug"; "": as each survey says */
    bool laboratory;                                   /* a laboratory's word is needed before anyone treats */
    foci_fact laboratory_why;
    double threshold; /* NaN unless published */
    foci_fact threshold_why;
    foci_fact too_late;      /* when it is too late to protect plants in this season; "" where nothing is known */
    bool too_late_in_season; /* symptoms mean it: what is mapped can serve the next season only */
    char *next_season; /* what can be done then, "longer rotation, wider rows"; "" where this season can be helped */
    foci_fact margin;  /* why a zone should reach past what was found, and how far; "" where not */
    double theta;      /* of the beta-binomial, as plans take it; NaN unless published */
    foci_fact aggregation; /* how unevenly it lies; "" where nothing is known */
    size_t look_alike_count;
    foci_fact *look_alikes;
    size_t caution_count;
    foci_fact *cautions;
} foci_profile;

/* `name_or_file`: a built-in profile's name, or a JSON file. Errors name the file and the member that is wrong; an
 * unknown name suggests built-in ones (FOCI_BAD_SETTING). */
FOCI_API bool foci_profile_read(foci_profile *out, const char *name_or_file, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_profile_free(foci_profile *profile);

/* Names of the built-in profiles in alphabetical order; NULL past the last. */
FOCI_API const char *foci_profile_name(size_t index);

/* "soil", "residue", "wind" or "vector"; NULL where no disease is meant. */
FOCI_API const char *foci_habitat_name(foci_habitat lives_in);

/* Whether zones and a comparison of places between seasons may make sense: false where it is known that they do not. */
FOCI_API bool foci_habitat_keeps_places(foci_habitat lives_in);

#endif
