/* Smooth methods are worked at the nodes of a coarser lattice and interpolated between them. How much that loses is
 * shown in the tests and in docs/surface.md. */
#include "estimate/surface/surface_layers.h"

#include <math.h>

#include "estimate/space/lattice.h"

/* Shares nearer to 0 or 1 than this are not told apart. */
#define TINY 1e-12

static double logit_mean(const double *values, const foci_lattice_nodes *four, double least, double most) {
    double sum = 0;
    for (int i = 0; i < 4; i++) {
        double share = (values[four->place[i]] - least) / (most - least);
        share = fmin(fmax(share, TINY), 1 - TINY);
        sum += four->weight[i] * log(share / (1 - share));
    }
    return least + (most - least) / (1 + exp(-sum));
}

static double log_mean(const double *values, const foci_lattice_nodes *four) {
    double sum = 0;
    for (int i = 0; i < 4; i++)
        sum += four->weight[i] * log(fmax(values[four->place[i]], TINY));
    return exp(sum);
}

bool foci_surface_lattice_run(foci_surface_places *cells, const foci_surface_model *model, const foci_grid *grid,
                              size_t step, const foci_execution *how, foci_error *err) {
    foci_lattice lattice = {0};
    foci_surface_places nodes = {0};
    bool ok = foci_lattice_make(&lattice, grid, step, err) &&
              foci_surface_places_make(&nodes, lattice.count, cells->answers.variance != NULL,
                                       cells->answers.chance != NULL, err) &&
              foci_surface_at(model, lattice.places, lattice.count, &nodes.answers, how, err);
    const foci_answers *from = &nodes.answers, *to = &cells->answers;
    for (size_t k = 0; ok && k < cells->count; k++) {
        foci_lattice_nodes four = foci_lattice_around(&lattice, grid, cells->cells[k]);
        to->estimate[k] = logit_mean(from->estimate, &four, model->least, model->most);
        if (!to->variance)
            continue;
        to->variance[k] = log_mean(from->variance, &four);
        to->low[k] = logit_mean(from->low, &four, model->least, model->most);
        to->high[k] = logit_mean(from->high, &four, model->least, model->most);
        if (to->chance)
            to->chance[k] = logit_mean(from->chance, &four, 0, 1);
    }
    foci_lattice_free(&lattice);
    foci_surface_places_free(&nodes);
    return ok;
}
