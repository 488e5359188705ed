/* Owen's T function. */
#ifndef FOCI_DECIDE_OWEN_H
#define FOCI_DECIDE_OWEN_H

/* T(h, a) = 1/(2 pi) integral from 0 to a of exp(-h^2 (1 + u^2) / 2) / (1 + u^2) du, h and a >= 0, infinity included:
 * the chance that a standard normal pair lies beyond h and below a times that (Owen 1956, Ann. Math. Stat. 27:1075).
 * 12-point Gauss-Legendre quadrature, with his equation 2.3 for a above 1. */
double foci_owen_t(double h, double a);

#endif
