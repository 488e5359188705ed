#include "estimate/predict/windows.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

#define SPACINGS_BETWEEN_CENTERS 6.0

bool foci_windows_open(foci_windows *out, const foci_counts_model *model, foci_error *err) {
    foci_windows made = {.model = model, .side = SPACINGS_BETWEEN_CENTERS * model->spacing};
    foci_point *places = foci_new_array(model->stops.count, sizeof *places, err);
    bool ok = false;
    if (!places)
        goto done;
    for (size_t i = 0; i < model->stops.count; i++)
        places[i] = (foci_point){model->stops.along[i], model->stops.across[i]};
    if (!foci_neighbours_open(&made.index, places, model->stops.count, err))
        goto done;
    *out = made;
    ok = true;
done:
    free(places);
    return ok;
}

void foci_windows_close(foci_windows *windows) {
    if (windows->index)
        foci_neighbours_close(windows->index);
    *windows = (foci_windows){0};
}

int foci_window_center_compare(foci_window_center first, foci_window_center second) {
    if (first.a != second.a)
        return first.a < second.a ? -1 : 1;
    return (first.b > second.b) - (first.b < second.b);
}

static int compare_numbers(const void *a, const void *b) {
    size_t first = *(const size_t *)a, second = *(const size_t *)b;
    return (first > second) - (first < second);
}

size_t foci_windows_tidy(size_t *stops, size_t count) {
    size_t different = 0;
    qsort(stops, count, sizeof *stops, compare_numbers);
    for (size_t i = 0; i < count; i++)
        if (i == 0 || stops[i] != stops[i - 1])
            stops[different++] = stops[i];
    return different;
}

bool foci_windows_model(foci_counts_model *out, const foci_windows *windows, const size_t *stops, size_t count,
                        foci_error *err) {
    const foci_counts_model *parent = windows->model;
    foci_counts_model made = {.spacing = parent->spacing, .draw_count = parent->draw_count};
    memcpy(made.draws, parent->draws, sizeof made.draws);
    if (!foci_observations_pick(&made.stops, &parent->stops, stops, count, err))
        return false;
    *out = made;
    return true;
}
