#include "decide/digs/owen.h"

#include <math.h>
#include <stddef.h>

#include "base/probability.h"

#define TWO_PI 6.283185307179586

/* Beyond this T is below 1e-300. */
#define FARTHEST 37.0

/* Nodes above 0 on [-1, 1] and their weights. */
static const double node[] = {0.1252334085114689,  0.36783149899818018, 0.58731795428661748,
                              0.76990267419430469, 0.90411725637047491, 0.98156063424671924};
static const double weight[] = {0.24914704581340277, 0.23349253653835481, 0.20316742672306592,
                                0.16007832854334622, 0.10693932599531843, 0.047175336386511828};

static double integrand(double half_square, double u) {
    double stretched = 1 + u * u;
    return exp(-half_square * stretched) / stretched;
}

/* a <= 1. */
static double by_quadrature(double h, double a) {
    double half_square = 0.5 * h * h, middle = 0.5 * a, sum = 0;
    for (size_t i = 0; i < sizeof node / sizeof *node; i++)
        sum += weight[i] *
               (integrand(half_square, middle * (1 - node[i])) + integrand(half_square, middle * (1 + node[i])));
    return sum * middle / TWO_PI;
}

double foci_owen_t(double h, double a) {
    if (h > FARTHEST || a == 0)
        return 0;
    if (a <= 1)
        return by_quadrature(h, a);
    double above = foci_normal_cdf(-h);
    if (isinf(a))
        return h > 0 ? 0.5 * above : 0.25;
    double far = foci_normal_cdf(-a * h); /* upper tails in place of the formula's lower ones: nothing cancels */
    return 0.5 * (above + far) - above * far - (a * h > FARTHEST ? 0 : by_quadrature(a * h, 1 / a));
}
