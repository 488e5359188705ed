#include "fieldfoci/surface.h"

#include <math.h>
#include <stdlib.h>

#include "base/chance.h"
#include "base/memory.h"
#include "base/text.h"
#include "estimate/surface_layers.h"
#include "estimate/surface_methods.h"

const foci_surface_method *foci_surface_method_find(const char *name) {
    for (const foci_surface_method *method = foci_surface_methods; method->name; method++)
        if (foci_text_same(method->name, name))
            return method;
    return NULL;
}

double foci_surface_chance(double estimate, double variance, double threshold) {
    if (variance > 0)
        return foci_normal_cdf((estimate - threshold) / sqrt(variance));
    return estimate >= threshold ? 1 : 0;
}

static foci_surface_facts nothing_known(void) {
    const foci_interval none = {NAN, NAN, NAN};
    return (foci_surface_facts){
        .lambda = 1,
        .range = none,
        .ratio = none,
        .nugget_share = none,
        .sigma = none,
        .tau = none,
        .stop_variation_ratio = NAN,
        .no_pattern = NAN,
        .log_likelihood = NAN,
        .better_heading = NAN,
        .better_ratio = NAN,
        .better_gain = NAN,
        .better_chance = NAN,
    };
}

bool foci_surface_model_fit(foci_surface_model *out, const foci_readings *readings, const foci_surface_options *options,
                            foci_error *err) {
    if (readings->count == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "there are no stops; give some");
    foci_surface_model model = {
        .method = options->method,
        .facts = nothing_known(),
        .least = options->least,
        .most = options->most,
        .threshold = options->threshold,
        .spacing = sqrt(options->area / (double)readings->count),
    };
    if (!model.method->fit(&model.state, &model.facts, readings, options, err))
        return false;
    *out = model;
    return true;
}

void foci_surface_model_free(foci_surface_model *model) {
    if (model->state)
        model->method->free(model->state);
    *model = (foci_surface_model){0};
}

void foci_surface_free(foci_surface *surface) {
    free(surface->estimate);
    free(surface->deviation);
    free(surface->low);
    free(surface->high);
    free(surface->chance);
    *surface = (foci_surface){0};
}

void foci_surface_places_free(foci_surface_places *places) {
    free(places->cells);
    free(places->places);
    free(places->answers.estimate);
    free(places->answers.variance);
    free(places->answers.low);
    free(places->answers.high);
    free(places->answers.chance);
    *places = (foci_surface_places){0};
}

static bool new_numbers(double **numbers, size_t count, bool wanted, foci_error *err) {
    return !wanted || (*numbers = foci_new_array(count, sizeof **numbers, err)) != NULL;
}

bool foci_surface_places_make(foci_surface_places *out, size_t count, bool with_variance, bool with_chance,
                              foci_error *err) {
    foci_surface_places places = {.count = count};
    places.cells = foci_new_array(count, sizeof *places.cells, err);
    places.places = places.cells ? foci_new_array(count, sizeof *places.places, err) : NULL;
    if (!places.places || !new_numbers(&places.answers.estimate, count, true, err) ||
        !new_numbers(&places.answers.variance, count, with_variance, err) ||
        !new_numbers(&places.answers.low, count, with_variance, err) ||
        !new_numbers(&places.answers.high, count, with_variance, err) ||
        !new_numbers(&places.answers.chance, count, with_variance && with_chance, err)) {
        foci_surface_places_free(&places);
        return false;
    }
    *out = places;
    return true;
}

static bool inside_make(foci_surface_places *out, const foci_grid *grid, const foci_surface_model *model,
                        foci_error *err) {
    if (grid->cells == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "no cell lies inside the field; check its boundary");
    if (!foci_surface_places_make(out, grid->cells, model->method->gives_variance, !isnan(model->threshold), err))
        return false;
    size_t next = 0;
    for (size_t i = 0; i < grid->rows * grid->columns; i++)
        if (grid->share[i] > 0) {
            out->cells[next] = i;
            out->places[next++] = foci_grid_centre(grid, i);
        }
    return true;
}

static bool new_layer(double **layer, size_t count, bool wanted, foci_error *err) {
    if (!new_numbers(layer, count, wanted, err))
        return false;
    for (size_t i = 0; wanted && i < count; i++)
        (*layer)[i] = NAN;
    return true;
}

static bool new_layers(foci_surface *surface, size_t count, bool with_variance, bool with_chance, foci_error *err) {
    return new_layer(&surface->estimate, count, true, err) &&
           new_layer(&surface->deviation, count, with_variance, err) &&
           new_layer(&surface->low, count, with_variance, err) &&
           new_layer(&surface->high, count, with_variance, err) &&
           new_layer(&surface->chance, count, with_variance && with_chance, err);
}

static double hold(double value, const foci_surface_model *model) {
    return fmin(fmax(value, model->least), model->most);
}

static void fill(foci_surface *surface, const foci_surface_places *cells, const foci_surface_model *model) {
    for (size_t k = 0; k < cells->count; k++) {
        size_t cell = cells->cells[k];
        double estimate = cells->answers.estimate[k];
        surface->estimate[cell] = hold(estimate, model);
        surface->held += surface->estimate[cell] != estimate;
        if (!surface->deviation)
            continue;
        surface->deviation[cell] = sqrt(cells->answers.variance[k]);
        surface->low[cell] = hold(cells->answers.low[k], model);
        surface->high[cell] = hold(cells->answers.high[k], model);
        if (surface->chance)
            surface->chance[cell] = cells->answers.chance[k];
    }
}

static void summarise(foci_surface *surface, const foci_grid *grid, const foci_surface_places *cells) {
    double sum = 0, weight = 0;
    surface->min = INFINITY;
    surface->max = -INFINITY;
    for (size_t k = 0; k < cells->count; k++) {
        double estimate = surface->estimate[cells->cells[k]], share = grid->share[cells->cells[k]];
        sum += share * estimate;
        weight += share;
        surface->min = fmin(surface->min, estimate);
        surface->max = fmax(surface->max, estimate);
    }
    surface->mean = sum / weight;
}

bool foci_surface_estimate(foci_surface *out, const foci_surface_model *model, const foci_grid *grid, foci_error *err) {
    const foci_surface_method *method = model->method;
    foci_surface surface = {.lattice = 1};
    foci_surface_places cells = {0};
    bool ok = false;
    if (!inside_make(&cells, grid, model, err) ||
        !new_layers(&surface, grid->rows * grid->columns, method->gives_variance, !isnan(model->threshold), err))
        goto done;
    if (method->on_lattice)
        surface.lattice = foci_surface_lattice_step(model->spacing, grid->cell);
    if (surface.lattice > 1 ? !foci_surface_lattice_run(&cells, model, grid, surface.lattice, err)
                            : !method->at(model->state, &cells.answers, cells.places, cells.count, err))
        goto done;
    fill(&surface, &cells, model);
    summarise(&surface, grid, &cells);
    *out = surface;
    surface = (foci_surface){0};
    ok = true;
done:
    foci_surface_places_free(&cells);
    foci_surface_free(&surface);
    return ok;
}
