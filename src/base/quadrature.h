/* Gauss-Hermite quadrature against the standard normal density, 21 points: exact for polynomials up to degree 41. */
#ifndef FOCI_BASE_QUADRATURE_H
#define FOCI_BASE_QUADRATURE_H

enum { FOCI_HERMITE = 21 };

extern const double foci_hermite_node[FOCI_HERMITE], foci_hermite_weight[FOCI_HERMITE];

#endif
