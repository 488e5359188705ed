/* The lattice on which the windows of a counts surface lie, and the model of one window. */
#ifndef FOCI_ESTIMATE_COUNTS_LATTICE_H
#define FOCI_ESTIMATE_COUNTS_LATTICE_H

#include "estimate/predict/counts_model.h"
#include "estimate/space/neighbours.h"

typedef struct {
    const foci_counts_model *model; /* borrowed */
    foci_neighbours *index;         /* of its stops, in its plane; owned */
    double side;                    /* between centres, metres: six stop spacings */
} foci_counts_lattice;

/* A centre; whole numbers, in double so that no place is too far. */
typedef struct {
    double a, b;
} foci_counts_node;

bool foci_counts_lattice_open(foci_counts_lattice *out, const foci_counts_model *model,
                              foci_error *err) FOCI_MUST_CHECK;
void foci_counts_lattice_close(foci_counts_lattice *lattice);

/* Order of centres, for sorting: below, at or above 0. */
int foci_counts_node_compare(foci_counts_node first, foci_counts_node second);

/* Sorts numbers of stops and drops those that come twice; returns how many are left. */
size_t foci_counts_lattice_tidy(size_t *stops, size_t count);

/* A model of these stops with the parameters of the lattice's; not conditioned yet. */
bool foci_counts_lattice_model(foci_counts_model *out, const foci_counts_lattice *lattice, const size_t *stops,
                               size_t count, foci_error *err) FOCI_MUST_CHECK;

#endif
