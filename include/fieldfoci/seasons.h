/* Several rounds of one field side by side, and what they say together. What the pictures, the files and the report of
 * a comparison read. */
#ifndef FIELDFOCI_SEASONS_H
#define FIELDFOCI_SEASONS_H

#include "fieldfoci/persistence.h"
#include "fieldfoci/survey.h"

/* A connected place of one class, as it is in persistence.gpkg. */
typedef struct {
    int id; /* from 1, over the places of the classes always, often, new and gone, largest first; 0 for the others */
    foci_class code;
    double area_ha;              /* geodesic, clipped to the field */
    double chance;               /* mean chance of its class; of an unsure place the mean of its likeliest class */
    bool hot[FOCI_SEASONS_MOST]; /* seasons in which the mean chance of being hot is at least one half */
    foci_point centre;           /* longitude, latitude: inside it where the centroid is not */
    foci_multipolygon lonlat;    /* WGS84; owned */
    foci_multipolygon shape;     /* meters, clipped to the field; owned */
} foci_class_place;

typedef struct {
    size_t count;
    foci_class_place *items; /* class by class, always first, then often, new, gone, never, unsure */
    double unsure_ha;        /* of the map: of all unsure places */
} foci_class_places;

/* Cells of one class that share a side belong together; places smaller than `least_ha` (one stop's share of the field)
 * and not already never or unsure become unsure, and `persistence->class_code` says so too. */
FOCI_API bool foci_class_places_make(foci_class_places *out, foci_persistence *persistence, const foci_grid *grid,
                                     const foci_field *field, double least_ha, foci_error *err) FOCI_MUST_CHECK;
FOCI_API void foci_class_places_free(foci_class_places *places);

typedef struct {
    size_t count;
    foci_survey *rounds; /* oldest first; owned. Each has its surface on `grid` (its own method, its own chances), no
                           hotspots, zones or digs; a season of too few stops, or that is fenced off, has no surface;
                           field and work system are the same in all */
    char **surveys;      /* what each was called: its folder, or the history's entry; owned */
    char (*keys)[65];    /* what each is, by content; owned */
    foci_grid grid;      /* common to all */
    foci_persistence persistence;
    foci_class_places places;
    double row_heading;              /* common to all, degrees clockwise from grid north; NaN: none */
    foci_job_words job;              /* every option of the comparison as it was used */
    char made[32];                   /* ISO 8601, UTC */
    char *title;                     /* owned */
    char *fences[FOCI_SEASONS_MOST]; /* what keeps a season from being compared ("it is of another disease ..."), NULL
                                        where nothing does; owned */
    foci_sentences sentences;        /* what was found, the headline first */
    foci_sentences cautions, warnings, even_so;
} foci_seasons;

FOCI_API void foci_seasons_free(foci_seasons *seasons);

/* What the season's survey is called without saying where on the machine it lies. Borrowed. */
FOCI_API const char *foci_seasons_survey_name(const foci_seasons *seasons, size_t season);

/* What the season is called: its label, or its survey's name where it has none or another season has the same.
 * Borrowed. */
FOCI_API const char *foci_seasons_label(const foci_seasons *seasons, size_t season);

/* The class as people read it: of two seasons "both" and "neither", else its name. */
FOCI_API const char *foci_seasons_class_word(const foci_seasons *seasons, foci_class code);

#endif
