#include "estimate/fit/ties.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

double foci_ties_weigh(double *weight, const double *log_likelihood, const double *draw_weight, size_t draws,
                       const foci_tie *ties, size_t tie_count) {
    double best = -INFINITY, sum = 0;
    for (size_t i = 0; i < draws * tie_count; i++)
        best = fmax(best, log_likelihood[i] - log_likelihood[i - i % tie_count]);
    for (size_t i = 0; i < draws * tie_count; i++)
        sum += weight[i] = draw_weight[i / tie_count] * ties[i % tie_count].prior *
                           exp(log_likelihood[i] - log_likelihood[i - i % tie_count] - best);
    for (size_t i = 0; i < draws * tie_count; i++)
        weight[i] /= sum;
    return best + log(sum);
}

/* The ties of every second draw run backwards, so that neighbors on the path are alike. */
bool foci_ties_draw(foci_drawn *out, size_t *count, const double *weight, size_t draws, size_t tie_count, size_t wanted,
                    foci_error *err) {
    const size_t steps = draws * tie_count;
    size_t *path = foci_new_array(steps, sizeof *path, err);
    for (size_t step = 0; path && step < steps; step++) {
        const size_t draw = step / tie_count, tie = step % tie_count;
        path[step] = draw * tie_count + (draw % 2 == 0 ? tie : tie_count - 1 - tie);
    }
    bool ok = path && foci_systematic_draw(out, count, weight, path, steps, wanted, err);
    free(path);
    return ok;
}
