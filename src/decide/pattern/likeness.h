/* One test of whether stops close together read more alike than chance would make them. */
#ifndef FOCI_DECIDE_LIKENESS_H
#define FOCI_DECIDE_LIKENESS_H

#include "fieldfoci/execution.h"
#include "fieldfoci/pattern.h"

enum {
    FOCI_LIKENESS_RANGES =
        4, /* kernels exp(-h / a), a = 1/2, 1, 2 and 4 times the distance between evenly spread stops */
    FOCI_LIKENESS_STOPS = 1000 /* more stops than this: so many of them, drawn by lot */
};

typedef struct {
    double row_heading; /* degrees clockwise from grid north; NaN: kernels that reach equally far in all directions
                           only; else also those that reach 2.5 times as far along the rows as across */
    uint64_t seed;
    size_t permutations;
} foci_likeness_options;

/* The share of the readings' orders (their own among them) at least as alike as their own: `*p`, NaN for fewer than
 * three stops and where readings do not differ. Readings are empirical logits log((y + 1/2) / (n - y + 1/2)) of counts
 * (Haldane 1956, Annals of Human Genetics 20:309; from memory) and ranks of scores, less their mean, z. For each kernel
 * w the sum of w_ij z_i z_j is held against its own mean and deviation over all orders; the largest of these counts,
 * for the readings as for every other order, so that the level holds over all kernels looked at together (Westfall &
 * Young 1993, Resampling-Based Multiple Testing; from memory). */
bool foci_likeness_test(double *p, const foci_readings *readings, foci_reading_kind kind,
                        const foci_likeness_options *options, const foci_execution *how,
                        foci_error *err) FOCI_MUST_CHECK;

#endif
