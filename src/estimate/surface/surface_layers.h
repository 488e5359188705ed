/* The surface of a grid, from what a method says at places. */
#ifndef FOCI_ESTIMATE_SURFACE_LAYERS_H
#define FOCI_ESTIMATE_SURFACE_LAYERS_H

#include "fieldfoci/surface.h"

/* Places of a grid, and what a method says there. */
typedef struct {
    size_t count;
    size_t *cells; /* index of each place's cell (or node) */
    foci_point *places;
    foci_prediction answers;
} foci_surface_places;

bool foci_surface_places_make(foci_surface_places *out, size_t count, bool with_variance, bool with_chance,
                              foci_error *err) FOCI_MUST_CHECK;
void foci_surface_places_free(foci_surface_places *places);

/* What the method says at every cell inside the field: at a lattice of nodes `step` cells apart, the rest interpolated
 * between the four nodes around, on the logit scale of the unit interval [least, most] (deviations on the log scale).
 */
bool foci_surface_nodes_run(foci_surface_places *cells, const foci_surface_model *model, const foci_grid *grid,
                            size_t step, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif
