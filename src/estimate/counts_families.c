#include "estimate/counts_families.h"

#include "estimate/fast_exp.h"

FOCI_WIDE_VECTORS static void fill_exponential(double *restrict out, const double *restrict distance, size_t count,
                                               double scale) {
#pragma omp simd
    for (size_t i = 0; i < count; i++)
        out[i] = foci_fast_exp(-scale * distance[i]);
}

FOCI_WIDE_VECTORS static void fill_matern_15(double *restrict out, const double *restrict distance, size_t count,
                                             double scale) {
#pragma omp simd
    for (size_t i = 0; i < count; i++) {
        double q = scale * distance[i];
        out[i] = (1 + q) * foci_fast_exp(-q);
    }
}

/* Roots of exp(-q) = 0.05 and (1 + q) exp(-q) = 0.05. */
const foci_counts_family foci_counts_families[FOCI_COUNTS_FAMILIES + 1] = {
    {"exponential", "exponential", 2.995732273553991, fill_exponential},
    {"matern", "Matern, smoothness 1.5", 4.74386451839058, fill_matern_15},
    {0},
};
