#include "fieldfoci/first_look.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/probability.h"
#include "base/text.h"

static const double two_sided_95 = 1.959963984540054;

void foci_share_interval(double hits, double checked, double *low, double *high) {
    foci_wilson_interval(hits, checked, two_sided_95, low, high);
    *low *= 100;
    *high *= 100;
}

/* Pooled stops have readings of their own. */
static bool counts(const foci_stop *stop) {
    return stop->used || stop->pooled_into != FOCI_NOT_POOLED;
}

/* ---- groups ---- */

typedef const char *name_of(const foci_stop *stop);

static const char *day_of(const foci_stop *stop) {
    return stop->date;
}

static const char *rater_of(const foci_stop *stop) {
    return stop->rater ? stop->rater : "";
}

static foci_reading_group *group_of(foci_reading_groups *groups, const char *name) {
    for (size_t i = 0; i < groups->count; i++)
        if (foci_text_same(groups->items[i].name, name))
            return &groups->items[i];
    groups->items[groups->count] = (foci_reading_group){.name = name};
    return &groups->items[groups->count++];
}

static int compare_groups(const void *a, const void *b) {
    const char *first = ((const foci_reading_group *)a)->name, *second = ((const foci_reading_group *)b)->name;
    return *first && *second ? strcmp(first, second) : (*first == '\0') - (*second == '\0');
}

static bool group_by(foci_reading_groups *out, const foci_stops *stops, name_of *name, foci_error *err) {
    foci_reading_groups groups = {0, foci_new_array(stops->count, sizeof *groups.items, err)};
    if (!groups.items)
        return false;
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        if (!counts(stop))
            continue;
        foci_reading_group *group = group_of(&groups, name(stop));
        group->stops++;
        group->mean += (stop->value - group->mean) / (double)group->stops;
        group->hits += stop->hits;
        group->checked += stop->checked;
    }
    if (groups.count > 0)
        qsort(groups.items, groups.count, sizeof *groups.items, compare_groups);
    if (groups.count > 0 && *groups.items->name) {
        *out = groups;
        return true;
    }
    foci_reading_groups_free(&groups);
    *out = groups;
    return true;
}

bool foci_reading_groups_by_day(foci_reading_groups *out, const foci_stops *stops, foci_error *err) {
    return group_by(out, stops, day_of, err);
}

bool foci_reading_groups_by_rater(foci_reading_groups *out, const foci_stops *stops, foci_error *err) {
    return group_by(out, stops, rater_of, err);
}

void foci_reading_groups_free(foci_reading_groups *groups) {
    free(groups->items);
    *groups = (foci_reading_groups){0};
}

/* ---- order ---- */

typedef struct {
    double value;
    size_t stop;
} ranked;

static int compare_ranked(const void *a, const void *b) {
    const ranked *first = a, *second = b;
    if (first->value != second->value)
        return first->value > second->value ? -1 : 1;
    return first->stop < second->stop ? -1 : 1;
}

bool foci_stops_ranked(size_t **out, size_t *count, const foci_stops *stops, bool lowest_first, foci_error *err) {
    size_t found = 0;
    size_t *order = foci_new_array(stops->count, sizeof *order, err);
    ranked *rank = order ? foci_new_array(stops->count, sizeof *rank, err) : NULL;
    if (!rank) {
        free(order);
        return false;
    }
    for (size_t i = 0; i < stops->count; i++)
        if (counts(&stops->items[i]))
            rank[found++] = (ranked){lowest_first ? -stops->items[i].value : stops->items[i].value, i};
    if (found > 0)
        qsort(rank, found, sizeof *rank, compare_ranked);
    for (size_t i = 0; i < found; i++)
        order[i] = rank[i].stop;
    free(rank);
    *out = order;
    *count = found;
    return true;
}
