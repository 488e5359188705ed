/* How many stops tell the field's mean, when to stop counting, and the chance to see what is rare. A stop's variance is
 * what its reading has about the field's mean; what it is made of differs by the kind of count. Stops are taken as if
 * drawn at random. Formulas: Karandinos 1976 (Bulletin of the Entomological Society of America 22:417-421), Green 1970
 * (Researches on Population Ecology 12:249-252), Kuno 1969 (ibid. 11:127-136), Madden & Hughes 1999 (Phytopathology
 * 89:1088-1103), all from memory. */
#ifndef FIELDFOCI_SAMPLE_SIZE_H
#define FIELDFOCI_SAMPLE_SIZE_H

#include "fieldfoci/error.h"

/* ---- variance of one stop ---- */

/* Counts a stop, mean > 0 a stop: a Poisson count has its mean as variance, and 1 / k = 0. */
FOCI_API double foci_variance_negative_binomial(double mean, double k);
/* a m^b, Taylor's power law (1961, Nature 189:732-735). */
FOCI_API double foci_variance_taylor(double mean, double a, double b);
/* Shares: p infected of n units looked at. theta >= 0 as in foci_incidence_dispersion; 0: the binomial itself. */
FOCI_API double foci_variance_beta_binomial(double p, double units, double theta);
/* A [p (1 - p) / n]^b, the binary power law (Hughes & Madden 1992, Phytopathology 82:1105-1109). */
FOCI_API double foci_variance_binary_power(double p, double units, double a, double b);

/* ---- stops ---- */

/* Exact numbers of stops for a coefficient of variation of the mean, and for a half-width z standard errors wide. */
FOCI_API double foci_stops_for_cv(double variance, double mean, double cv);
FOCI_API double foci_stops_for_half_width(double variance, double half_width, double z);

/* Fewer are needed where there are only so many places in the field to stop at. */
FOCI_API double foci_stops_of_finite(double stops, double places);

/* The next whole number, at least 1; what is above one by rounding alone (1e-9) counts as that one. */
FOCI_API size_t foci_stops_whole(double stops);

/* Coefficient of variation of the mean of so many stops. */
FOCI_API double foci_cv_of_mean(double variance, double mean, double stops);

/* ---- detection ---- */

/* Chance that a stop of `units` units shows none though a share p is infected. */
FOCI_API double foci_chance_of_none(double p, size_t units, double theta);

/* Chance that it shows `least` or more. */
FOCI_API double foci_chance_of_hits(double p, size_t units, double theta, size_t least);

/* Stops, each with a chance `none` of showing none, until all of them do so with a chance of `miss` only. */
FOCI_API double foci_stops_to_detect(double none, double miss);

/* ---- stopping early: lines for the total count after so many stops, which must come in random order ---- */

/* Stop at or above it: the mean has this coefficient of variation. NaN up to 1 / (k cv^2) stops. */
FOCI_API double foci_stop_line_negative_binomial(double stops, double k, double cv);
FOCI_API double foci_stop_line_taylor(double stops, double a, double b, double cv);

/* Two parallel lines, slope x stops +- height: above the upper the mean is `high`, below the lower `low` (Wald 1945,
 * Annals of Mathematical Statistics 16:117-186). */
typedef struct {
    double slope, height;
} foci_decision_lines;

/* `error`: the chance of either mistake. Shares of units: `stops` are single units; counts: of a common k. */
FOCI_API foci_decision_lines foci_decision_lines_binomial(double low, double high, double error);
FOCI_API foci_decision_lines foci_decision_lines_negative_binomial(double low, double high, double k, double error);

/* ---- power laws from several fields ---- */

typedef struct {
    double a, b;
} foci_power_law;

/* y = a x^b by least squares of the logarithms. FOCI_BAD_INPUT for fewer than two different x, or one of either not
 * above 0. */
FOCI_API bool foci_power_law_fit(foci_power_law *out, const double *x, const double *y, size_t count,
                                 foci_error *err) FOCI_MUST_CHECK;

#endif
