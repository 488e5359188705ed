#include "estimate/predict/counts_model.h"

#include <math.h>
#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/fit/counts_ties.h"
#include "estimate/fit/fit_summary.h"
#include "estimate/predict/windows.h"

/* A fit under way. */
typedef struct {
    foci_counts_model *model;
    const foci_counts_options *options;
} fitting;

/* What memory and time allow goes with draws x stops^2: all up to half of FOCI_COUNTS_JOINT stops, a quarter from there
 * on. With an earlier season a quarter too: each is tried with every tie between the seasons. */
static size_t draws_wanted(const fitting *fit) {
    double half = FOCI_COUNTS_JOINT / 2.0, share = half / fmax((double)fit->model->stops.count, half);
    if (fit->options->draws > 0)
        return fit->options->draws < FOCI_COUNTS_DRAWS ? fit->options->draws : FOCI_COUNTS_DRAWS;
    if (fit->options->earlier)
        return FOCI_COUNTS_DRAWS / 4;
    return (size_t)(FOCI_COUNTS_DRAWS * fmax(share * share, 0.25));
}

/* Parameters, draws and summary from the stops of the groups. */
static bool choose(const fitting *fit, foci_counts_search *search, const foci_execution *how, foci_error *err) {
    const foci_execution choosing = foci_execution_part(how, 0, 0.8), extending = foci_execution_part(how, 0.8, 1);
    foci_counts_model *model = fit->model;
    foci_counts_summary *summary = &model->summary;
    double *weight = foci_new_array(foci_levels_points(&search->levels), sizeof *weight, err);
    bool ok = false;
    if (!weight)
        goto done;
    if (!foci_counts_choose_variation(search, fit->options->stop_variation, weight,
                                      &summary->facts.stop_variation_ratio, &choosing, err))
        goto done;
    if (!fit->options->plain && !foci_counts_extend(search, weight, &extending, err))
        goto done;
    summary->facts.log_likelihood = foci_counts_search_weights(search, weight);
    foci_counts_summarise(summary, search, weight, model->spacing);
    if (!foci_counts_draw_points(model->draws, &model->draw_count, draws_wanted(fit), search, weight, err))
        goto done;
    summary->facts.components = model->draw_count;
    summary->facts.fitted_on = search->stops;
    ok = true;
done:
    free(weight);
    return ok;
}

static bool fit_parameters(const fitting *fit, const foci_observations *groups, size_t group_count,
                           const foci_execution *how, foci_error *err) {
    const foci_levels levels = foci_counts_levels(fit->model->spacing, !isnan(fit->options->row_heading));
    foci_counts_search search = {0};
    bool ok = foci_counts_search_make(&search, &levels, groups, group_count, fit->options->plain, how, err) &&
              choose(fit, &search, how, err);
    foci_counts_search_free(&search);
    return ok;
}

static bool fit_by_groups(const fitting *fit, const foci_execution *how, foci_error *err) {
    foci_observations groups[FOCI_COUNTS_GROUPS] = {{0}};
    bool ok = foci_counts_groups_make(groups, &fit->model->stops, err) &&
              fit_parameters(fit, groups, FOCI_COUNTS_GROUPS, how, err);
    foci_counts_groups_free(groups);
    return ok;
}

/* The seasons as independent groups first; then how much they share. */
static bool fit_seasons(const fitting *fit, const foci_execution *how, foci_error *err) {
    const foci_execution alone = foci_execution_part(how, 0, 0.5), weighing = foci_execution_part(how, 0.5, 0.9);
    const foci_execution conditioning = foci_execution_part(how, 0.9, 1);
    foci_counts_model *model = fit->model;
    const foci_observations seasons[] = {foci_observations_season(&model->stops, 0),
                                         foci_observations_season(&model->stops, 1)};
    return fit_parameters(fit, seasons, 2, &alone, err) &&
           foci_counts_ties_weigh(model->draws, &model->draw_count, &model->summary, &model->stops, draws_wanted(fit),
                                  &weighing, err) &&
           foci_counts_condition(model, &conditioning, err);
}

static bool fit_stops(const fitting *fit, const foci_execution *how, foci_error *err) {
    const foci_execution searching = foci_execution_part(how, 0, 0.9), conditioning = foci_execution_part(how, 0.9, 1);
    if (fit->options->earlier)
        return fit_seasons(fit, how, err);
    if (fit->model->stops.count > FOCI_COUNTS_JOINT)
        return fit_by_groups(fit, how, err);
    return fit_parameters(fit, &fit->model->stops, 1, &searching, err) &&
           foci_counts_condition(fit->model, &conditioning, err);
}

/* The middle of the posterior as a variogram of the logit: what a reader can compare with others. */
static foci_variogram middle(const foci_counts_summary *summary, double heading) {
    size_t likeliest = 0;
    for (size_t family = 1; family < summary->families; family++)
        if (summary->family_share[family] > summary->family_share[likeliest])
            likeliest = family;
    foci_variogram model = {
        .kind = summary->family[likeliest].row,
        .nugget = summary->facts.tau.median * summary->facts.tau.median,
        .partial_sill = summary->facts.sigma.median * summary->facts.sigma.median,
        .range = 1,
        .heading = isnan(heading) ? 0 : heading,
        .ratio = summary->facts.ratio.median,
        .smoothness = summary->family[likeliest].smoothness,
        .fit = "integrated",
        .squares = NAN,
    };
    model.range = summary->facts.range.median / foci_variogram_practical_range(&model);
    return model;
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
    foci_counts_model model = {.spacing = options->spacing,
                               .summary = {.facts = foci_fit_summary_unknown(), .stops = count}};
    const fitting fit = {&model, options};
    if (!check_options(count, options, err))
        return false;
    foci_linear_single_thread();
    if (earlier)
        seasons[1] = (foci_season_readings){earlier->places, earlier->hits, earlier->checked, earlier->count};
    bool ok = foci_observations_make(&model.stops, foci_response_binomial, seasons, season_count, &columns,
                                     options->row_heading, err);
    for (size_t i = 0; ok && i < count; i++) {
        model.summary.infected += hits[i];
        model.summary.checked += checked[i];
    }
    ok = ok && fit_stops(&fit, how, err);
    model.summary.facts.logit = true;
    if (ok) {
        model.summary.facts.variogram = middle(&model.summary, options->row_heading);
        *out = model;
    } else
        foci_counts_free(&model);
    return ok;
}

bool foci_counts_predict(const foci_counts_model *model, const foci_point *places, size_t count, double threshold,
                         const foci_prediction *out, const foci_execution *how, foci_error *err) {
    if (model->stops.count > FOCI_COUNTS_JOINT)
        return foci_windows_predict(model, places, count, threshold, out, how, err);
    return foci_counts_predict_jointly(model, places, count, threshold, out, how, err);
}

bool foci_counts_leave_one_out(const foci_counts_model *model, const foci_counts_leave_one_out_result *out,
                               const foci_execution *how, foci_error *err) {
    if (model->stops.count > FOCI_COUNTS_JOINT)
        return foci_windows_leave_one_out(model, out, how, err);
    return foci_counts_leave_one_out_jointly(model, NULL, NULL, out, how, err);
}
