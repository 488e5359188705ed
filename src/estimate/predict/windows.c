#include "estimate/predict/windows.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "estimate/space/neighbours.h"

#define SPACINGS_BETWEEN_CENTERS 6.0

/* The part of the distance between two centers over which their windows are blended. */
#define BLEND 0.25

/* A window has the stops nearest to its center and to eight anchors on the edge of where it is used. */
enum { NEAR_CENTER = 80, NEAR_ANCHOR = 24, ANCHORS = 8, WINDOW_MOST = NEAR_CENTER + ANCHORS * NEAR_ANCHOR };

/* Stops left out at a time, and how many nearest ones each of them brings along. */
enum { OUT = 40, NEAR_OUT = 60, OUT_MOST = OUT * (NEAR_OUT + 1) };

/* Centers in whose windows a place may lie; numbers that are told of it. */
enum { CORNERS = 4, TOLD = 5 };

typedef struct {
    const foci_counts_model *model;
    foci_neighbours *index; /* of its stops, in their frame; owned */
    double side;            /* between centers, metres */
} lattice;

static bool lattice_open(lattice *out, const foci_counts_model *model, foci_error *err) {
    const size_t n = model->stops.count;
    foci_point *places = foci_new_array(n, sizeof *places, err);
    *out = (lattice){.model = model, .side = SPACINGS_BETWEEN_CENTERS * model->spacing};
    for (size_t i = 0; places && i < n; i++)
        places[i] = (foci_point){model->stops.along[i], model->stops.across[i]};
    bool ok = places && foci_neighbours_open(&out->index, places, n, err);
    free(places);
    return ok;
}

static void lattice_close(lattice *l) {
    if (l->index)
        foci_neighbours_close(l->index);
}

/* Of a place, or of a stop, at one center: whole numbers, in double so that no place is too far. */
typedef struct {
    double a, b, weight;
    size_t number;
} piece;

static bool same_center(const piece *first, const piece *second) {
    return first->a == second->a && first->b == second->b;
}

static int compare_pieces(const void *a, const void *b) {
    const piece *first = a, *second = b;
    if (!same_center(first, second))
        return first->a < second->a || (first->a == second->a && first->b < second->b) ? -1 : 1;
    return (first->number > second->number) - (first->number < second->number);
}

typedef bool (*work_window)(void *context, const piece *pieces, size_t count, const foci_execution *how,
                            foci_error *err);

/* Calls `work` for the pieces of each center, at most `most` at a time. */
static bool each_window(piece *pieces, size_t count, size_t most, work_window work, void *context,
                        const foci_execution *how, foci_error *err) {
    qsort(pieces, count, sizeof *pieces, compare_pieces);
    for (size_t first = 0, end = 0; first < count; first = end) {
        while (end < count && end - first < most && same_center(&pieces[first], &pieces[end]))
            end++;
        const foci_execution part =
            foci_execution_part(how, (double)first / (double)count, (double)end / (double)count);
        if (!work(context, pieces + first, end - first, &part, err))
            return false;
    }
    return true;
}

static int compare_numbers(const void *a, const void *b) {
    size_t first = *(const size_t *)a, second = *(const size_t *)b;
    return (first > second) - (first < second);
}

/* Sorts numbers of stops and drops those that come twice; returns how many are left. */
static size_t tidy(size_t *stops, size_t count) {
    size_t different = 0;
    qsort(stops, count, sizeof *stops, compare_numbers);
    for (size_t i = 0; i < count; i++)
        if (i == 0 || stops[i] != stops[i - 1])
            stops[different++] = stops[i];
    return different;
}

/* A model of these stops with the parameters of all; not conditioned yet. */
static bool model_of(foci_counts_model *out, const lattice *l, const size_t *stops, size_t count, foci_error *err) {
    foci_counts_model made = {.spacing = l->model->spacing, .draw_count = l->model->draw_count};
    memcpy(made.draws, l->model->draws, sizeof made.draws);
    if (!foci_observations_pick(&made.stops, &l->model->stops, stops, count, err))
        return false;
    *out = made;
    return true;
}

/* ---- predictions ---- */

typedef struct {
    lattice lattice;
    const foci_point *places;
    double threshold;
    double *sums; /* TOLD x places, weighted: mean, square, logits of the bounds, chance */
} patchwork;

/* Ascending numbers of the window's stops; returns how many. */
static size_t window_stops(size_t found[WINDOW_MOST], const lattice *l, const piece *center) {
    size_t count = 0;
    double reach = 0.5 + BLEND / 2;
    for (int east = -1; east <= 1; east++)
        for (int north = -1; north <= 1; north++) {
            foci_point anchor = {(center->a + east * reach) * l->side, (center->b + north * reach) * l->side};
            count += foci_neighbours_find(l->index, anchor, east || north ? NEAR_ANCHOR : NEAR_CENTER, (size_t)-1,
                                          found + count);
        }
    return tidy(found, count);
}

/* Weight of the upper of two centers at a place `part` of the way between them. */
static double upper_weight(double part) {
    return fmin(fmax((part - 0.5) / BLEND + 0.5, 0), 1);
}

/* The windows that have a say at a place, with weights that sum to 1; returns how many. */
static size_t pieces_of(piece out[CORNERS], const lattice *l, foci_point place, size_t number) {
    const foci_point turned = foci_frame_place(&l->model->stops.frame, place);
    double a = floor(turned.x / l->side), b = floor(turned.y / l->side);
    double east = upper_weight(turned.x / l->side - a), north = upper_weight(turned.y / l->side - b);
    size_t count = 0;
    for (int corner = 0; corner < CORNERS; corner++) {
        int right = corner % 2, up = corner / 2;
        double weight = (right ? east : 1 - east) * (up ? north : 1 - north);
        if (weight > 0)
            out[count++] = (piece){a + right, b + up, weight, number};
    }
    return count;
}

/* Bounds may have been rounded to 0 or 1. */
static double logit(double share) {
    double inside = fmin(fmax(share, 1e-300), 1 - 1e-16);
    return log(inside / (1 - inside));
}

static void add_pieces(double *sums, const foci_prediction *said, const piece *pieces, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const double weight = pieces[i].weight, mean = said->estimate[i];
        const double told[TOLD] = {mean, said->variance[i] + mean * mean, logit(said->low[i]), logit(said->high[i]),
                                   said->chance[i]};
        for (size_t k = 0; k < TOLD; k++)
            sums[TOLD * pieces[i].number + k] += weight * told[k];
    }
}

static bool predict_window(void *context, const piece *pieces, size_t count, const foci_execution *how,
                           foci_error *err) {
    const foci_execution conditioning = foci_execution_part(how, 0, 0.7), predicting = foci_execution_part(how, 0.7, 1);
    const patchwork *work = context;
    size_t stops[WINDOW_MOST], found = window_stops(stops, &work->lattice, &pieces[0]);
    foci_counts_model window = {0};
    bool ok = false;
    foci_point *places = foci_new_array(count, sizeof *places, err);
    double *s = places ? foci_new_array(count, TOLD * sizeof *s, err) : NULL;
    if (!s)
        goto done;
    for (size_t i = 0; i < count; i++)
        places[i] = work->places[pieces[i].number];
    const foci_prediction said = {s, s + count, s + 2 * count, s + 3 * count, s + 4 * count};
    ok = model_of(&window, &work->lattice, stops, found, err) && foci_counts_condition(&window, &conditioning, err) &&
         foci_counts_predict_jointly(&window, places, count, work->threshold, &said, &predicting, err);
    if (ok)
        add_pieces(work->sums, &said, pieces, count);
done:
    foci_counts_free(&window);
    free(places);
    free(s);
    return ok;
}

static void tell(const foci_prediction *out, size_t place, const double *sums) {
    if (out->estimate)
        out->estimate[place] = sums[0];
    if (out->variance)
        out->variance[place] = fmax(sums[1] - sums[0] * sums[0], 0);
    if (out->low)
        out->low[place] = 1 / (1 + exp(-sums[2]));
    if (out->high)
        out->high[place] = 1 / (1 + exp(-sums[3]));
    if (out->chance)
        out->chance[place] = sums[4];
}

bool foci_windows_predict(const foci_counts_model *model, const foci_point *places, size_t count, double threshold,
                          const foci_prediction *out, const foci_execution *how, foci_error *err) {
    patchwork work = {.places = places, .threshold = threshold};
    size_t total = 0;
    piece *pieces = foci_new_array(CORNERS * count, sizeof *pieces, err);
    work.sums = pieces ? foci_new_array(count, TOLD * sizeof *work.sums, err) : NULL;
    bool ok = work.sums && lattice_open(&work.lattice, model, err);
    for (size_t i = 0; ok && i < count; i++)
        total += pieces_of(pieces + total, &work.lattice, places[i], i);
    ok = ok && each_window(pieces, total, total, predict_window, &work, how, err);
    for (size_t i = 0; ok && i < count; i++)
        tell(out, i, work.sums + TOLD * i);
    lattice_close(&work.lattice);
    free(pieces);
    free(work.sums);
    return ok;
}

/* ---- leaving out ---- */

typedef struct {
    lattice lattice;
    const foci_counts_leave_one_out_result *out;
} leaving;

/* Leaves out some stops of a square, each by itself, from a window around them. */
static bool leave_out(void *context, const piece *own, size_t count, const foci_execution *how, foci_error *err) {
    const leaving *work = context;
    const foci_observations *stops = &work->lattice.model->stops;
    size_t found[OUT_MOST], total = 0;
    bool wanted[OUT_MOST] = {false};
    foci_counts_model window = {0};
    for (size_t i = 0; i < count; i++) {
        foci_point place = {stops->along[own[i].number], stops->across[own[i].number]};
        found[total++] = own[i].number;
        total += foci_neighbours_find(work->lattice.index, place, NEAR_OUT, (size_t)-1, found + total);
    }
    total = tidy(found, total);
    for (size_t i = 0, next = 0; i < total && next < count; i++)
        if (found[i] == own[next].number) {
            wanted[i] = true;
            next++;
        }
    bool ok = model_of(&window, &work->lattice, found, total, err) &&
              foci_counts_leave_one_out_jointly(&window, wanted, found, work->out, how, err);
    foci_counts_free(&window);
    return ok;
}

bool foci_windows_leave_one_out(const foci_counts_model *model, const foci_counts_leave_one_out_result *out,
                                const foci_execution *how, foci_error *err) {
    const foci_observations *stops = &model->stops;
    leaving work = {.out = out};
    piece *members = foci_new_array(stops->count, sizeof *members, err);
    bool ok = members && lattice_open(&work.lattice, model, err);
    for (size_t i = 0; ok && i < stops->count; i++)
        members[i] =
            (piece){round(stops->along[i] / work.lattice.side), round(stops->across[i] / work.lattice.side), 0, i};
    ok = ok && each_window(members, stops->count, OUT, leave_out, &work, how, err);
    lattice_close(&work.lattice);
    free(members);
    return ok;
}
