#include "fieldfoci/pattern.h"

#include <math.h>

#include "base/probability.h"

void foci_runs_count(foci_runs *out, const bool *infected, size_t count) {
    *out = (foci_runs){NAN, NAN, NAN, NAN, NAN};
    if (count == 0)
        return;
    double n = (double)count, m = 0;
    out->runs = 1;
    for (size_t i = 0; i < count; i++) {
        m += infected[i];
        out->runs += i > 0 && infected[i] != infected[i - 1];
    }
    double product = 2 * m * (n - m), variance = product * (product - n) / (n * n * fmax(n - 1, 1));
    out->expected = 1 + product / n;
    if (!(variance > 0))
        return;
    out->deviation = sqrt(variance);
    out->z = (out->runs + 0.5 - out->expected) / out->deviation;
    out->p = foci_normal_cdf(out->z);
}
