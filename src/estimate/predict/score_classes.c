#include "estimate/predict/score_classes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/random.h"

/* Rounds of parameters and readings: what the first ones draw is forgotten. */
enum { ROUNDS = 5, FORGOTTEN = 2, KEPT_EACH = 4, KEPT_EACH_OF_MANY = 2, SWEEPS = 10, MANY_STOPS = 200 };

/* The same readings have the same map: one seed for all. */
#define SEED 19870528

/* ---- where the drawing begins ---- */

typedef struct {
    double low, high, chance;
    size_t reading;
} class_member;

static int by_class(const void *first, const void *second) {
    const class_member *a = first, *b = second;
    if (a->low != b->low)
        return a->low < b->low ? -1 : 1;
    if (a->high != b->high)
        return a->high < b->high ? -1 : 1;
    return (a->chance > b->chance) - (a->chance < b->chance);
}

bool foci_score_classes_start(double *values, const foci_readings *readings, foci_error *err) {
    const size_t n = readings->count;
    foci_random random = foci_random_stream(SEED, 0);
    class_member *members = foci_new_array(n, sizeof *members, err);
    if (!members)
        return false;
    for (size_t i = 0; i < n; i++)
        members[i] = (class_member){readings->low[i], readings->high[i], foci_random_share(&random), i};
    qsort(members, n, sizeof *members, by_class);
    for (size_t from = 0, end = 0; from < n; from = end) {
        const double low = members[from].low, width = members[from].high - low;
        while (end < n && members[end].low == low && members[end].high == members[from].high)
            end++;
        for (size_t k = from; k < end; k++)
            values[members[k].reading] = low + width * ((double)(k - from) + 0.5) / (double)(end - from);
    }
    free(members);
    return true;
}

/* ---- readings given the parameters ---- */

bool foci_score_observe(foci_observations *out, const foci_readings *own, const foci_readings *earlier, int trend,
                        const foci_score_draws *draws, foci_error *err) {
    const size_t seasons = earlier->count > 0 ? 2 : 1;
    const foci_columns drift = foci_columns_drift(trend, seasons);
    const foci_season_readings both[] = {{own->places, own->values, NULL, own->count},
                                         {earlier->places, earlier->values, NULL, earlier->count}};
    if (!foci_observations_make(out, foci_response_normal, both, seasons, &drift, draws->draw[0].shape.heading, err))
        return false;
    for (size_t i = own->count; i < out->count; i++)
        out->readings[i] *= draws->scale;
    return true;
}

/* A number between two limits, by the density of a normal one: one step of slice sampling from where it is (Neal 2003,
 * Annals of Statistics 31:705-767), which leaves that distribution as it is and has no tails to look up. */
static double slice(double from, double mean, double deviation, double low, double high, foci_random *random) {
    const double z = (from - mean) / deviation;
    const double reach = deviation * sqrt(z * z - 2 * log1p(-foci_random_share(random)));
    const double least = fmax(low, mean - reach), most = fmin(high, mean + reach);
    return least < most ? least + (most - least) * foci_random_share(random) : from;
}

/* Each own reading in its turn, given all others (Gibbs sampling). `precision` is that of the readings with the flat
 * columns taken out, `pull` its product with them. */
static void sweep(double *readings, double *pull, const double *precision, const foci_readings *own, size_t stops,
                  foci_random *random) {
    for (size_t i = 0; i < own->count; i++) {
        const double *row = precision + i * stops;
        const double mean = readings[i] - pull[i] / row[i];
        if (!(own->low[i] < own->high[i]))
            continue;
        const double drawn = slice(readings[i], mean, 1 / sqrt(row[i]), own->low[i], own->high[i], random);
        const double moved = drawn - readings[i];
        for (size_t j = 0; j < stops; j++)
            pull[j] += moved * row[j];
        readings[i] = drawn;
    }
}

typedef struct {
    foci_observations stops; /* its readings are those of the moment */
    foci_exact exact;
    double *precision, *pull;
    foci_random random;
} chain;

static void chain_free(chain *c) {
    foci_observations_free(&c->stops);
    foci_exact_free(&c->exact);
    free(c->precision);
    free(c->pull);
}

static bool chain_make(chain *c, const foci_readings *own, const foci_readings *earlier, int trend,
                       const foci_score_draws *draws, foci_error *err) {
    c->random = foci_random_stream(SEED, 1);
    if (!foci_score_observe(&c->stops, own, earlier, trend, draws, err))
        return false;
    const size_t n = c->stops.count;
    c->precision = foci_new_array(n, n * sizeof *c->precision, err);
    c->pull = c->precision ? foci_new_array(n, sizeof *c->pull, err) : NULL;
    return c->pull && foci_exact_make(&c->exact, n, c->stops.columns.count + 1, true, err);
}

/* New readings under one draw of the parameters, from those of the moment. */
static bool draw_readings(chain *c, foci_readings *own, const foci_covariance_shape *shape, double sill, double rho,
                          foci_error *err) {
    foci_parameters at = foci_covariance_shape_parameters(shape, sill, c->stops.seasons);
    at.rho = rho;
    foci_exact_take(&c->exact, &c->stops);
    if (!foci_exact_solve(&c->exact, &at, err))
        return false;
    memcpy(c->pull, c->exact.alpha, c->stops.count * sizeof *c->pull);
    if (!foci_exact_precision(c->precision, &c->exact, err))
        return false;
    for (int i = 0; i < SWEEPS; i++)
        sweep(c->stops.readings, c->pull, c->precision, own, c->stops.count, &c->random);
    memcpy(own->values, c->stops.readings, own->count * sizeof *own->values);
    return true;
}

/* ---- both in turn ---- */

/* The draw at which the weights, added up, pass a share. */
static size_t draw_at(const foci_score_draws *draws, double share) {
    size_t k = 0;
    for (double sum = draws->draw[0].weight; sum < share && k + 1 < draws->count; sum += draws->draw[k].weight)
        k++;
    return k;
}

/* One round from the parameters that its readings gave. */
static bool draw_round(chain *c, foci_score_draws *out, double *values, foci_readings *own,
                       const foci_score_draws *draws, size_t kept, foci_error *err) {
    const double begin = foci_random_share(&c->random);
    const size_t wanted = kept > 0 ? kept : 1;
    for (size_t k = 0; k < wanted; k++) {
        const size_t at = draw_at(draws, (begin + (double)k) / (double)wanted);
        if (!draw_readings(c, own, &draws->draw[at].shape, draws->draw[at].sill, draws->draw[at].rho, err))
            return false;
        if (kept == 0)
            continue;
        memcpy(values + out->count * own->count, own->values, own->count * sizeof *values);
        out->draw[out->count++] = draws->draw[at];
    }
    return true;
}

bool foci_score_classes_draw(foci_score_draws *out, double *values, foci_fit_summary *facts, foci_readings *own,
                             const foci_readings *earlier, const foci_surface_options *options, bool headings,
                             const foci_execution *how, foci_error *err) {
    const size_t kept = own->count > MANY_STOPS ? KEPT_EACH_OF_MANY : KEPT_EACH;
    foci_score_draws all = {0}, draws = {0};
    chain c = {0};
    bool ok = true;
    for (int round = 0; ok && round < ROUNDS; round++) {
        const foci_execution part = foci_execution_part(how, (double)round / ROUNDS, (double)(round + 1) / ROUNDS);
        ok = foci_score_draws_make(&draws, facts, own, earlier->count > 0 ? earlier : NULL, options,
                                   headings && round + 1 == ROUNDS, &part, err) &&
             (round > 0 || chain_make(&c, own, earlier, options->trend, &draws, err)) &&
             draw_round(&c, &all, values, own, &draws, round < FORGOTTEN ? 0 : kept, err);
    }
    for (size_t k = 0; k < all.count; k++)
        all.draw[k].weight = 1 / (double)all.count;
    if (ok) {
        all.widen = draws.widen;
        all.freedom = draws.freedom;
        all.scale = draws.scale;
        facts->components = all.count;
        *out = all;
    }
    chain_free(&c);
    return ok;
}
