#include "decide/zones/lanes_runs.h"

#include <stdlib.h>

#include "base/memory.h"

/* The best sequence of the first i steps that ends on (or off) with a run of at least the least length. */
typedef struct {
    double sum;
    size_t switches;
    bool exists;
    bool extends; /* one step more of the run of step i - 1; else the run has just reached the least length */
} best_end;

static bool is_better(const best_end *a, const best_end *b) {
    if (!a->exists || !b->exists)
        return a->exists;
    return a->sum > b->sum || (a->sum == b->sum && a->switches < b->switches);
}

/* Steps from - 1 ... to - 1 become one run, after the sequence that ends before them. */
static best_end add_run(best_end before, bool on, const double *value, size_t from, size_t to) {
    for (size_t i = from; on && i < to; i++)
        before.sum += value[i];
    return before;
}

/* ends[2 i + on]: see best_end. A run either grows by a step or starts `least` steps back, where the other state had
 * lasted long enough. */
static void fill(best_end *ends, const double *value, size_t count, size_t least) {
    for (size_t i = least; i <= count; i++) {
        for (int on = 0; on < 2; on++) {
            best_end extended = add_run(ends[2 * (i - 1) + (size_t)on], on, value, i - 1, i);
            best_end started = {.exists = true};
            if (i > least) {
                started = ends[2 * (i - least) + (size_t)!on];
                started.switches++;
            }
            started = add_run(started, on, value, i - least, i);
            bool extends = !is_better(&started, &extended);
            best_end *end = &ends[2 * i + (size_t)on];
            *end = extends ? extended : started;
            end->extends = extends;
        }
    }
}

bool foci_lanes_runs(bool *on, const double *value, size_t count, size_t least, foci_error *err) {
    best_end *ends = foci_new_array(2 * (count + 1), sizeof *ends, err);
    if (!ends)
        return false;
    fill(ends, value, count, least);
    bool state = !is_better(&ends[2 * count], &ends[2 * count + 1]);
    for (size_t i = count; i > 0;) {
        bool extends = ends[2 * i + (size_t)state].extends;
        size_t length = extends ? 1 : least;
        for (size_t k = i - length; k < i; k++)
            on[k] = state;
        i -= length;
        state = extends ? state : !state;
    }
    free(ends);
    return true;
}
