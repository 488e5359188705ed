/* Aggregation of infected units among units looked at: index of dispersion, C(alpha), beta-binomial. */
#ifndef FOCI_DECIDE_BETA_BINOMIAL_H
#define FOCI_DECIDE_BETA_BINOMIAL_H

#include "fieldfoci/pattern.h"

/* Unequal numbers looked at are allowed; they must be whole, at least 1 and at most a million, hits between 0 and them,
 * else all is NaN. Where no unit or every unit is infected only the share is known. Where the readings are no more
 * spread than the binomial, the most likely rho and theta are 0; where each stop is all healthy or all infected rho is
 * 1 and theta NaN (infinite). Sources: Madden, Hughes & van den Bosch 2007, chapter 9; Tarone 1979, Biometrika
 * 66:585-590; Smith 1983, Applied Statistics 32:196-204 (the likelihood and its derivatives as sums). */
bool foci_beta_binomial_make(foci_incidence_dispersion *out, const double *hits, const double *checked, size_t count,
                             foci_error *err) FOCI_MUST_CHECK;

#endif
