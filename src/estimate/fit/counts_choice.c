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
    double best = -INFINITY, with = 0, without = 0, none = search->levels.prior[FOCI_AXIS_REST][0];
    for (int pass = 0; pass < 2; pass++)
        for (size_t k = 0; k < foci_levels_points(&search->levels); k++) {
            foci_level_index index = foci_levels_index(&search->levels, k);
            if (!foci_levels_has(&search->levels, index) || search->points[k].stage < FOCI_COUNTS_SEEN)
                continue;
            double height = foci_levels_log_prior(&search->levels, index) + search->points[k].found.log_z;
            if (pass == 0)
                best = fmax(best, height);
            else if (index.at[FOCI_AXIS_REST] > 0)
                with += exp(height - best) / (1 - none);
            else
                without += exp(height - best) / none;
        }
    return without > 0 ? with / without : INFINITY;
}

static bool search_levels(foci_counts_search *search, size_t taus, const foci_execution *how, foci_error *err) {
    foci_levels_use(&search->levels, FOCI_AXIS_REST, taus);
    foci_counts_search_want(search);
    return foci_counts_search_run(search, how, err);
}

/* All levels of tau where tau = 0 has weight, and on a coarse grid. */
static bool search_likely(foci_counts_search *search, double *weight, const foci_execution *how, foci_error *err) {
    double most = 0;
    foci_counts_search_weights(search, weight);
    for (size_t k = 0; k < foci_levels_points(&search->levels); k++)
        most = fmax(most, weight[k]);
    foci_levels_use(&search->levels, FOCI_AXIS_REST, FOCI_COUNTS_TAUS);
    for (size_t k = 0; k < foci_levels_points(&search->levels); k++) {
        foci_level_index index = foci_levels_index(&search->levels, k);
        bool coarse =
            index.at[FOCI_AXIS_RANGE] % 2 == 1 && index.at[FOCI_AXIS_SIGMA] % 2 == 0 && index.at[FOCI_AXIS_SIGMA] > 0;
        size_t without = k - index.at[FOCI_AXIS_REST];
        if (search->points[k].stage == FOCI_COUNTS_UNSEEN && foci_levels_has(&search->levels, index) &&
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
        foci_levels_use(&search->levels, FOCI_AXIS_REST, 1);
    return true;
}

/* Adds a level above those of an axis while the weight piles up at its end; whether it did. */
static bool extend_axis(foci_levels *levels, size_t axis, const double *weight) {
    const size_t count = levels->count[axis];
    double sums[FOCI_LEVELS_MOST];
    foci_levels_marginal(sums, levels, axis, weight);
    if (!(sums[count - 1] > PILED_UP) || count == levels->room[axis])
        return false;
    foci_levels_use(levels, axis, count + 1);
    return true;
}

bool foci_counts_extend(foci_counts_search *search, double *weight, const foci_execution *how, foci_error *err) {
    double done = 0; /* how often it will go on is not known: half of what is left each time */
    for (;;) {
        foci_counts_search_weights(search, weight);
        const bool farther = extend_axis(&search->levels, FOCI_AXIS_RANGE, weight);
        if (!extend_axis(&search->levels, FOCI_AXIS_SIGMA, weight) && !farther)
            return true;
        foci_counts_search_want(search);
        const foci_execution part = foci_execution_part(how, done, (1 + done) / 2);
        if (!foci_counts_search_run(search, &part, err))
            return false;
        done = (1 + done) / 2;
    }
}

static int compare_points(const void *a, const void *b) {
    const foci_drawn *first = a, *second = b;
    return (first->point > second->point) - (first->point < second->point);
}

/* Points of one stretch stand together, so that distances are worked once. */
static void sort_by_stretch(foci_drawn *drawn, size_t count, const foci_levels *levels) {
    const size_t points = foci_levels_points(levels);
    for (size_t i = 0; i < count; i++)
        drawn[i].point += points * foci_levels_index(levels, drawn[i].point).at[FOCI_AXIS_STRETCH];
    qsort(drawn, count, sizeof *drawn, compare_points);
    for (size_t i = 0; i < count; i++)
        drawn[i].point %= points;
}

bool foci_counts_draw_points(foci_counts_draw *draws, size_t *distinct, size_t wanted, const foci_counts_search *search,
                             const double *weight, foci_error *err) {
    foci_drawn drawn[FOCI_COUNTS_DRAWS];
    if (!foci_levels_draw(drawn, distinct, &search->levels, weight, wanted, err))
        return false;
    sort_by_stretch(drawn, *distinct, &search->levels);
    for (size_t i = 0; i < *distinct; i++) {
        const size_t point = drawn[i].point;
        const bool propagated = search->points[point].found.propagated;
        draws[i] =
            (foci_counts_draw){.point = foci_counts_search_point(search, foci_levels_index(&search->levels, point)),
                               .weight = drawn[i].weight,
                               .propagate = search->plain ? FOCI_PROPAGATE_NEVER
                                            : propagated  ? FOCI_PROPAGATE_ALWAYS
                                                          : FOCI_PROPAGATE_BEYOND_LIMIT};
    }
    return true;
}

static bool says_no_pattern(const foci_levels *levels, foci_level_index index, double spacing) {
    return levels->level[FOCI_AXIS_RANGE][index.at[FOCI_AXIS_RANGE]] < spacing ||
           index.at[FOCI_AXIS_SIGMA] < FLAT_SIGMAS;
}

/* The axes' own: intervals, and whether one lies open at its end. */
static void summarise_axes(foci_counts_summary *summary, const foci_levels *levels, const double *weight) {
    double sums[FOCI_AXES][FOCI_LEVELS_MOST];
    for (size_t axis = 0; axis < FOCI_AXES; axis++)
        foci_levels_marginal(sums[axis], levels, axis, weight);
    const size_t ranges = levels->count[FOCI_AXIS_RANGE], sigmas = levels->count[FOCI_AXIS_SIGMA];
    foci_fit_summary *facts = &summary->facts;
    facts->range = foci_cell_interval(levels->level[FOCI_AXIS_RANGE], sums[FOCI_AXIS_RANGE], ranges);
    facts->sigma = foci_cell_interval(levels->level[FOCI_AXIS_SIGMA], sums[FOCI_AXIS_SIGMA], sigmas);
    const foci_interval stretch = foci_level_interval(levels->level[FOCI_AXIS_STRETCH], sums[FOCI_AXIS_STRETCH],
                                                      levels->count[FOCI_AXIS_STRETCH]);
    facts->ratio = (foci_interval){1 / stretch.high, 1 / stretch.median, 1 / stretch.low};
    facts->tau =
        foci_level_interval(levels->level[FOCI_AXIS_REST], sums[FOCI_AXIS_REST], levels->count[FOCI_AXIS_REST]);
    facts->stop_variation = levels->count[FOCI_AXIS_REST] > 1;
    summary->range_open = sums[FOCI_AXIS_RANGE][ranges - 1] > NOT_IDENTIFIED;
    summary->sigma_open = sums[FOCI_AXIS_SIGMA][sigmas - 1] > NOT_IDENTIFIED;
    facts->scale_open = summary->range_open || summary->sigma_open;
    summary->families = levels->count[FOCI_AXIS_FAMILY];
    for (size_t i = 0; i < summary->families; i++) {
        summary->family[i] = levels->family[i];
        summary->family_share[i] = sums[FOCI_AXIS_FAMILY][i];
    }
}

void foci_counts_summarise(foci_counts_summary *summary, const foci_counts_search *search, const double *weight,
                           double spacing) {
    const foci_levels *levels = &search->levels;
    summarise_axes(summary, levels, weight);
    summary->facts.no_pattern = summary->no_pattern_before = summary->largest_shift = summary->propagated = 0;
    for (size_t k = 0; k < foci_levels_points(levels); k++) {
        foci_level_index index = foci_levels_index(levels, k);
        const foci_approximation *found = &search->points[k].found;
        if (!foci_levels_has(levels, index))
            continue;
        if (says_no_pattern(levels, index, spacing)) {
            summary->facts.no_pattern += weight[k];
            summary->no_pattern_before += exp(foci_levels_log_prior(levels, index));
        }
        if (found->propagated)
            summary->propagated += weight[k];
        if (weight[k] > 1e-3)
            summary->largest_shift = fmax(summary->largest_shift, found->shift);
    }
}
