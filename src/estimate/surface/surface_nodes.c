/* Smooth methods are worked at nodes some cells apart and interpolated between them. How much that loses is shown in
 * the tests and in docs/surface.md. */
#include "estimate/surface/surface_layers.h"

#include <math.h>

#include "estimate/space/nodes.h"

/* Shares nearer to 0 or 1 than this are not told apart. */
#define TINY 1e-12

static double logit_mean(const double *values, const foci_nodes_four *four, double least, double most) {
    double sum = 0;
    for (int i = 0; i < 4; i++) {
        double share = (values[four->place[i]] - least) / (most - least);
        share = fmin(fmax(share, TINY), 1 - TINY);
        sum += four->weight[i] * log(share / (1 - share));
    }
    return least + (most - least) / (1 + exp(-sum));
}

static double log_mean(const double *values, const foci_nodes_four *four) {
    double sum = 0;
    for (int i = 0; i < 4; i++)
        sum += four->weight[i] * log(fmax(values[four->place[i]], TINY));
    return exp(sum);
}

bool foci_surface_nodes_run(foci_surface_places *cells, const foci_surface_model *model, const foci_grid *grid,
                            size_t step, const foci_execution *how, foci_error *err) {
    foci_nodes nodes = {0};
    foci_surface_places worked = {0};
    bool ok = foci_nodes_make(&nodes, grid, step, err) &&
              foci_surface_places_make(&worked, nodes.count, cells->answers.variance != NULL,
                                       cells->answers.chance != NULL, err) &&
              foci_surface_at(model, nodes.places, nodes.count, &worked.answers, how, err);
    const foci_prediction *from = &worked.answers, *to = &cells->answers;
    for (size_t k = 0; ok && k < cells->count; k++) {
        foci_nodes_four four = foci_nodes_around(&nodes, grid, cells->cells[k]);
        to->estimate[k] = logit_mean(from->estimate, &four, model->least, model->most);
        if (!to->variance)
            continue;
        to->variance[k] = log_mean(from->variance, &four);
        to->low[k] = logit_mean(from->low, &four, model->least, model->most);
        to->high[k] = logit_mean(from->high, &four, model->least, model->most);
        if (to->chance)
            to->chance[k] = logit_mean(from->chance, &four, 0, 1);
    }
    foci_nodes_free(&nodes);
    foci_surface_places_free(&worked);
    return ok;
}
