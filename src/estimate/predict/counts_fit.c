#include "estimate/predict/counts_model.h"

#include <math.h>
#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/fit/counts_search.h"
#include "estimate/predict/counts_choice.h"
#include "estimate/predict/counts_seasons.h"
#include "estimate/predict/counts_windows.h"

/* Parameters, draws and summary from the stops of the groups. */
static bool choose(foci_counts_model *model, foci_counts_search *search, const foci_execution *how, foci_error *err) {
    const foci_execution choosing = foci_execution_part(how, 0, 0.8), extending = foci_execution_part(how, 0.8, 1);
    const foci_counts_options *options = &model->options;
    foci_counts_summary *summary = &model->summary;
    double *weight = foci_new_array(foci_counts_grid_count(&search->grid), sizeof *weight, err);
    bool ok = false;
    if (!weight)
        goto done;
    if (!foci_counts_choose_variation(search, options->stop_variation, weight, &summary->stop_variation_ratio,
                                      &choosing, err))
        goto done;
    if (!options->plain && !foci_counts_extend(search, weight, &extending, err))
        goto done;
    summary->log_evidence = foci_counts_search_weights(search, weight);
    foci_counts_summarise(summary, search, weight, options->spacing);
    if (!foci_counts_draw_points(model->draws, &model->draw_count, foci_counts_draws_wanted(model), search, weight,
                                 err))
        goto done;
    summary->draws = model->draw_count;
    summary->fitted_on = search->stops;
    ok = true;
done:
    free(weight);
    return ok;
}

static bool fit_parameters(foci_counts_model *model, const foci_observations *groups, size_t group_count,
                           const foci_execution *how, foci_error *err) {
    foci_counts_grid grid = foci_counts_grid_make(model->options.spacing, !isnan(model->options.row_heading));
    foci_counts_search search = {0};
    bool ok = false;
    if (!foci_counts_search_make(&search, &grid, groups, group_count, model->options.plain, how, err))
        goto done;
    ok = choose(model, &search, how, err);
done:
    foci_counts_search_free(&search);
    return ok;
}

static bool fit_by_groups(foci_counts_model *model, const foci_execution *how, foci_error *err) {
    foci_observations groups[FOCI_COUNTS_GROUPS] = {{0}};
    bool ok = false;
    if (!foci_counts_groups_make(groups, &model->stops, err))
        goto done;
    ok = fit_parameters(model, groups, FOCI_COUNTS_GROUPS, how, err);
done:
    foci_counts_groups_free(groups);
    return ok;
}

/* The seasons as independent groups first; then how much they share. */
static bool fit_seasons(foci_counts_model *model, const foci_execution *how, foci_error *err) {
    const foci_execution fitting = foci_execution_part(how, 0, 0.5), weighing = foci_execution_part(how, 0.5, 0.9);
    const foci_execution conditioning = foci_execution_part(how, 0.9, 1);
    const foci_observations seasons[] = {foci_observations_season(&model->stops, 0),
                                         foci_observations_season(&model->stops, 1)};
    return fit_parameters(model, seasons, 2, &fitting, err) && foci_counts_seasons_weigh(model, &weighing, err) &&
           foci_counts_condition(model, &conditioning, err);
}

static bool fit_stops(foci_counts_model *model, const foci_execution *how, foci_error *err) {
    const foci_execution fitting = foci_execution_part(how, 0, 0.9), conditioning = foci_execution_part(how, 0.9, 1);
    if (model->options.earlier)
        return fit_seasons(model, how, err);
    if (model->stops.count > FOCI_COUNTS_JOINT)
        return fit_by_groups(model, how, err);
    return fit_parameters(model, &model->stops, 1, &fitting, err) && foci_counts_condition(model, &conditioning, err);
}

static bool check_options(size_t count, const foci_counts_options *options, foci_error *err) {
    if (count == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "there is no stop; give at least one");
    if (!isfinite(options->spacing) || !(options->spacing > 0))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                         "the distance between stops is not known; give the field's boundary");
    if (options->earlier && count + options->earlier->count > FOCI_COUNTS_JOINT)
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "two seasons with more than %d stops together are too many",
                         FOCI_COUNTS_JOINT);
    return true;
}

bool foci_counts_fit(foci_counts_model *out, const foci_point *places, const double *hits, const double *checked,
                     size_t count, const foci_counts_options *options, const foci_execution *how, foci_error *err) {
    const foci_readings *earlier = options->earlier;
    const size_t season_count = earlier ? 2 : 1;
    foci_season_readings seasons[2] = {{places, hits, checked, count}};
    const foci_columns columns = foci_counts_columns(season_count);
    foci_counts_model model = {.options = *options, .summary = {.stops = count}};
    bool ok = false;
    if (!check_options(count, options, err))
        return false;
    foci_linear_single_thread();
    if (earlier)
        seasons[1] = (foci_season_readings){earlier->places, earlier->hits, earlier->checked, earlier->count};
    if (!foci_observations_make(&model.stops, foci_response_binomial, seasons, season_count, &columns,
                                options->row_heading, err))
        goto done;
    for (size_t i = 0; i < count; i++) {
        model.summary.infected += hits[i];
        model.summary.checked += checked[i];
    }
    if (!fit_stops(&model, how, err))
        goto done;
    model.options.earlier = NULL; /* its stops were copied */
    *out = model;
    model = (foci_counts_model){0};
    ok = true;
done:
    foci_counts_free(&model);
    return ok;
}

void foci_counts_free(foci_counts_model *model) {
    foci_observations_free(&model->stops);
    foci_counts_posterior_free(&model->posterior);
    *model = (foci_counts_model){0};
}
