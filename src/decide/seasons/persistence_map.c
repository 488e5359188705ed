#include "decide/seasons/persistence_map.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/seasons/joint_chances.h"
#include "estimate/space/nodes.h"

#define LEAST_CHANCE 0.5

static bool new_layer(double **layer, size_t cells, foci_error *err) {
    *layer = foci_new_array(cells, sizeof **layer, err);
    for (size_t i = 0; *layer && i < cells; i++)
        (*layer)[i] = NAN;
    return *layer != NULL;
}

static bool new_layers(foci_persistence *out, const foci_together *together, size_t cells, foci_error *err) {
    if (!new_layer(&out->hot_seasons, cells, err))
        return false;
    for (size_t s = 0; s < together->count; s++)
        if (!new_layer(&out->chance[together->given[s]], cells, err))
            return false;
    for (size_t code = 0; code < FOCI_CLASS_UNSURE; code++)
        if (!new_layer(&out->class_chance[code], cells, err))
            return false;
    out->class_code = foci_new_array(cells, sizeof *out->class_code, err);
    for (size_t i = 0; out->class_code && i < cells; i++)
        out->class_code[i] = -1;
    return out->class_code != NULL;
}

/* Spacing of the densest season. */
static double spacing_of(const foci_grid *grid, const foci_together *together) {
    const foci_observations *data = &together->joint.data;
    double shares = 0, stops = 0;
    for (size_t i = 0; i < grid->columns * grid->rows; i++)
        shares += grid->share[i];
    for (size_t s = 0; s < data->seasons; s++)
        stops = fmax(stops, (double)(data->first[s + 1] - data->first[s]));
    return sqrt(shares / stops) * grid->cell;
}

typedef struct {
    foci_nodes nodes;
    double *season, *group; /* a node's numbers side by side; owned */
} nodes;

static void nodes_free(nodes *n) {
    foci_nodes_free(&n->nodes);
    free(n->season);
    free(n->group);
}

static bool nodes_make(nodes *n, const foci_study *study, const foci_together *together, const foci_execution *how,
                       foci_error *err) {
    unsigned char *class = NULL;
    bool ok = false;
    if (!foci_nodes_make(&n->nodes, study->grid, foci_nodes_step(spacing_of(study->grid, together), study->grid->cell),
                         err))
        goto done;
    n->season = foci_new_array(n->nodes.count, together->count * sizeof *n->season, err);
    n->group = n->season ? foci_new_array(n->nodes.count, FOCI_CLASS_UNSURE * sizeof *n->group, err) : NULL;
    class = n->group ? foci_new_array((size_t)1 << together->count, sizeof *class, err) : NULL;
    if (!class)
        goto done;
    foci_together_classes(class, together);
    foci_joint_question question = {together->threshold, class, FOCI_CLASS_UNSURE};
    ok =
        foci_joint_chances(n->season, n->group, &together->joint, &question, n->nodes.places, n->nodes.count, how, err);
done:
    free(class);
    return ok;
}

/* One of the `width` numbers of a node. */
static double between(const double *numbers, size_t width, size_t which, const foci_nodes_four *four) {
    double sum = 0;
    for (int i = 0; i < 4; i++)
        sum += four->weight[i] * numbers[four->place[i] * width + which];
    return sum;
}

static void fill_cell(foci_persistence *out, size_t cell, const nodes *n, const foci_together *together,
                      const foci_nodes_four *four) {
    out->hot_seasons[cell] = 0;
    out->class_code[cell] = FOCI_CLASS_UNSURE;
    for (size_t s = 0; s < together->count; s++) {
        double chance = between(n->season, together->count, s, four);
        out->chance[together->given[s]][cell] = chance;
        out->hot_seasons[cell] += chance;
    }
    double most = 0;
    for (size_t code = 0; code < FOCI_CLASS_UNSURE; code++) {
        double chance = between(n->group, FOCI_CLASS_UNSURE, code, four);
        out->class_chance[code][cell] = chance;
        if (chance >= LEAST_CHANCE && chance > most) {
            most = chance;
            out->class_code[cell] = (int)code;
        }
    }
}

bool foci_persistence_map(foci_persistence *out, const foci_study *study, const foci_together *together,
                          const foci_execution *how, foci_error *err) {
    const foci_grid *grid = study->grid;
    size_t cells = grid->columns * grid->rows;
    nodes n = {0};
    bool ok = nodes_make(&n, study, together, how, err) && new_layers(out, together, cells, err);
    for (size_t cell = 0; ok && cell < cells; cell++)
        if (grid->share[cell] > 0) {
            foci_nodes_four four = foci_nodes_around(&n.nodes, grid, cell);
            fill_cell(out, cell, &n, together, &four);
        }
    nodes_free(&n);
    return ok;
}
