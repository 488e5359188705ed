/* Gaussian fields made up from a stated seed, for judging what is said of readings that were not used. */
#ifndef FOCI_TESTS_SIMULATED_SCORES_H
#define FOCI_TESTS_SIMULATED_SCORES_H

#include "base/linear.h"
#include "fieldfoci/variogram.h"
#include "support/readings.h"

/* A number in (0, 1) by splitmix64 (Steele, Lea & Flood 2014, OOPSLA): a pair of it may enter Box and Muller's formula,
 * which a pair of a multiplicative generator may not. */
static inline double support_uniform(uint64_t *seed) {
    uint64_t z = *seed += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return ((double)((z ^ (z >> 31)) >> 11) + 0.5) / 9007199254740992.0;
}

/* Standard normal (Box & Muller 1958, Annals of Mathematical Statistics 29:610-611). */
static inline double support_normal(uint64_t *seed) {
    double a = support_uniform(seed), b = support_uniform(seed);
    return sqrt(-2 * log(a)) * cos(6.283185307179586 * b);
}

/* `count` places in a square of `side` metres, and readings with this covariance and mean at them (of the latent scale;
 * freed by support_readings_free). */
static inline foci_readings support_simulated(const foci_variogram *model, double mean, double side, size_t count,
                                              uint64_t *seed) {
    foci_readings readings = support_random_readings(count, 1);
    double *covariance = calloc(count, count * sizeof *covariance), *draws = calloc(count, sizeof *draws);
    foci_error err = {0};
    for (size_t i = 0; i < count; i++) {
        readings.places[i] = (foci_point){side * support_uniform(seed), side * support_uniform(seed)};
        draws[i] = support_normal(seed);
    }
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j <= i; j++)
            covariance[i + j * count] =
                model->nugget + model->partial_sill - foci_variogram_at(model, readings.places[i], readings.places[j]);
    assert_done(foci_linear_factor(covariance, count, &err), err);
    for (size_t i = 0; i < count; i++) {
        readings.values[i] = mean;
        for (size_t j = 0; j <= i; j++)
            readings.values[i] += covariance[i + j * count] * draws[j];
    }
    free(covariance);
    free(draws);
    return readings;
}

#endif
