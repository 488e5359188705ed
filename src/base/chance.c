#include "base/chance.h"

#include <math.h>

double foci_normal_cdf(double z) {
    return 0.5 * erfc(-z * 0.70710678118654752440);
}

void foci_wilson_interval(double y, double n, double z, double *low, double *high) {
    if (!(n > 0)) { /* nothing looked at, nothing known */
        *low = 0;
        *high = 1;
        return;
    }
    double middle = 2 * y + z * z;
    double half = z * sqrt(z * z + 4 * y * (1 - y / n));
    double scale = 2 * (n + z * z);
    *low = fmax(0, (middle - half) / scale);
    *high = fmin(1, (middle + half) / scale);
}
