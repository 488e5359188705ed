/* How severity varies with distance: empirical semivariances, the models, and the fit. */
#ifndef FIELDFOCI_VARIOGRAM_H
#define FIELDFOCI_VARIOGRAM_H

#include "fieldfoci/correlation.h"
#include "fieldfoci/stops.h"

/* gamma(h) = nugget + partial_sill x (1 - R(h / range)) for h > 0, and 0 at h = 0: the nugget is a jump. */
typedef struct {
    const foci_correlation *kind;
    double nugget;       /* reading's unit squared */
    double partial_sill; /* reading's unit squared */
    double range;        /* meters; the model's own distance parameter, exp(-h / range) */
    double heading;      /* degrees clockwise from grid north: direction of the longest range */
    double ratio;        /* shortest / longest range, 0 < ratio <= 1 */
    double smoothness;   /* Matern only */
    char fit[32];        /* "given", "weighted-squares", or "constant" where all readings are equal */
    double squares;      /* the fit's criterion at its minimum, NaN where not fitted */
} foci_variogram;

/* Distance at which the correlation has fallen to 0.05, meters (the range itself where it ends there). */
FOCI_API double foci_variogram_practical_range(const foci_variogram *model);

/* Distance after stretching by heading and ratio: h^2 = u^2 + (v / ratio)^2, u along the heading. */
FOCI_API double foci_variogram_distance(const foci_variogram *model, foci_point from, foci_point to);

/* Semivariance between two places, reading's unit squared. */
FOCI_API double foci_variogram_at(const foci_variogram *model, foci_point from, foci_point to);

typedef struct {
    size_t pairs;
    double distance;     /* mean distance of the pairs, meters */
    double semivariance; /* mean of half the squared difference (Matheron 1963) */
} foci_variogram_bin;

typedef struct {
    size_t count;
    foci_variogram_bin *bins; /* bins without a pair are left out */
    double lag, farthest;     /* meters */
    size_t stops;             /* that the pairs are of: of more than 10,000 a draw, where they have too many pairs */
} foci_semivariances;

/* Pairs with distance in (lower, upper]. `lag`, `farthest` 0: farthest one third of the diagonal of the bounding box,
 * lag one fifteenth of that. FOCI_BAD_INPUT for fewer than two stops; FOCI_BAD_SETTING for a lag above it. */
FOCI_API bool foci_semivariances_make(foci_semivariances *out, const foci_readings *readings, double lag,
                                      double farthest, foci_error *err) FOCI_MUST_CHECK;

/* The same of the true shares behind counts, percent squared: pairs weigh n_i n_j / (n_i + n_j), and the binomial's own
 * part is taken off, so that a bin may fall below 0 (McNeill 1991; Oliver, Webster, Lajaunie & Muir 1998, Mathematical
 * Medicine and Biology 15:279, weights after Monestiez et al. 2006, Ecological Modeling 193:615; from memory). */
FOCI_API bool foci_semivariances_of_shares(foci_semivariances *out, const foci_readings *readings, double lag,
                                           double farthest, foci_error *err) FOCI_MUST_CHECK;

/* The same of the pairs whose direction, either way, is within `tolerance` degrees (above 0, at most 90; its edge
 * included) of `heading`, degrees clockwise from grid north. FOCI_BAD_SETTING for another tolerance. */
FOCI_API bool foci_semivariances_toward(foci_semivariances *out, const foci_readings *readings, double heading,
                                        double tolerance, double lag, double farthest, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_semivariances_free(foci_semivariances *semivariances);

/* Reads "spherical,nugget=0.05,partial-sill=0.59,range=897,heading=30,ratio=0.6,smoothness=1.5", or a model's name
 * alone: then *complete is false and the parameters are to be fitted. FOCI_BAD_SETTING says what is wrong and what
 * would do. */
FOCI_API bool foci_variogram_parse(foci_variogram *out, bool *complete, const char *text,
                                   foci_error *err) FOCI_MUST_CHECK;

/* Weighted least squares with weights pairs / distance^2 (Cressie 1985), the minimum over several starts, isotropic.
 * `kind` NULL: the model with the least criterion of those tried by default. FOCI_NO_FIT where there are no bins. */
FOCI_API bool foci_variogram_fit(foci_variogram *out, const foci_semivariances *semivariances,
                                 const foci_correlation *kind, double smoothness, foci_error *err) FOCI_MUST_CHECK;

#endif
