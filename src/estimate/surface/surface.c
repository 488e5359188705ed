#include "fieldfoci/surface.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/probability.h"
#include "base/text.h"
#include "estimate/space/nodes.h"
#include "estimate/surface/surface_layers.h"
#include "estimate/surface/surface_methods.h"

const foci_surface_method *foci_surface_method_find(const char *name) {
    for (const foci_surface_method *method = foci_surface_methods; method->name; method++)
        if (foci_text_same(method->name, name))
            return method;
    return NULL;
}

void foci_surface_free(foci_surface *surface) {
    free(surface->estimate);
    free(surface->deviation);
    free(surface->low);
    free(surface->high);
    free(surface->chance);
    *surface = (foci_surface){0};
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
    if (!wanted)
        return true;
    *layer = foci_new_array(count, sizeof **layer, err);
    for (size_t i = 0; *layer && i < count; i++)
        (*layer)[i] = NAN;
    return *layer != NULL;
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
        surface->clamped += surface->estimate[cell] != estimate;
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
    double sum = 0, weight = 0, over = 0;
    surface->min = INFINITY;
    surface->max = -INFINITY;
    for (size_t k = 0; k < cells->count; k++) {
        double estimate = surface->estimate[cells->cells[k]], share = grid->share[cells->cells[k]];
        sum += share * estimate;
        over += share * (surface->chance ? surface->chance[cells->cells[k]] : NAN);
        weight += share;
        surface->min = fmin(surface->min, estimate);
        surface->max = fmax(surface->max, estimate);
    }
    surface->mean = sum / weight;
    surface->over = over / weight;
}

bool foci_surface_estimate(foci_surface *out, const foci_surface_model *model, const foci_grid *grid,
                           const foci_execution *how, foci_error *err) {
    const foci_surface_method *method = model->method;
    foci_surface surface = {.nodes = 1};
    foci_surface_places cells = {0};
    bool ok = false;
    if (!inside_make(&cells, grid, model, err) ||
        !new_layers(&surface, grid->rows * grid->columns, method->gives_variance, !isnan(model->threshold), err))
        goto done;
    if (method->on_nodes)
        surface.nodes = foci_nodes_step(model->spacing, grid->cell);
    if (surface.nodes > 1 ? !foci_surface_nodes_run(&cells, model, grid, surface.nodes, how, err)
                          : !foci_surface_at(model, cells.places, cells.count, &cells.answers, how, err))
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
