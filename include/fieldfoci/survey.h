/* One survey: all of its nouns side by side, from the stops to the zones, the options that it was made by, and how far
 * it is. What exports, map and report read. */
#ifndef FIELDFOCI_SURVEY_H
#define FIELDFOCI_SURVEY_H

#include "fieldfoci/checks.h"
#include "fieldfoci/cross_validation.h"
#include "fieldfoci/dig_points.h"
#include "fieldfoci/economics.h"
#include "fieldfoci/field.h"
#include "fieldfoci/gaps.h"
#include "fieldfoci/hotspots.h"
#include "fieldfoci/marks.h"
#include "fieldfoci/paper.h"
#include "fieldfoci/pattern.h"
#include "fieldfoci/photo.h"
#include "fieldfoci/profile.h"
#include "fieldfoci/stops.h"
#include "fieldfoci/zones.h"

/* What a survey is made by: the steps' own options side by side, and what more than one of them goes by. Texts are
 * borrowed by whoever is handed them and copied where they are kept; NULL where not given. Open is NaN where 0 could be
 * meant, FOCI_OPEN for whole numbers, NULL for rows of a catalog. */
typedef struct {
    const char *boundary;         /* the file of the field's boundary */
    foci_field_options field;     /* its `crs` is that of the stops */
    foci_stops_options stops;     /* what they leave open the disease's profile may tell */
    const char *work_crs;         /* the projected system to work in; else the UTM zone of the field's center */
    const char *disease;          /* a built-in profile's name or a profile file */
    const char *even_so;          /* the reason for going on past a guard of the trade */
    const char *earlier;          /* survey folder of an earlier season of the same field */
    double row_heading;           /* degrees clockwise from true north; NaN: not assumed */
    foci_variogram variogram;     /* kind NULL: open; range NaN: this kind is fitted; else taken as known */
    foci_surface_options surface; /* its area, heading, limits and variogram are filled by the fit */
    bool at_places;        /* to be asked at places only: however few stops are fitted, nothing is judged, and scores
                              are taken as they are where the scale is open; else as a map takes them */
    bool cross_validation; /* also where there are more than 1,000 stops */
    foci_pattern_options pattern;   /* its seed, heading and posterior are filled by the fit */
    double cell;                    /* of the grid, meters; 0: from the field's size and the stops' spacing */
    foci_hotspots_options hotspots; /* least_area_ha NaN: a quarter of the squared stop spacing; the rest is filled */
    foci_zones_options zones; /* dig_chance NaN: 0.2, or the treat chance where cost and loss make that lower; headings
                                 and the lane's place are filled */
    foci_point lane_through;  /* longitude, latitude of a place on the middle of one lane; NaN: open */
    foci_economics_options economics; /* both, or neither; they set the treat chance to cost / loss */
    foci_dig_points_options digs;     /* `count` counts, 0: none; the rest is filled */
    foci_point gate;                  /* longitude, latitude where the walk to the dig-checks starts; NaN: open */
    size_t seed;                      /* of all draws */
    const char *season, *title;       /* labels; else from the stops' dates, and the finding */
    const char *photo, *credit; /* a photo's file to lie under the map, and whose it is; else what the file says */
    const char *letter_from;    /* who signs the letter */
    const char *marks;          /* file of what people know the field by */
    const foci_paper *paper;    /* never NULL once made */
} foci_survey_options;

/* Everything as `map` does it where nothing is said: the reading is the caller's to name, and for zones the
 * threshold. */
FOCI_API foci_survey_options foci_survey_options_make(void);

/* A copy that owns its texts; freed with the second. */
FOCI_API bool foci_survey_options_copy(foci_survey_options *out, const foci_survey_options *options,
                                       foci_error *err) FOCI_MUST_CHECK;
FOCI_API void foci_survey_options_free(foci_survey_options *copy);

/* A list of sentences that it owns. */
typedef struct {
    size_t count;
    char **items;
} foci_sentences;

FOCI_API bool foci_sentences_add(foci_sentences *sentences, foci_error *err, const char *format, ...) FOCI_MUST_CHECK
    FOCI_PRINTF(3, 4);
/* One text, with `between` between two; owned by the caller. */
FOCI_API char *foci_sentences_join(const foci_sentences *sentences, const char *between,
                                   foci_error *err) FOCI_MUST_CHECK;
FOCI_API void foci_sentences_free(foci_sentences *sentences);

/* A job as people read it: the name of each option, and its value as it would be written. Files have their names alone.
 */
typedef struct {
    foci_sentences names, values; /* one of each for each option */
} foci_job_words;

FOCI_API void foci_job_words_free(foci_job_words *job);

/* An earlier season's survey that was read along; texts are owned. */
typedef struct {
    char *survey;    /* as it was named; NULL where none was */
    char *season;    /* "" if none */
    char sha256[65]; /* what it is, by content */
    char *words;     /* what became of it, one sentence; the numbers are in model.facts.earlier */
} foci_earlier;

/* How far a survey is: each step leaves the next one. */
typedef enum {
    FOCI_STAGE_EMPTY,
    FOCI_STAGE_TAKEN,     /* stops and field are there (foci_survey_read, _take) */
    FOCI_STAGE_CHECKED,   /* the readings are made (_check, _recall) */
    FOCI_STAGE_FITTED,    /* method and verdict (_fit) */
    FOCI_STAGE_ESTIMATED, /* grid and surface (_estimate) */
    FOCI_STAGE_DECIDED,   /* hotspots, zones, dig-checks, cautions, warnings (_decide, _map) */
    FOCI_STAGE_END
} foci_stage;

/* One survey, from the stops to the zones. Everything in it is owned; {0} is an empty one. */
typedef struct {
    foci_stage stage;
    foci_survey_options options; /* as asked */
    foci_survey_options used;    /* as settled so far: the job is printed of it, and repeats the survey */
    foci_job_words job;          /* the job of a survey that is decided */
    size_t input_count;
    char **inputs; /* the files of the stops, as they were named */
    /* what was found, and where */
    foci_stops stops;
    foci_field field; /* input.file NULL where no field was given */
    foci_findings findings;
    bool has_profile;
    foci_profile profile;
    foci_readings readings;
    char work_crs[256];
    /* what was estimated, and how sure it is */
    double threshold;   /* reading's unit; NaN where none */
    double row_heading; /* degrees clockwise from grid north; NaN where not stated */
    double area;        /* square meters: of the field, else of the ground that the stops stand for */
    foci_grid grid;
    foci_surface_options method;
    foci_surface_model model;
    foci_earlier earlier;
    foci_surface surface; /* estimate NULL where too few stops make no map: the stops speak for themselves */
    bool *unspoken; /* per cell of the grid: in the field, but no stop speaks for it; NULL before it is known; owned */
    foci_gaps gaps; /* how far a stop speaks, and how much of the field none speaks for */
    bool has_pattern; /* the readings were judged; false for a single one */
    foci_pattern pattern;
    bool has_cross_validation;
    foci_cross_validation cross_validation;
    /* what to do about it */
    foci_hotspots_options hotspots_options;
    foci_zones_options zones_options;
    bool has_zones;     /* false where there are too few stops or no pattern, or the disease does not live in the soil:
                           no hotspots and zones then */
    char *no_zones_why; /* the reason; owned */
    foci_hotspots hotspots;
    foci_zones zones;
    bool has_economics; /* cost and loss were given */
    foci_economics_options economics_options;
    foci_economics economics;
    foci_dig_points digs;
    /* labels */
    char *season;                 /* "" if none; owned */
    char *title;                  /* owned */
    char *rated;                  /* "above-ground", "dug" or ""; owned */
    char *first_date, *last_date; /* of the used stops, "" if undated; owned */
    char made[32];                /* ISO 8601, UTC */
    char *letter_from;            /* who signs the letter, "" if nobody; owned */
    foci_photo photo;             /* under the map; {0}: none */
    foci_marks marks;             /* what people know the field by */
    const foci_paper *paper;      /* a row of foci_paper_table; NULL: the standard one */
    foci_sentences cautions;
    foci_sentences warnings;
    foci_sentences even_so; /* reasons given for going on past a guard */
} foci_survey;

/* Whether the survey is at this stage or a later one; FOCI_TOO_EARLY names the step that is missing. */
FOCI_API bool foci_survey_is_at(const foci_survey *survey, foci_stage stage, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_survey_free(foci_survey *survey);

#endif
