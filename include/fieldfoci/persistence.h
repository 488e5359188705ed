/* Do hotspots come back? Two or more seasons' readings of one field, read together. A place is hot in a season where
 * the true severity there is at or above that season's threshold. Method, evidence and limits: docs/seasons.md. */
#ifndef FIELDFOCI_PERSISTENCE_H
#define FIELDFOCI_PERSISTENCE_H

#include <stdint.h>

#include "fieldfoci/estimate.h"
#include "fieldfoci/execution.h"
#include "fieldfoci/grid.h"
#include "fieldfoci/stops.h"

enum { FOCI_SEASONS_MOST = 12 };

/* One season; everything is borrowed. */
typedef struct {
    const foci_readings *readings; /* places in the work system common to all seasons, meters */
    foci_reading_kind kind;        /* the same for all seasons */
    /* scores only: the readings on the scale that is near normal, readings->count numbers; NULL: readings->values */
    const double *values;
    double threshold; /* counts: percent of units infected, above 0 and below 100; scores: on the scale of `values` */
    /* what the survey is, by content (64 hexadecimal digits): its draws are keyed to it, and seasons are worked in its
     * order, so that the order of the seasons changes no overlap. No two alike. */
    const char *key;
    const char *why_not; /* why this season cannot be compared ("it has too few stops"); NULL where it can */
} foci_persistence_season;

typedef struct {
    double row_heading; /* degrees clockwise from grid north; NaN: the same in all directions */
    double area_ha;     /* of the field, geodesic: expected areas add up to it */
    uint64_t seed;
} foci_persistence_options;

/* No rows, seed 1; the area is the caller's to state. */
FOCI_API foci_persistence_options foci_persistence_options_make(void);

/* How often a place was hot. With N of S seasons hot: always N = S; never N = 0; often 2 <= N < S and (N >= S / 2 or
 * the last season hot); new: only the last season; gone: the last season not, N >= 1, not often. The code of a cell in
 * `classes` is this number; FOCI_CLASS_UNSURE: none has a chance of one half. */
typedef enum {
    FOCI_CLASS_NEVER,
    FOCI_CLASS_GONE,
    FOCI_CLASS_NEW,
    FOCI_CLASS_OFTEN,
    FOCI_CLASS_ALWAYS,
    FOCI_CLASS_UNSURE,
    FOCI_CLASS_END
} foci_class;

/* "always"; for FOCI_CLASS_END NULL. */
FOCI_API const char *foci_class_name(foci_class code);

/* The class of a place that was hot in these seasons (in the order of time); seasons >= 2. */
FOCI_API foci_class foci_class_of(const bool *hot, size_t seasons);

/* Two seasons held against each other. */
typedef struct {
    size_t first, second; /* in the order given */
    /* "came back", "some sign", "cannot tell"; "not hot anywhere" where even the upper bound of one season's hot area
     * is less than what one of its stops stands for; "no comparison"; static */
    const char *verdict;
    const char *why_not;      /* why there is no comparison, or no area: the season's reason, borrowed; else NULL */
    size_t reason;            /* the season whose reason that is */
    double rho;               /* share of the variation that the seasons have in common, mean by weight ... */
    double rho_low, rho_high; /* ... its 5 % and 95 % points, on a grid of eleven values ... */
    double rho_none;          /* ... and the weight of 0 */
    double p;                 /* chance of so much likeness where nothing comes back */
    double ratio;             /* counts: the likelihood ratio behind p; else NaN */
    double correlation, effective; /* scores: of the two maps, and the sample size they are worth; else NaN */
    /* hectares; NaN where not defined or not compared */
    foci_estimate both, only_first, only_second, neither;
    foci_estimate by_chance;     /* of `both`, if the seasons had nothing to do with each other */
    double jaccard, dice, kappa; /* of the expected areas; NaN where nothing is hot */
} foci_season_pair;

typedef struct {
    size_t seasons;
    const char *method; /* static: what was done, in one line */
    foci_estimate
        hot[FOCI_SEASONS_MOST]; /* per season, in the order given, hectares; NaN where it cannot be compared */
    foci_estimate classes[FOCI_CLASS_UNSURE]; /* by class, hectares; NaN where fewer than two seasons can be compared */
    size_t compared;                          /* seasons that the classes speak of */
    size_t pair_count;
    foci_season_pair *pairs; /* all of them: 0-1, 0-2, ..., 1-2, ...; owned */
    /* Per cell of the grid, NaN (class: -1) outside the field; owned. All are joint: each place is judged by all
     * seasons together, so they differ from the seasons' own maps. NULL where fewer than two can be compared. */
    double *hot_seasons;               /* expected number of seasons hot */
    double *chance[FOCI_SEASONS_MOST]; /* of being hot in season s; NULL where it cannot be compared */
    double *class_chance[FOCI_CLASS_UNSURE];
    int *class_code;
} foci_persistence;

/* FOCI_BAD_SETTING: fewer than two or more than FOCI_SEASONS_MOST seasons, kinds that differ, the same key twice, a
 * count's threshold that is no share; FOCI_NO_FIT where no model can be fitted. */
FOCI_API bool foci_persistence_make(foci_persistence *out, const foci_persistence_season *seasons, size_t count,
                                    const foci_grid *grid, const foci_persistence_options *options,
                                    const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_persistence_free(foci_persistence *persistence);

#endif
