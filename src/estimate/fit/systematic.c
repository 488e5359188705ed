#include "estimate/fit/systematic.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

size_t foci_systematic(size_t *taken, const double *weight, size_t count, size_t wanted) {
    double total = 0, passed = 0;
    size_t next = 0, drawn = 0;
    for (size_t i = 0; i < count; i++)
        total += weight[i];
    for (size_t i = 0; i < count; i++) {
        taken[i] = 0;
        passed += weight[i];
        while (next < wanted && (passed >= ((double)next + 0.5) / (double)wanted * total || i + 1 == count)) {
            next++;
            taken[i]++;
        }
        drawn += taken[i] > 0;
    }
    return drawn;
}

bool foci_systematic_draw(foci_drawn *out, size_t *distinct, const double *weight, const size_t *path, size_t steps,
                          size_t wanted, foci_error *err) {
    size_t kept = 0;
    double *along = foci_new_array(steps, sizeof *along, err);
    size_t *taken = along ? foci_new_array(steps, sizeof *taken, err) : NULL;
    for (size_t step = 0; taken && step < steps; step++)
        along[step] = weight[path[step]];
    if (taken)
        foci_systematic(taken, along, steps, wanted);
    for (size_t step = 0; taken && step < steps; step++)
        if (taken[step] > 0)
            out[kept++] = (foci_drawn){path[step], (double)taken[step] / (double)wanted};
    *distinct = kept;
    const bool ok = taken != NULL;
    free(along);
    free(taken);
    return ok;
}

double foci_level_quantile(const double *level, const double *weight, size_t count, double share) {
    double passed = weight[0];
    size_t i = 0;
    while (i + 1 < count && passed < share)
        passed += weight[++i];
    return level[i];
}

double foci_cell_quantile(const double *level, const double *weight, size_t count, double share) {
    double step = log(level[1] / level[0]), passed = 0;
    size_t i = 0;
    while (i + 1 < count && passed + weight[i] < share)
        passed += weight[i++];
    double inside = weight[i] > 0 ? (share - passed) / weight[i] : 0.5;
    return level[i] * exp((fmin(fmax(inside, 0), 1) - 0.5) * step);
}

foci_interval foci_level_interval(const double *level, const double *weight, size_t count) {
    return (foci_interval){foci_level_quantile(level, weight, count, 0.05),
                           foci_level_quantile(level, weight, count, 0.5),
                           foci_level_quantile(level, weight, count, 0.95)};
}

foci_interval foci_cell_interval(const double *level, const double *weight, size_t count) {
    return (foci_interval){foci_cell_quantile(level, weight, count, 0.05),
                           foci_cell_quantile(level, weight, count, 0.5),
                           foci_cell_quantile(level, weight, count, 0.95)};
}
