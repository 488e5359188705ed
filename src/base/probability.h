/* Probability: the normal, chi-squared and Student distributions, and intervals of shares. */
#ifndef FOCI_BASE_PROBABILITY_H
#define FOCI_BASE_PROBABILITY_H

/* The 95 % quantile of the standard normal distribution. */
#define FOCI_NORMAL_95 1.6448536269514722

/* Standard normal distribution function, by erfc: full relative accuracy in both tails. */
double foci_normal_cdf(double z);

/* Exceedance probability: the chance that what is estimated is at or above `threshold`, given estimate and variance of
 * a normal error; a variance of 0 gives 0 or 1. */
double foci_exceedance(double estimate, double variance, double threshold);

/* Chance that a standard normal pair of this correlation lies below h and below k: Drezner & Wesolowsky (1990, J. Stat.
 * Comput. Simul. 35:101), by 20-point Gauss-Legendre quadrature. Within 1e-11 for correlations of -0.97 to 0.97; at -1
 * and 1 exact. NaN outside -1 ... 1. */
double foci_normal_pair_below(double h, double k, double correlation);

/* Regularised upper incomplete gamma function Q(a, x), a > 0, x >= 0, and incomplete beta function I_x(a, b), a, b > 0,
 * 0 <= x <= 1 (Abramowitz & Stegun 1964, 6.5.29, 6.5.31 and 26.5.8). NaN outside. Small chances keep their digits. */
double foci_gamma_above(double a, double x);
double foci_beta_below(double a, double b, double x);

/* Chance of at least x for chi-squared, and of at least t for Student's t. NaN unless degrees > 0. */
double foci_chi_squared_above(double x, double degrees);
double foci_student_above(double t, double degrees);

/* The 95 % quantile of Student's t, degrees >= 1; NaN below. */
double foci_student_95(double degrees);

/* Wilson (1927) interval of a share, y of n at standard normal quantile z. Checked against Newcombe 1998 (Stat. Med.
 * 17:857). */
void foci_wilson_interval(double y, double n, double z, double *low, double *high);

#endif
