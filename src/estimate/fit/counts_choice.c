#include "estimate/fit/counts_choice.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/fit/systematic.h"

/* Evidence of stop-to-stop variation that `auto` asks for. */
#define EVIDENCE_ENOUGH 3.0
/* Where the likely points alone give less than this, the others are not asked. */
#define EVIDENCE_HOPELESS 1.0
/* A point is likely where tau = 0 gives it this share of the largest weight. */
#define LIKELY 1e-3
/* More weight than this at an end of the grid extends it. */
#define PILED_UP 0.15
/* More weight than this at the last end: the scale is not identified. */
#define NOT_IDENTIFIED 0.30
/* Levels of sigma, from the lowest, that say `no pattern`. */
#define FLAT_SIGMAS 2

/* Evidence of tau > 0, its levels in proportion to their prior, over that of tau = 0; a lower bound where points of tau
 * > 0 were not seen. */
static double variation_ratio(const foci_counts_search *search) {
    double best = -INFINITY, with = 0, without = 0, none = search->grid.tau_prior[0];
    for (int pass = 0; pass < 2; pass++)
        for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++) {
            foci_counts_index index = foci_counts_grid_index(k);
            if (!foci_counts_grid_has(&search->grid, index) || search->points[k].stage < FOCI_COUNTS_SEEN)
                continue;
            double height = foci_counts_grid_prior(&search->grid, index) + search->points[k].found.log_z;
            if (pass == 0)
                best = fmax(best, height);
            else if (index.tau > 0)
                with += exp(height - best) / (1 - none);
            else
                without += exp(height - best) / none;
        }
    return without > 0 ? with / without : INFINITY;
}

static bool search_levels(foci_counts_search *search, size_t taus, const foci_execution *how, foci_error *err) {
    foci_counts_grid_use(&search->grid, search->grid.ranges, search->grid.sigmas, taus);
    foci_counts_search_want(search);
    return foci_counts_search_run(search, how, err);
}

/* All levels of tau where tau = 0 has weight, and on a coarse grid. */
static bool search_likely(foci_counts_search *search, double *weight, const foci_execution *how, foci_error *err) {
    double most = 0;
    foci_counts_search_weights(search, weight);
    for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++)
        most = fmax(most, weight[k]);
    foci_counts_grid_use(&search->grid, search->grid.ranges, search->grid.sigmas, FOCI_COUNTS_TAUS);
    for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++) {
        foci_counts_index index = foci_counts_grid_index(k);
        bool coarse = index.range % 2 == 1 && index.sigma % 2 == 0 && index.sigma > 0;
        size_t without = k - index.tau;
        if (search->points[k].stage == FOCI_COUNTS_UNSEEN && foci_counts_grid_has(&search->grid, index) &&
            (coarse || weight[without] > LIKELY * most))
            search->points[k].stage = FOCI_COUNTS_WANTED;
    }
    return foci_counts_search_run(search, how, err);
}

bool foci_counts_choose_variation(foci_counts_search *search, foci_stop_variation wanted, double *weight, double *ratio,
                                  const foci_execution *how, foci_error *err) {
    const foci_execution first = foci_execution_part(how, 0, 0.3), second = foci_execution_part(how, 0.3, 0.6);
    const foci_execution last = foci_execution_part(how, 0.6, 1);
    *ratio = NAN;
    if (wanted == FOCI_STOP_VARIATION_ON) {
        if (!search_levels(search, FOCI_COUNTS_TAUS, how, err))
            return false;
        *ratio = variation_ratio(search);
        return true;
    }
    if (!search_levels(search, 1, wanted == FOCI_STOP_VARIATION_OFF ? how : &first, err))
        return false;
    if (wanted == FOCI_STOP_VARIATION_OFF)
        return true;
    if (!search_likely(search, weight, &second, err))
        return false;
    *ratio = variation_ratio(search);
    if (*ratio > EVIDENCE_HOPELESS) {
        if (!search_levels(search, FOCI_COUNTS_TAUS, &last, err))
            return false;
        *ratio = variation_ratio(search);
    }
    if (!(*ratio > EVIDENCE_ENOUGH))
        foci_counts_grid_use(&search->grid, search->grid.ranges, search->grid.sigmas, 1);
    return true;
}

typedef struct {
    double family[FOCI_CORRELATION_FAMILIES], ratio[FOCI_COUNTS_RATIOS], range[FOCI_COUNTS_MOST],
        sigma[FOCI_COUNTS_MOST], tau[FOCI_COUNTS_TAUS];
} marginals;

static marginals marginals_of(const foci_counts_search *search, const double *weight) {
    marginals sums = {0};
    for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++) {
        foci_counts_index index = foci_counts_grid_index(k);
        sums.family[index.family] += weight[k];
        sums.ratio[index.ratio] += weight[k];
        sums.range[index.range] += weight[k];
        sums.sigma[index.sigma] += weight[k];
        sums.tau[index.tau] += weight[k];
    }
    return sums;
}

bool foci_counts_extend(foci_counts_search *search, double *weight, const foci_execution *how, foci_error *err) {
    double done = 0; /* how often it will go on is not known: half of what is left each time */
    for (;;) {
        foci_counts_grid *grid = &search->grid;
        foci_counts_search_weights(search, weight);
        marginals sums = marginals_of(search, weight);
        size_t ranges = grid->ranges, sigmas = grid->sigmas;
        if (sums.range[ranges - 1] > PILED_UP && ranges < FOCI_COUNTS_MOST)
            ranges++;
        if (sums.sigma[sigmas - 1] > PILED_UP && sigmas < FOCI_COUNTS_MOST)
            sigmas++;
        if (ranges == grid->ranges && sigmas == grid->sigmas)
            return true;
        foci_counts_grid_use(grid, ranges, sigmas, grid->taus);
        foci_counts_search_want(search);
        const foci_execution part = foci_execution_part(how, done, (1 + done) / 2);
        if (!foci_counts_search_run(search, &part, err))
            return false;
        done = (1 + done) / 2;
    }
}

typedef struct {
    size_t key, point;
} place_in_order;

static int compare_places(const void *a, const void *b) {
    const place_in_order *first = a, *second = b;
    return (first->key > second->key) - (first->key < second->key);
}

static size_t sort_key(size_t point) {
    foci_counts_index index = foci_counts_grid_index(point);
    return point + index.ratio * FOCI_CORRELATION_FAMILIES * FOCI_COUNTS_POINTS;
}

static bool systematic_sample(size_t picked[FOCI_COUNTS_DRAWS], size_t *found, size_t wanted,
                              const foci_counts_search *search, const double *weight, foci_error *err) {
    const size_t points = foci_counts_grid_count(&search->grid);
    size_t count = 0, next = 0, *taken = NULL;
    bool ok = false;
    double *path = NULL;
    place_in_order *order = foci_new_array(points, sizeof *order, err);
    if (!order)
        goto done;
    for (size_t k = 0; k < points; k++)
        if (weight[k] > 0)
            order[count++] = (place_in_order){foci_counts_grid_snake(&search->grid, foci_counts_grid_index(k)), k};
    qsort(order, count, sizeof *order, compare_places);
    path = foci_new_array(count, sizeof *path, err);
    taken = path ? foci_new_array(count, sizeof *taken, err) : NULL;
    if (!taken)
        goto done;
    for (size_t i = 0; i < count; i++)
        path[i] = weight[order[i].point];
    foci_systematic(taken, path, count, wanted);
    for (size_t i = 0; i < count; i++)
        for (size_t times = 0; times < taken[i]; times++)
            picked[next++] = order[i].point;
    *found = next;
    ok = true;
done:
    free(order);
    free(path);
    free(taken);
    return ok;
}

bool foci_counts_draw_points(foci_counts_draw *draws, size_t *distinct, size_t wanted, const foci_counts_search *search,
                             const double *weight, foci_error *err) {
    size_t picked[FOCI_COUNTS_DRAWS], count = 0, found = 0;
    place_in_order order[FOCI_COUNTS_DRAWS];
    if (!systematic_sample(picked, &found, wanted, search, weight, err))
        return false;
    for (size_t i = 0; i < found; i++)
        order[i] = (place_in_order){sort_key(picked[i]), picked[i]};
    qsort(order, found, sizeof *order, compare_places);
    for (size_t i = 0; i < found; i++) {
        const size_t point = order[i].point;
        const bool propagated = search->points[point].found.propagated;
        if (i == 0 || point != order[i - 1].point)
            draws[count++] =
                (foci_counts_draw){.point = foci_counts_search_point(search, foci_counts_grid_index(point)),
                                   .propagate = search->plain ? FOCI_PROPAGATE_NEVER
                                                : propagated  ? FOCI_PROPAGATE_ALWAYS
                                                              : FOCI_PROPAGATE_BEYOND_LIMIT};
        draws[count - 1].weight += 1.0 / (double)wanted;
    }
    *distinct = count;
    return true;
}

static bool says_no_pattern(const foci_counts_grid *grid, foci_counts_index index, double spacing) {
    return grid->range[index.range] < spacing || index.sigma < FLAT_SIGMAS;
}

void foci_counts_summarise(foci_counts_summary *summary, const foci_counts_search *search, const double *weight,
                           double spacing) {
    const foci_counts_grid *grid = &search->grid;
    marginals sums = marginals_of(search, weight);
    summary->range = foci_cell_interval(grid->range, sums.range, grid->ranges);
    summary->sigma = foci_cell_interval(grid->sigma, sums.sigma, grid->sigmas);
    summary->ratio = foci_level_interval(grid->ratio, sums.ratio, grid->ratios);
    summary->tau = foci_level_interval(grid->tau, sums.tau, grid->taus);
    summary->stop_variation = grid->taus > 1;
    summary->range_open = sums.range[grid->ranges - 1] > NOT_IDENTIFIED;
    summary->sigma_open = sums.sigma[grid->sigmas - 1] > NOT_IDENTIFIED;
    summary->no_pattern = summary->no_pattern_before = summary->largest_shift = summary->propagated = 0;
    summary->families = grid->families;
    for (size_t i = 0; i < grid->families; i++) {
        summary->family[i] = grid->family[i];
        summary->family_share[i] = sums.family[i];
    }
    for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++) {
        foci_counts_index index = foci_counts_grid_index(k);
        const foci_approximation *found = &search->points[k].found;
        if (!foci_counts_grid_has(grid, index))
            continue;
        if (says_no_pattern(grid, index, spacing)) {
            summary->no_pattern += weight[k];
            summary->no_pattern_before += exp(foci_counts_grid_prior(grid, index));
        }
        if (found->propagated)
            summary->propagated += weight[k];
        if (weight[k] > 1e-3)
            summary->largest_shift = fmax(summary->largest_shift, found->shift);
    }
}
