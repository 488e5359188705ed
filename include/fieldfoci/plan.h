/* A plan for scouting: where to walk, what to write down, and what that can tell. What forms and field sheet read. */
#ifndef FIELDFOCI_PLAN_H
#define FIELDFOCI_PLAN_H

#include "fieldfoci/layout.h"
#include "fieldfoci/paper.h"
#include "fieldfoci/profile.h"
#include "fieldfoci/survey.h"

/* What a plan is made by; field, reading, disease, row heading, gate, seed and labels are those of a survey's options.
 */
typedef struct {
    const foci_layout_pattern *pattern; /* NULL: a grid */
    size_t stops;                       /* FOCI_OPEN: as many as for_mean or patch_ha ask for */
    double for_mean;                    /* coefficient of variation of the field's mean; 0: not asked */
    double patch_ha;                    /* a patch to be found; 0: not asked */
    double chance;                      /* with which it is to be found */
    double margin;                      /* meters; NaN: as foci_layout_options */
    double expect;                      /* the field's mean, reading's unit; NaN: from elsewhere */
    double aggregation;  /* counts: theta; scores: deviation over mean of the stops; NaN: from elsewhere */
    const char *digs;    /* survey folder whose dig-checks are the plan; NULL: none */
    const char *earlier; /* survey folders, one a line, oldest first; NULL: none */
} foci_plan_options;

/* Everything open, a patch to be found with a chance of 0.8. */
FOCI_API foci_plan_options foci_plan_options_make(void);

/* What is written down at each stop. */
typedef struct {
    foci_reading_kind kind;
    char *value, *hits, *checked; /* the form's columns; NULL where there is none; owned */
    char *unit;                   /* owned */
    double units;                 /* looked at in a stop; NaN for scores */
    bool units_stated;            /* as the options say, and the form's column `checked` is filled */
    const char *units_why;        /* where they are from; static */
} foci_plan_reading;

/* What the mean of all stops will be worth, if the disease is as it is expected. */
typedef struct {
    double mean;                            /* reading's unit */
    const char *mean_why, *aggregation_why; /* where they are from; static */
    double aggregation;                     /* as in foci_plan_options */
    double variance;                        /* of one stop about the field's mean, squared unit */
    double cv;                              /* of the mean of all stops */
    double half_width;                      /* of its 90 % interval, reading's unit */
} foci_plan_precision;

/* What becomes of a round patch somewhere in the field. */
typedef struct {
    double share;    /* of units infected in it, percent: three times the threshold; NaN for scores */
    double shows;    /* chance that a stop in it reads at or above the threshold and the map marks it; scores: 1 */
    double patch_ha; /* asked for; 0: none */
    double chance; /* that a stop in it does; the map then marks it to treat, or to dig and look; NaN without a patch */
    double one_stop; /* chance that one stop at least falls into it */
    double sure_ha;  /* the least patch found with the chance that the options name; NaN: none in this field */
    double wanted;   /* that chance */
} foci_plan_detection;

typedef struct {
    foci_field field;
    bool has_profile;
    foci_profile profile;
    foci_plan_reading reading;
    bool of_digs;                       /* the dig-checks of a survey */
    const foci_layout_pattern *pattern; /* NULL of digs */
    foci_layout layout;
    char **names;                  /* of the stops, layout.count; owned */
    char **notes;                  /* what is known of each beforehand, "" for nothing; layout.count; owned */
    foci_plan_precision precision; /* zeros of digs, as the next one */
    foci_plan_detection detection;
    size_t surveys; /* earlier ones that it goes by */
    double rho; /* share of their pattern that is expected to come back; NaN where none of an earlier season is read */
    double row_heading; /* degrees clockwise from true north; NaN where not stated */
    const foci_paper *paper;
    char *title, *season;                        /* "" if none; owned */
    char made[32];                               /* ISO 8601, UTC */
    foci_sentences facts;                        /* what the plan can tell */
    foci_sentences cautions, warnings, messages; /* messages: what was assumed */
} foci_plan;

FOCI_API void foci_plan_free(foci_plan *plan);

#endif
