/* Which cells to dig: the three ways of choosing, each adding to one list. */
#ifndef FOCI_DECIDE_DIG_CHOICE_H
#define FOCI_DECIDE_DIG_CHOICE_H

#include "decide/dig_ground.h"
#include "fieldfoci/dig_points.h"

typedef struct {
    size_t cell;
    foci_dig_why why;
} foci_dig_pick;

/* All but the picks is borrowed. */
typedef struct {
    const foci_surface_model *model;
    const foci_surface *surface;
    const foci_grid *grid;
    const foci_hotspots *hotspots;
    const foci_zones *zones;
    const foci_dig_ground *ground;
    double spacing; /* metres, >= 0 */
    double units;   /* looked at in a dig */
    int threads;
    size_t count;
    foci_dig_pick *picks;                      /* room for all that are wanted */
    double misclassified, misclassified_after; /* shares of the ground; NaN where not known */
} foci_dig_choice;

/* Whether a cell is at least `apart` metres from the picks `from` and later, and none of them. */
bool foci_dig_is_apart(const foci_dig_choice *choice, size_t cell, size_t from, double apart);

/* Up to `quota` leave cells, a random systematic sample in serpentine order along `heading`: equal chances for all of
 * them. */
bool foci_dig_choose_outside(foci_dig_choice *choice, size_t quota, unsigned long seed, double heading,
                             size_t *leave_cells, foci_error *err) FOCI_MUST_CHECK;

/* Up to `quota` cells in hotspots, in the order of sum(area x chance): in each the cell of the highest chance (without
 * chances: severity), at least half a spacing from those chosen for other hotspots; then in the same order a second
 * one, at least a spacing from any. */
bool foci_dig_choose_confirm(foci_dig_choice *choice, size_t quota, foci_error *err) FOCI_MUST_CHECK;

/* Up to `quota` cells, one by one that which lessens the expected misclassification most, given all picks before it;
 * where no cell lessens it, or there are no chances, that whose severity is nearest to the threshold. None nearer than
 * half a spacing to another pick. */
bool foci_dig_choose_unsure(foci_dig_choice *choice, size_t quota, foci_error *err) FOCI_MUST_CHECK;

#endif
