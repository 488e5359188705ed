/* The correlation families of the counts surface. Their range is the practical one in every family: the distance at
 * which the correlation is 0.05, so that one prior serves all. */
#ifndef FOCI_ESTIMATE_COUNTS_FAMILIES_H
#define FOCI_ESTIMATE_COUNTS_FAMILIES_H

#include <stddef.h>

typedef struct {
    const char *name;  /* as in the catalogue of variogram models where it stands there too */
    const char *title; /* for summaries */
    double practical;  /* c: correlation 0.05 at q = c h / range with h = range */
    /* out[i] = correlation at q = scale x distance[i]; `out` may not overlap `distance` */
    void (*fill)(double *out, const double *distance, size_t count, double scale);
} foci_counts_family;

/* Ends with a row of zeros; the order is the order of the parameter grid. */
extern const foci_counts_family foci_counts_families[];

enum { FOCI_COUNTS_FAMILIES = 2 };

#endif
