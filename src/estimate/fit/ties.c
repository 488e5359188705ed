#include "estimate/fit/ties.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/fit/systematic.h"

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
static size_t on_path(size_t step, size_t tie_count) {
    size_t draw = step / tie_count, tie = step % tie_count;
    return draw * tie_count + (draw % 2 == 0 ? tie : tie_count - 1 - tie);
}

bool foci_ties_draw(foci_tied *out, size_t *count, const double *weight, size_t draws, size_t tie_count, size_t wanted,
                    foci_error *err) {
    const size_t steps = draws * tie_count;
    size_t kept = 0;
    bool ok = false;
    double *path = foci_new_array(steps, sizeof *path, err);
    size_t *taken = path ? foci_new_array(steps, sizeof *taken, err) : NULL;
    if (!taken)
        goto done;
    for (size_t step = 0; step < steps; step++)
        path[step] = weight[on_path(step, tie_count)];
    foci_systematic(taken, path, steps, wanted);
    for (size_t step = 0; step < steps; step++) {
        const size_t i = on_path(step, tie_count);
        if (taken[step] > 0)
            out[kept++] = (foci_tied){i / tie_count, i % tie_count, (double)taken[step] / (double)wanted};
    }
    *count = kept;
    ok = true;
done:
    free(path);
    free(taken);
    return ok;
}
