/* How alike two places are by the distance between them: the catalog that kriging, counts, scores and seasons share. */
#ifndef FIELDFOCI_CORRELATION_H
#define FIELDFOCI_CORRELATION_H

#include "fieldfoci/error.h"

/* Who tries a row where none is named. */
enum { FOCI_TRIED_BY_COUNTS = 1, FOCI_TRIED_BY_SCORES = 2, FOCI_TRIED_BY_SEASONS = 4 };

/* One row. The correlation R(q) falls from 1 at q = 0; q = distance / range, the model's own distance parameter. */
typedef struct {
    const char *name;  /* "spherical" */
    const char *title; /* 1 - R(q) in plain text, as variograms are written */
    bool has_smoothness;
    double smoothness; /* where none is stated; 0 where the row has none */
    unsigned tried_by; /* FOCI_TRIED_BY_... */
    double (*at)(double q, double smoothness);
    /* as foci_correlation_fill, in one vectorized loop; NULL: by `at` */
    void (*fill)(double *out, const double *distance, size_t count, double rate, double smoothness);
    double (*slope)(double q, double smoothness); /* q dR/dq; NULL: by a central difference */
    const char *reference;
} foci_correlation;

/* Ends with a row of zeros. */
FOCI_API extern const foci_correlation foci_correlations[];

/* The row of this name, or NULL. */
FOCI_API const foci_correlation *foci_correlation_find(const char *name);

/* out[i] = R(rate x distance[i]), rate = 1 / range. `out` is `distance` or does not overlap it. */
FOCI_API void foci_correlation_fill(const foci_correlation *row, double *out, const double *distance, size_t count,
                                    double rate, double smoothness);

/* q at which the correlation has fallen to 0.05; 1 where it ends there. */
FOCI_API double foci_correlation_practical(const foci_correlation *row, double smoothness);

/* q dR/dq at q >= 0; where the row has no slope of its own, to about 1e-9. */
FOCI_API double foci_correlation_slope(const foci_correlation *row, double q, double smoothness);

/* A row with its smoothness, measured by its practical range, so that one prior of ranges serves all rows. */
typedef struct {
    const foci_correlation *row;
    double smoothness;
    double practical; /* foci_correlation_practical */
} foci_correlation_family;

enum { FOCI_CORRELATION_FAMILIES = 8 };

/* Fills `families` with the row that is named, or where it is NULL with those tried by `who` (a FOCI_TRIED_BY_...), up
 * to FOCI_CORRELATION_FAMILIES; returns how many. `smoothness` 0: the row's own. */
FOCI_API size_t foci_correlation_families(foci_correlation_family families[FOCI_CORRELATION_FAMILIES],
                                          const foci_correlation *named, double smoothness, unsigned who);

#endif
