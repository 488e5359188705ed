/* Probability: the normal distribution and intervals of shares. */
#ifndef FOCI_BASE_CHANCE_H
#define FOCI_BASE_CHANCE_H

/* The 95 % quantile of the standard normal distribution. */
#define FOCI_NORMAL_95 1.6448536269514722

/* Standard normal distribution function, by erfc: full relative accuracy in both tails. */
double foci_normal_cdf(double z);

/* Wilson (1927) interval of a share, y of n at standard normal quantile z. Checked against Newcombe 1998 (Stat. Med.
 * 17:857). */
void foci_wilson_interval(double y, double n, double z, double *low, double *high);

#endif
