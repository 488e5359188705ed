#include "decide/seasons/persistence_areas.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/seasons/joint_draws.h"

enum { DRAWS = FOCI_JOINT_DRAWS };

/* What is measured of each draw: a row each, a number a draw. */
enum {
    ROW_CLASSES = FOCI_SEASONS_MOST,
    ROW_BOTH = ROW_CLASSES + FOCI_CLASS_UNSURE,
    ROW_FIRST,
    ROW_SECOND,
    ROW_NEITHER,
    ROW_EXPECTED,
    ROW_MOVED, /* the first season moved, then the second: one sample of 2 DRAWS */
    ROW_END = ROW_MOVED + 2
};

typedef struct {
    const foci_study *study;
    const foci_together *together;
    const unsigned char *group;
    double *rows; /* ROW_END x DRAWS */
} tally;

static int compare_numbers(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double quantile(const double *sorted, size_t count, double share) {
    double at = share * (double)(count - 1);
    size_t below = (size_t)at;
    return below + 1 < count ? sorted[below] + (at - (double)below) * (sorted[below + 1] - sorted[below])
                             : sorted[count - 1];
}

foci_estimate foci_persistence_area_of(double *drawn, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += drawn[i];
    qsort(drawn, count, sizeof *drawn, compare_numbers);
    return (foci_estimate){sum / (double)count, quantile(drawn, count, 0.05), quantile(drawn, count, 0.95)};
}

typedef struct {
    double value;
    size_t cell;
} ranked;

static int compare_ranked(const void *a, const void *b) {
    const ranked *x = a, *y = b;
    if (x->value != y->value)
        return x->value < y->value ? 1 : -1;
    return (x->cell > y->cell) - (x->cell < y->cell);
}

/* What the highest cells of a field, up to this area, have in common with a hot set. */
static double overlap_of_highest(ranked *room, const double *field, double area, const foci_coarse_cells *cells,
                                 const double *level, double threshold) {
    double both = 0;
    for (size_t k = 0; k < cells->count; k++)
        room[k] = (ranked){field[k], k};
    qsort(room, cells->count, sizeof *room, compare_ranked);
    for (size_t k = 0; k < cells->count && area > 0; k++) {
        double taken = fmin(area, cells->area[room[k].cell]);
        if (level[room[k].cell] >= threshold)
            both += taken;
        area -= taken;
    }
    return both;
}

static bool tally_pair(const tally *t, size_t draw, const double *level, const double *unrelated, foci_error *err) {
    const foci_coarse_cells *cells = &t->study->cells;
    const double *threshold = t->together->threshold;
    double *rows = t->rows + draw, first = rows[0], second = rows[DRAWS];
    ranked *room = foci_new_array(cells->count, sizeof *room, err);
    if (!room)
        return false;
    rows[(size_t)ROW_EXPECTED * DRAWS] = first * second / t->study->options->area_ha;
    rows[(size_t)ROW_MOVED * DRAWS] =
        overlap_of_highest(room, unrelated, first, cells, level + cells->count, threshold[1]);
    rows[(size_t)(ROW_MOVED + 1) * DRAWS] =
        overlap_of_highest(room, unrelated + cells->count, second, cells, level, threshold[0]);
    free(room);
    return true;
}

static bool tally_draw(void *context, size_t draw, const double *level, const double *unrelated, foci_error *err) {
    const tally *t = context;
    const foci_coarse_cells *cells = &t->study->cells;
    size_t seasons = t->together->count;
    static const size_t part[] = {ROW_NEITHER, ROW_FIRST, ROW_SECOND, ROW_BOTH};
    for (size_t k = 0; k < cells->count; k++) {
        size_t pattern = 0;
        for (size_t s = 0; s < seasons; s++)
            if (level[s * cells->count + k] >= t->together->threshold[s]) {
                pattern |= (size_t)1 << s;
                t->rows[s * DRAWS + draw] += cells->area[k];
            }
        t->rows[(ROW_CLASSES + (size_t)t->group[pattern]) * DRAWS + draw] += cells->area[k];
        if (seasons == 2)
            t->rows[part[pattern] * DRAWS + draw] += cells->area[k];
    }
    return seasons != 2 || tally_pair(t, draw, level, unrelated, err);
}

static void read_rows(foci_persistence_areas *areas, double *rows, const foci_together *together) {
    for (size_t s = 0; s < together->count; s++)
        areas->hot[s] = foci_persistence_area_of(rows + s * DRAWS, DRAWS);
    for (size_t code = 0; code < FOCI_CLASS_UNSURE; code++)
        areas->classes[code] = foci_persistence_area_of(rows + (ROW_CLASSES + code) * DRAWS, DRAWS);
    if (together->count != 2)
        return;
    foci_estimate *part[] = {&areas->both, &areas->only_first, &areas->only_second, &areas->neither};
    for (size_t i = 0; i < 4; i++)
        *part[i] = foci_persistence_area_of(rows + (ROW_BOTH + i) * DRAWS, DRAWS);
    areas->by_chance = foci_persistence_area_of(rows + (size_t)ROW_MOVED * DRAWS, (size_t)2 * DRAWS);
    areas->by_chance.value = foci_persistence_area_of(rows + (size_t)ROW_EXPECTED * DRAWS, DRAWS).value;
}

bool foci_persistence_areas_make(foci_persistence_areas *out, const foci_study *study, const foci_together *together,
                                 const foci_execution *how, foci_error *err) {
    foci_joint_draw_options options = {study->options->seed, together->keys};
    tally t = {.study = study, .together = together};
    unsigned char *group = foci_new_array((size_t)1 << together->count, sizeof *group, err);
    bool ok = false;
    if (!group)
        goto done;
    foci_together_classes(group, together);
    t.group = group;
    t.rows = foci_new_array(ROW_END, DRAWS * sizeof *t.rows, err);
    if (!t.rows ||
        !foci_joint_draw(&together->joint, study->cells.places, study->cells.count, &options, tally_draw, &t, how, err))
        goto done;
    foci_persistence_areas areas = {0};
    read_rows(&areas, t.rows, together);
    *out = areas;
    ok = true;
done:
    free(group);
    free(t.rows);
    return ok;
}
