/* One stop after the other where it takes most from what is not known, given all before it: readings are not needed for
 * that, so the whole walk is planned at once. What is not known is weighted towards the threshold, where it decides
 * most; without a threshold all ground counts alike. Evidence: docs/plan.md. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/parallel.h"
#include "decide/digs/misclassification.h"
#include "decide/plan/layout_work.h"

#define NONE ((size_t)-1)
#define LEAST_APART 0.4    /* of the spacing */
#define LEAST_SPREAD 0.001 /* p (1 - p) is not taken below this */

enum { TARGETS = 500, TARGETS_MOST = 1500, TARGETS_A_STOP = 3 };

typedef struct {
    foci_layout_work *work;
    foci_dig_ground targets;
    size_t count;       /* targets, and behind them the stops that are there already */
    foci_point *places; /* owned, as the others */
    double *mean, *noise, *weight, *gain, *away;
    foci_misclassification m; /* what is still unknown */
} search;

static void search_free(search *s) {
    foci_dig_ground_free(&s->targets);
    free(s->places);
    free(s->mean);
    free(s->noise);
    free(s->weight);
    free(s->gain);
    free(s->away);
    foci_misclassification_free(&s->m);
}

/* Error variance of a reading there: binomial on the logit scale (the delta method), and what else there is. */
static double noise_at(const foci_layout_knowledge *known, double mean) {
    if (!known->logit)
        return known->noise;
    const double share = 1 / (1 + exp(-mean));
    return 1 / (known->units * fmax(share * (1 - share), LEAST_SPREAD)) + known->noise;
}

static bool make_room(search *s, foci_error *err) {
    double **const numbers[] = {&s->mean, &s->noise, &s->weight, &s->gain, &s->away};
    s->places = foci_new_array(s->count, sizeof *s->places, err);
    if (!s->places)
        return false;
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        if (!(*numbers[i] = foci_new_array(s->count, sizeof(double), err)))
            return false;
    return true;
}

/* The weight of a place is the density of its being at the threshold. */
static double weight_of(const foci_misclassification *m, size_t target, double threshold) {
    if (isnan(threshold))
        return 1;
    const double off = m->off[target];
    return m->variance[target] > 0 ? exp(-0.5 * off * off) / sqrt(m->variance[target]) : 0;
}

static bool look(search *s, foci_error *err) {
    const foci_layout_knowledge *known = s->work->options->knowledge;
    const double threshold = known->threshold;
    double *covariance = foci_new_array(s->count, s->count * sizeof *covariance, err);
    if (!covariance)
        return false;
    bool ok = known->at(s->mean, covariance, known->what, s->places, s->count, err) &&
              foci_misclassification_make(&s->m, s->mean, &covariance, s->count, s->targets.count,
                                          isnan(threshold) ? 0 : threshold, err);
    free(covariance);
    for (size_t i = 0; ok && i < s->count; i++) {
        s->noise[i] = noise_at(known, s->mean[i]);
        s->weight[i] = i < s->targets.count ? weight_of(&s->m, i, threshold) : 0;
    }
    return ok;
}

static void keep_away(search *s, foci_point place) {
    for (size_t i = 0; i < s->targets.count; i++)
        s->away[i] = fmin(s->away[i], hypot(s->places[i].x - place.x, s->places[i].y - place.y));
}

static bool search_make(search *s, foci_layout_work *work, foci_error *err) {
    const foci_layout_knowledge *known = work->options->knowledge;
    size_t most = TARGETS_A_STOP * work->wanted;
    most = most < TARGETS ? TARGETS : most > TARGETS_MOST ? TARGETS_MOST : most;
    s->work = work;
    if (!foci_dig_ground_spread(&s->targets, &work->ground, &work->grid, most, err))
        return false;
    s->count = s->targets.count + work->count;
    if (!make_room(s, err))
        return false;
    for (size_t i = 0; i < s->targets.count; i++) {
        s->places[i] = foci_grid_centre(&work->grid, s->targets.cells[i]);
        s->away[i] = INFINITY;
    }
    for (size_t i = 0; i < work->count; i++) {
        s->places[s->targets.count + i] = work->stops[i].place;
        keep_away(s, work->stops[i].place);
    }
    for (size_t i = 0; i < known->there_count; i++)
        keep_away(s, known->there[i]);
    return look(s, err);
}

/* Weighted sum of what a reading there would take from the variances. */
static bool weigh(void *context, size_t thread, size_t i, foci_error *err) {
    const search *s = context;
    const double *column = s->m.covariance + i * s->count, all = column[i] + s->noise[i];
    double sum = 0;
    (void)thread;
    (void)err;
    for (size_t c = 0; c < s->targets.count; c++)
        sum += s->weight[c] * column[c] * column[c];
    s->gain[i] = all > 0 ? sum / all : 0;
    return true;
}

/* Each target is worked for itself, so the choice does not depend on the threads. */
static bool best_gap(size_t *out, search *s, double apart, foci_error *err) {
    const foci_execution silent = {.threads = s->work->how ? s->work->how->threads : 0};
    *out = NONE;
    if (!foci_parallel(s->targets.count, &silent, weigh, s, err))
        return false;
    for (size_t i = 0; i < s->targets.count; i++)
        if (s->away[i] > 0 && s->away[i] >= apart && (*out == NONE || s->gain[i] > s->gain[*out]))
            *out = i;
    return true;
}

/* Mean variance over the ground of what is still unknown. */
static double unknown(const search *s) {
    double sum = 0;
    for (size_t i = 0; i < s->targets.count; i++)
        sum += s->m.covariance[i * s->count + i] / (double)s->targets.count;
    return sum;
}

static bool fill_gaps(search *s, foci_error *err) {
    foci_layout_work *work = s->work;
    const double stops = (double)(work->wanted + work->options->knowledge->there_count);
    const double apart = LEAST_APART * sqrt(work->area / stops);
    work->variance = unknown(s);
    for (size_t i = s->targets.count; i < s->count; i++)
        foci_misclassification_learn(&s->m, i, s->noise[i]);
    while (work->count < work->wanted) {
        size_t best = NONE;
        if (!foci_execution_tell(work->how, (double)work->count / (double)work->wanted, err) ||
            !best_gap(&best, s, apart, err))
            return false;
        if (best == NONE)
            break;
        foci_misclassification_learn(&s->m, best, s->noise[best]);
        foci_layout_add(work, s->places[best], FOCI_LAYOUT_GAP);
        keep_away(s, s->places[best]);
    }
    work->after = unknown(s);
    return true;
}

static bool lay(foci_layout_work *work, const foci_layout_knowledge *known, foci_error *err) {
    search s = {0};
    const bool ok = search_make(&s, work, err) && fill_gaps(&s, err);
    search_free(&s);
    return ok && foci_layout_spread(work, known->there, known->there_count, err);
}

/* Where nothing is known there are no gaps. */
bool foci_layout_lay_gaps(foci_layout_work *work, foci_error *err) {
    const foci_layout_knowledge *known = work->options->knowledge;
    return known ? lay(work, known, err) : foci_layout_lay_grid(work, err);
}

bool foci_layout_lay_again(foci_layout_work *work, foci_error *err) {
    const foci_layout_knowledge *known = work->options->knowledge;
    return known ? lay(work, known, err) : foci_layout_spread(work, NULL, 0, err);
}
