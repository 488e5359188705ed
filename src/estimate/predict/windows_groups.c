#include "estimate/predict/windows.h"

#include <stdlib.h>

#include "base/memory.h"

enum { HALVINGS = 3 };
_Static_assert(1 << HALVINGS == FOCI_COUNTS_GROUPS, "each halving doubles the groups");

typedef struct {
    double u, v, key; /* place, and what is sorted by */
    size_t stop;
} candidate;

static int compare(const void *a, const void *b) {
    const candidate *first = a, *second = b;
    if (first->key != second->key)
        return first->key < second->key ? -1 : 1;
    return (first->stop > second->stop) - (first->stop < second->stop);
}

/* Sorts along the longer side, so that the halves are compact. */
static void sort_along(candidate *part, size_t count) {
    double least_u = part[0].u, most_u = least_u, least_v = part[0].v, most_v = least_v;
    for (size_t i = 1; i < count; i++) {
        least_u = part[i].u < least_u ? part[i].u : least_u;
        most_u = part[i].u > most_u ? part[i].u : most_u;
        least_v = part[i].v < least_v ? part[i].v : least_v;
        most_v = part[i].v > most_v ? part[i].v : most_v;
    }
    for (size_t i = 0; i < count; i++)
        part[i].key = most_u - least_u >= most_v - least_v ? part[i].u : part[i].v;
    qsort(part, count, sizeof *part, compare);
}

/* The stops of a part nearest to its middle. */
static bool make_group(foci_observations *out, const foci_observations *stops, candidate *part, size_t count,
                       foci_error *err) {
    size_t which[FOCI_COUNTS_GROUP], wanted = count < FOCI_COUNTS_GROUP ? count : FOCI_COUNTS_GROUP;
    double u = 0, v = 0;
    for (size_t i = 0; i < count; i++) {
        u += part[i].u / (double)count;
        v += part[i].v / (double)count;
    }
    for (size_t i = 0; i < count; i++)
        part[i].key = (part[i].u - u) * (part[i].u - u) + (part[i].v - v) * (part[i].v - v);
    qsort(part, count, sizeof *part, compare);
    for (size_t i = 0; i < wanted; i++)
        which[i] = part[i].stop;
    return foci_observations_pick(out, stops, which, wanted, err);
}

bool foci_counts_groups_make(foci_observations groups[FOCI_COUNTS_GROUPS], const foci_observations *stops,
                             foci_error *err) {
    size_t first[FOCI_COUNTS_GROUPS + 1] = {0};
    foci_observations made[FOCI_COUNTS_GROUPS] = {{0}};
    candidate *all = foci_new_array(stops->count, sizeof *all, err);
    bool ok = false;
    if (!all)
        goto done;
    for (size_t i = 0; i < stops->count; i++)
        all[i] = (candidate){stops->along[i], stops->across[i], 0, i};
    for (size_t g = 0; g <= FOCI_COUNTS_GROUPS; g++)
        first[g] = g * stops->count / FOCI_COUNTS_GROUPS;
    for (size_t parts = 1; parts < FOCI_COUNTS_GROUPS; parts *= 2)
        for (size_t part = 0; part < parts; part++) {
            size_t step = FOCI_COUNTS_GROUPS / parts, from = first[part * step], to = first[(part + 1) * step];
            sort_along(all + from, to - from);
        }
    for (size_t g = 0; g < FOCI_COUNTS_GROUPS; g++)
        if (!make_group(&made[g], stops, all + first[g], first[g + 1] - first[g], err))
            goto done;
    for (size_t g = 0; g < FOCI_COUNTS_GROUPS; g++) {
        groups[g] = made[g];
        made[g] = (foci_observations){0};
    }
    ok = true;
done:
    foci_counts_groups_free(made);
    free(all);
    return ok;
}

void foci_counts_groups_free(foci_observations groups[FOCI_COUNTS_GROUPS]) {
    for (size_t g = 0; g < FOCI_COUNTS_GROUPS; g++)
        foci_observations_free(&groups[g]);
}
