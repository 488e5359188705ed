#include "estimate/predict/windows.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

/* Stops left out at a time, and how many nearest ones each of them brings along. */
enum { OWN = 40, NEAR = 60, MOST_STOPS = OWN * (NEAR + 1) };

typedef struct {
    foci_window_center square;
    size_t stop;
} member;

static int compare_members(const void *a, const void *b) {
    const member *first = a, *second = b;
    int order = foci_window_center_compare(first->square, second->square);
    return order != 0 ? order : (first->stop > second->stop) - (first->stop < second->stop);
}

/* Leaves out `count` stops, each by itself, from a window around them. */
static bool leave_out(const foci_windows *windows, const member *own, size_t count,
                      const foci_counts_left_out_result *out, const foci_execution *how, foci_error *err) {
    const foci_observations *stops = &windows->model->stops;
    size_t found[MOST_STOPS], total = 0;
    bool wanted[MOST_STOPS] = {false};
    foci_counts_model window = {0};
    for (size_t i = 0; i < count; i++) {
        foci_point place = {stops->along[own[i].stop], stops->across[own[i].stop]};
        found[total++] = own[i].stop;
        total += foci_neighbours_find(windows->index, place, NEAR, (size_t)-1, found + total);
    }
    total = foci_windows_tidy(found, total);
    for (size_t i = 0, next = 0; i < total && next < count; i++)
        if (found[i] == own[next].stop) {
            wanted[i] = true;
            next++;
        }
    if (!foci_windows_model(&window, windows, found, total, err))
        return false;
    bool ok = foci_counts_left_out_jointly(&window, wanted, found, out, how, err);
    foci_counts_free(&window);
    return ok;
}

bool foci_windows_left_out(const foci_counts_model *model, const foci_counts_left_out_result *out,
                           const foci_execution *how, foci_error *err) {
    size_t n = model->stops.count;
    foci_windows windows = {0};
    bool ok = false;
    member *members = foci_new_array(n, sizeof *members, err);
    if (!members)
        goto done;
    if (!foci_windows_open(&windows, model, err))
        goto done;
    for (size_t i = 0; i < n; i++)
        members[i] =
            (member){{round(model->stops.along[i] / windows.side), round(model->stops.across[i] / windows.side)}, i};
    qsort(members, n, sizeof *members, compare_members);
    for (size_t first = 0, end = 0; first < n; first = end) {
        while (end < n && end - first < OWN &&
               foci_window_center_compare(members[first].square, members[end].square) == 0)
            end++;
        const foci_execution part = foci_execution_part(how, (double)first / (double)n, (double)end / (double)n);
        if (!leave_out(&windows, members + first, end - first, out, &part, err))
            goto done;
    }
    ok = true;
done:
    foci_windows_close(&windows);
    free(members);
    return ok;
}
