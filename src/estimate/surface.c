#include "fieldfoci/surface.h"

#include <math.h>
#include <stdlib.h>

#include "base/chance.h"
#include "base/memory.h"
#include "base/text.h"
#include "estimate/inverse_distance.h"
#include "estimate/kriging.h"

const foci_surface_method foci_surface_methods[] = {
    {"kriging", "ordinary kriging", true, true, foci_kriging_at, foci_kriging_left_out},
    {"idw", "inverse-distance weighting", false, false, foci_inverse_distance_at, foci_inverse_distance_left_out},
    {0},
};

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

void foci_surface_free(foci_surface *surface) {
    free(surface->estimate);
    free(surface->deviation);
    free(surface->low);
    free(surface->high);
    free(surface->chance);
    *surface = (foci_surface){0};
}

/* The cells inside the field, and what the method says at their centres. */
typedef struct {
    size_t count;
    size_t *cells;
    foci_point *centres;
    double *estimate, *variance; /* variance NULL where the method gives none */
} inside;

static void inside_free(inside *cells) {
    free(cells->cells);
    free(cells->centres);
    free(cells->estimate);
    free(cells->variance);
    *cells = (inside){0};
}

static bool inside_make(inside *out, const foci_grid *grid, bool with_variance, foci_error *err) {
    inside cells = {0};
    bool ok = false;
    size_t total = grid->rows * grid->columns;
    for (size_t i = 0; i < total; i++)
        cells.count += grid->share[i] > 0;
    cells.cells = foci_new_array(cells.count, sizeof *cells.cells, err);
    if (!cells.cells)
        goto done;
    cells.centres = foci_new_array(cells.count, sizeof *cells.centres, err);
    if (!cells.centres)
        goto done;
    cells.estimate = foci_new_array(cells.count, sizeof *cells.estimate, err);
    if (!cells.estimate)
        goto done;
    cells.variance = with_variance ? foci_new_array(cells.count, sizeof *cells.variance, err) : NULL;
    if (with_variance && !cells.variance)
        goto done;
    size_t next = 0;
    for (size_t i = 0; i < total; i++)
        if (grid->share[i] > 0) {
            cells.cells[next] = i;
            cells.centres[next++] = foci_grid_centre(grid, i);
        }
    *out = cells;
    cells = (inside){0};
    ok = true;
done:
    inside_free(&cells);
    return ok;
}

static double *new_layer(size_t count, foci_error *err) {
    double *layer = foci_new_array(count, sizeof *layer, err);
    for (size_t i = 0; layer && i < count; i++)
        layer[i] = NAN;
    return layer;
}

static bool new_layers(foci_surface *surface, size_t count, bool with_variance, bool with_chance, foci_error *err) {
    surface->estimate = new_layer(count, err);
    if (!surface->estimate)
        return false;
    if (!with_variance)
        return true;
    surface->deviation = new_layer(count, err);
    surface->low = surface->deviation ? new_layer(count, err) : NULL;
    surface->high = surface->low ? new_layer(count, err) : NULL;
    if (!surface->high)
        return false;
    surface->chance = with_chance ? new_layer(count, err) : NULL;
    return !with_chance || surface->chance;
}

static double hold(double value, const foci_surface_options *options) {
    return fmin(fmax(value, options->least), options->most);
}

static void fill(foci_surface *surface, const inside *cells, const foci_surface_options *options) {
    for (size_t k = 0; k < cells->count; k++) {
        size_t cell = cells->cells[k];
        double estimate = cells->estimate[k];
        surface->estimate[cell] = hold(estimate, options);
        surface->held += surface->estimate[cell] != estimate;
        if (!surface->deviation)
            continue;
        double deviation = sqrt(cells->variance[k]);
        surface->deviation[cell] = deviation;
        surface->low[cell] = hold(estimate - FOCI_NORMAL_95 * deviation, options);
        surface->high[cell] = hold(estimate + FOCI_NORMAL_95 * deviation, options);
        if (surface->chance)
            surface->chance[cell] = foci_surface_chance(estimate, cells->variance[k], options->threshold);
    }
}

static void summarise(foci_surface *surface, const foci_grid *grid, const inside *cells) {
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

bool foci_surface_estimate(foci_surface *out, const foci_readings *readings, const foci_grid *grid,
                           const foci_surface_options *options, foci_error *err) {
    const foci_surface_method *method = options->method;
    foci_surface surface = {0};
    inside cells = {0};
    bool ok = false;
    if (!inside_make(&cells, grid, method->gives_variance, err))
        goto done;
    if (cells.count == 0) {
        foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "no cell lies inside the field; check its boundary");
        goto done;
    }
    if (!new_layers(&surface, grid->rows * grid->columns, method->gives_variance, !isnan(options->threshold), err))
        goto done;
    if (!method->at(cells.estimate, cells.variance, readings, options, cells.centres, cells.count, err))
        goto done;
    fill(&surface, &cells, options);
    summarise(&surface, grid, &cells);
    *out = surface;
    surface = (foci_surface){0};
    ok = true;
done:
    inside_free(&cells);
    foci_surface_free(&surface);
    return ok;
}
