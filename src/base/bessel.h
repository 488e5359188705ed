/* The modified Bessel function of the second kind, for the Matern model of any smoothness. */
#ifndef FOCI_BASE_BESSEL_H
#define FOCI_BASE_BESSEL_H

#ifdef __cplusplus
extern "C" {
#endif

/* K_order(x), x > 0. */
double foci_bessel_k(double order, double x);

#ifdef __cplusplus
}
#endif

#endif
