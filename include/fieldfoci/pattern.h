/* Is the disease patchy? Aggregation and autocorrelation of the readings, and the field's mean. */
#ifndef FIELDFOCI_PATTERN_H
#define FIELDFOCI_PATTERN_H

#include <stdint.h>

#include "fieldfoci/estimate.h"
#include "fieldfoci/execution.h"
#include "fieldfoci/stops.h"

/* Throughout: NaN where a number is not defined (too few stops, readings that do not differ, unequal effort ...). */

/* One measure of how alike neighboring stops are. */
typedef struct {
    double value, expectation; /* the expectation where place does not matter */
    double variance;           /* under randomization (Cliff & Ord 1981, Spatial Processes) */
    double z, p;               /* positive where neighbors are alike; p one-sided, of the normal distribution */
    double permuted_p;         /* share of permutations at least as patchy, the readings' own order among them */
} foci_pattern_test;

/* The same measure at one stop. */
typedef struct {
    size_t neighbours;
    double moran, moran_expectation, moran_variance; /* local Moran (Anselin 1995), row-standardized weights; moments
                                                        given the stop's own reading (Sokal et al. 1998) */
    double moran_z, moran_p, moran_q;                /* p two-sided; q = p held against all stops at once */
    double gi_z, gi_p, gi_q;                         /* Gi* (Ord & Getis 1995), the stop itself included */
} foci_local_test;

/* Least distance that infected units would have to be moved for every stop to hold the field's mean (Perry 1995). */
typedef struct {
    double distance;      /* meters a unit, summed over the units moved; of scores: in the reading's unit x meters */
    double expected;      /* its mean over permutations */
    double index, p;      /* distance / expected; share of permutations at least as far, the own one among them */
    const char *left_out; /* why it was not worked out, static; NULL where it was */
} foci_transport_index;

/* Counts of infected units, where all stops looked at equally many. m: mean, s2: variance (n - 1), T: total. */
typedef struct {
    double mean, variance;
    double ratio, chi_squared, z, p; /* s2 / m; (n - 1) s2 / m; normal approximation; chi-squared above */
    double crowding, patchiness;     /* Lloyd 1967: m + s2 / m - 1; that over m */
    double morisita;                 /* 1959: n sum x(x - 1) / (T (T - 1)) */
    double green;                    /* 1966: (s2 / m - 1) / (T - 1) */
    double k_moments, k;             /* of the negative binomial; k by maximum likelihood */
    double poisson_log_likelihood;   /* natural logarithms, all constants in */
    double negative_binomial_log_likelihood;
} foci_count_dispersion;

/* y infected of n looked at, n may differ from stop to stop. */
typedef struct {
    double share;                      /* sum y / sum n */
    double dispersion, chi_squared, p; /* D; (stops - 1) D and its chance */
    double c_alpha_z, c_alpha_p;       /* Tarone 1979, one-sided */
    double rho_moments, theta_moments; /* theta = rho / (1 - rho) = 1 / (alpha + beta) */
    double beta_share, rho, theta;     /* beta-binomial by maximum likelihood; theta and rho 0: the binomial itself */
    double binomial_log_likelihood;    /* binomial coefficients in */
    double beta_binomial_log_likelihood;
} foci_incidence_dispersion;

typedef struct {
    foci_estimate mean; /* of the field, reading's unit; of one stop without bounds */
    double declustered; /* mean with each stop weighted by the ground it stands for */
    double cell;        /* side of the cells used for that, meters */
    double crowding;    /* correlation of stop density with the readings; NaN where stops are evenly spread */
    double crowding_p;  /* share of permutations with at least this correlation */
    bool preferential;  /* stops crowd the bad spots: the mean and the map run high */
} foci_field_mean;

/* What drives headline, hotspots, zones, dig-checks and everything after them. */
typedef enum {
    FOCI_VERDICT_PATCHY,
    FOCI_VERDICT_UNCLEAR,    /* these stops cannot tell */
    FOCI_VERDICT_NO_PATTERN, /* stops close together are no more alike than chance makes them: go by the average */
    FOCI_VERDICT_TOO_FEW,    /* fewer than FOCI_STOPS_FOR_MAP stops */
    FOCI_VERDICT_END
} foci_verdict;

/* "patchy", "unclear", "no pattern found", "too few stops". */
FOCI_API const char *foci_verdict_name(foci_verdict verdict);

typedef struct {
    foci_verdict verdict;
    const char *why;   /* the rule that decided, a clause; static */
    bool all_equal;    /* the readings do not differ */
    double no_pattern; /* the surface's own weight of no pattern; NaN where it has no posterior */
    double likeness_p; /* of the one permutation test that speaks where it has none; NaN where not defined */
    size_t count;
    size_t isolated;      /* stops without a neighbor within the band */
    double spacing, band; /* meters */
    double neighbours;    /* mean number a stop */
    size_t permutations;
    foci_pattern_test moran, geary, general_g; /* binary weights; General G only where no reading is negative */
    double moran_normal_variance, moran_normal_z, moran_normal_p;
    foci_pattern_test joins; /* neighbors that both have any disease (reading above 0) */
    foci_transport_index transport;
    foci_count_dispersion counts;
    foci_incidence_dispersion incidence;
    foci_field_mean field;
    foci_local_test *local; /* per reading, in their order; owned */
} foci_pattern;

typedef struct {
    double band; /* neighbor distance, meters; 0: 1.5 times the spacing */
    uint64_t seed;
    size_t permutations; /* 0: 999 */
    double row_heading;  /* degrees clockwise from grid north; NaN where not stated */
    double no_pattern;   /* the posterior weight of no pattern (foci_fit_summary); NaN where there is none */
} foci_pattern_options;

/* Everything by the readings: their own band, 999 permutations, no rows, no posterior. */
FOCI_API foci_pattern_options foci_pattern_options_make(void);

/* FOCI_BAD_SETTING for a weight of no pattern outside 0 to 1, for a negative band, or one that makes more than 4
 * million pairs. Few or equal readings are no error: what they do not allow is NaN. */
FOCI_API bool foci_pattern_make(foci_pattern *out, const foci_readings *readings, foci_reading_kind kind,
                                const foci_pattern_options *options, const foci_execution *how,
                                foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_pattern_free(foci_pattern *pattern);

/* Plants beside each other in one row, in their order: few runs of sick and healthy ones mean that disease spreads
 * along the row (Madden, Louie, Abt & Knoke 1982, Phytopathology 72:195-198). */
typedef struct {
    double runs, expected, deviation;
    double z, p; /* with the correction of + 0.5; z below -1.64: clustered; p one-sided */
} foci_runs;

FOCI_API void foci_runs_count(foci_runs *out, const bool *infected, size_t count);

#endif
