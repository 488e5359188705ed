/* Mean and sums of squares of a few numbers. */
#ifndef FOCI_DECIDE_MOMENTS_H
#define FOCI_DECIDE_MOMENTS_H

#include <stddef.h>

typedef struct {
    double n, mean;
    double squares, fourths; /* sums of (x - mean)^2 and (x - mean)^4; exactly 0 where all numbers are equal */
} foci_moments;

foci_moments foci_moments_of(const double *values, size_t count);

/* Pearson's correlation; NaN where either does not vary. `order` NULL: b as it stands; else b[order[i]] beside a[i]. */
double foci_correlation(const double *a, const double *b, const size_t *order, size_t count);

#endif
