#include "estimate/predict/windows.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

/* The part of the distance between two centers over which their windows are blended. */
#define BLEND 0.25

/* A window has the stops nearest to its center and to eight anchors on the edge of where it is used. */
enum { NEAR_CENTER = 80, NEAR_ANCHOR = 24, ANCHORS = 8, MOST_STOPS = NEAR_CENTER + ANCHORS * NEAR_ANCHOR };

typedef struct {
    foci_window_center center;
    double weight;
    size_t place;
} piece;

enum { CORNERS = 4, TOLD = 5 };

/* Ascending numbers of the window's stops; returns how many. */
static size_t window_stops(size_t found[MOST_STOPS], const foci_windows *windows, foci_window_center center) {
    size_t count = 0;
    double reach = 0.5 + BLEND / 2;
    for (int east = -1; east <= 1; east++)
        for (int north = -1; north <= 1; north++) {
            foci_point anchor = {(center.a + east * reach) * windows->side, (center.b + north * reach) * windows->side};
            count += foci_neighbours_find(windows->index, anchor, east || north ? NEAR_ANCHOR : NEAR_CENTER, (size_t)-1,
                                          found + count);
        }
    return foci_windows_tidy(found, count);
}

/* Weight of the upper of two centers at a place `part` of the way between them. */
static double upper_weight(double part) {
    return fmin(fmax((part - 0.5) / BLEND + 0.5, 0), 1);
}

/* The windows that have a say at (u, v), with weights that sum to 1; returns how many. */
static size_t pieces_of(piece out[CORNERS], const foci_windows *windows, double u, double v, size_t place) {
    double a = floor(u / windows->side), b = floor(v / windows->side);
    double east = upper_weight(u / windows->side - a), north = upper_weight(v / windows->side - b);
    size_t count = 0;
    for (int corner = 0; corner < CORNERS; corner++) {
        int right = corner % 2, up = corner / 2;
        double weight = (right ? east : 1 - east) * (up ? north : 1 - north);
        if (weight > 0)
            out[count++] = (piece){{a + right, b + up}, weight, place};
    }
    return count;
}

/* Where a piece stands, for bringing those of one window together. */
typedef struct {
    foci_window_center center;
    size_t piece, place;
} entry;

static int compare_entries(const void *a, const void *b) {
    const entry *first = a, *second = b;
    int order = foci_window_center_compare(first->center, second->center);
    return order != 0 ? order : (first->piece > second->piece) - (first->piece < second->piece);
}

/* What all windows say: pieces in the order of places, `order` by window, and TOLD numbers for each piece. */
typedef struct {
    piece *pieces;
    entry *order;
    double *told;
    size_t count;
    foci_point *places; /* scratch: those of one window */
    double *scratch;    /* TOLD x pieces of one window */
} patchwork;

static void patchwork_free(patchwork *work) {
    free(work->pieces);
    free(work->order);
    free(work->told);
    free(work->places);
    free(work->scratch);
    *work = (patchwork){0};
}

static bool patchwork_make(patchwork *out, const foci_windows *windows, const foci_point *places, size_t count,
                           foci_error *err) {
    patchwork work = {0};
    size_t most = CORNERS * count;
    bool ok = false;
    work.pieces = foci_new_array(most, sizeof *work.pieces, err);
    if (!work.pieces)
        goto done;
    work.order = foci_new_array(most, sizeof *work.order, err);
    if (!work.order)
        goto done;
    for (size_t i = 0; i < count; i++) {
        const foci_point turned = foci_frame_place(&windows->model->stops.frame, places[i]);
        work.count += pieces_of(work.pieces + work.count, windows, turned.x, turned.y, i);
    }
    for (size_t i = 0; i < work.count; i++)
        work.order[i] = (entry){work.pieces[i].center, i, work.pieces[i].place};
    qsort(work.order, work.count, sizeof *work.order, compare_entries);
    work.told = foci_new_array(work.count, TOLD * sizeof *work.told, err);
    if (!work.told)
        goto done;
    work.places = foci_new_array(count, sizeof *work.places, err);
    if (!work.places)
        goto done;
    work.scratch = foci_new_array(count, TOLD * sizeof *work.scratch, err);
    if (!work.scratch)
        goto done;
    *out = work;
    work = (patchwork){0};
    ok = true;
done:
    patchwork_free(&work);
    return ok;
}

/* Predicts pieces order[first] ... of one window. */
static bool predict_window(patchwork *work, const foci_windows *windows, const foci_point *places, size_t first,
                           size_t count, double threshold, const foci_execution *how, foci_error *err) {
    const foci_execution conditioning = foci_execution_part(how, 0, 0.7), predicting = foci_execution_part(how, 0.7, 1);
    size_t stops[MOST_STOPS], found = window_stops(stops, windows, work->order[first].center);
    double *s = work->scratch;
    foci_answers own = {s, s + count, s + 2 * count, s + 3 * count, s + 4 * count};
    foci_counts_model window = {0};
    bool ok = false;
    for (size_t i = 0; i < count; i++)
        work->places[i] = places[work->order[first + i].place];
    if (!foci_windows_model(&window, windows, stops, found, err) || !foci_counts_condition(&window, &conditioning, err))
        goto done;
    if (!foci_counts_predict_jointly(&window, work->places, count, threshold, &own, &predicting, err))
        goto done;
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < TOLD; k++)
            work->told[TOLD * work->order[first + i].piece + k] = s[k * count + i];
    ok = true;
done:
    foci_counts_free(&window);
    return ok;
}

/* Bounds may have been rounded to 0 or 1. */
static double logit(double share) {
    double inside = fmin(fmax(share, 1e-300), 1 - 1e-16);
    return log(inside / (1 - inside));
}

/* Blends pieces `first` to `end`, all of one place. */
static void blend(const foci_answers *out, const patchwork *work, size_t first, size_t end) {
    double mean = 0, square = 0, low = 0, high = 0, chance = 0;
    size_t place = work->pieces[first].place;
    for (size_t i = first; i < end; i++) {
        const double *told = work->told + TOLD * i, weight = work->pieces[i].weight;
        mean += weight * told[0];
        square += weight * (told[1] + told[0] * told[0]);
        low += weight * logit(told[2]);
        high += weight * logit(told[3]);
        chance += weight * told[4];
    }
    if (out->estimate)
        out->estimate[place] = mean;
    if (out->variance)
        out->variance[place] = fmax(square - mean * mean, 0);
    if (out->low)
        out->low[place] = 1 / (1 + exp(-low));
    if (out->high)
        out->high[place] = 1 / (1 + exp(-high));
    if (out->chance)
        out->chance[place] = chance;
}

bool foci_windows_predict(const foci_counts_model *model, const foci_point *places, size_t count, double threshold,
                          const foci_answers *out, const foci_execution *how, foci_error *err) {
    foci_windows windows = {0};
    patchwork work = {0};
    bool ok = false;
    if (!foci_windows_open(&windows, model, err) || !patchwork_make(&work, &windows, places, count, err))
        goto done;
    for (size_t first = 0, end = 0; first < work.count; first = end) {
        while (end < work.count && foci_window_center_compare(work.order[first].center, work.order[end].center) == 0)
            end++;
        const foci_execution part =
            foci_execution_part(how, (double)first / (double)work.count, (double)end / (double)work.count);
        if (!predict_window(&work, &windows, places, first, end - first, threshold, &part, err))
            goto done;
    }
    for (size_t first = 0, end = 0; first < work.count; first = end) {
        while (end < work.count && work.pieces[end].place == work.pieces[first].place)
            end++;
        blend(out, &work, first, end);
    }
    ok = true;
done:
    patchwork_free(&work);
    foci_windows_close(&windows);
    return ok;
}
