/* Which cells to dig: the ways of choosing, each adding to one list. */
#ifndef FOCI_DECIDE_DIG_CHOICE_H
#define FOCI_DECIDE_DIG_CHOICE_H

#include "decide/digs/dig_ground.h"
#include "fieldfoci/dig_points.h"

typedef struct {
    size_t cell;
    foci_dig_why why;
} foci_dig_pick;

/* All but the picks and their distances is borrowed. */
typedef struct {
    const foci_surface_model *model;
    const foci_surface *surface;
    const foci_grid *grid;
    const foci_hotspots *hotspots;
    const foci_zones *zones; /* code NULL: there are none */
    const foci_dig_ground *ground;
    double spacing;                  /* meters, >= 0: no two picks are nearer than half of it */
    double units;                    /* looked at in a dig */
    double treat_chance, dig_chance; /* an unsure pick lies strictly between */
    const foci_execution *how;
    size_t count;
    foci_dig_pick *picks;                      /* room for all that are wanted */
    double *away;                              /* per cell of the ground: meters to the nearest pick, or infinity */
    double misclassified, misclassified_after; /* shares of the ground; NaN where not known */
} foci_dig_choice;

/* Adds a pick. */
void foci_dig_take(foci_dig_choice *choice, size_t cell, foci_dig_why why);

/* Whether a cell is at least `apart` meters from all picks, and none of them. */
bool foci_dig_is_apart(const foci_dig_choice *choice, size_t cell, double apart);

/* Chance of a cell; without chances its severity. */
double foci_dig_strength(const foci_dig_choice *choice, size_t cell);

/* Up to `quota` cells in hotspots, in the order of sum(area x chance): in each the cell of the highest chance (without
 * chances: severity), of equal ones that of the highest severity; then in the same order a second one, at least a
 * spacing from any. */
bool foci_dig_choose_confirm(foci_dig_choice *choice, size_t quota, foci_error *err) FOCI_MUST_CHECK;

/* Up to `quota` cells of the highest chance (without chances: severity), a spacing apart and where that has no room
 * half a spacing; only in ground to dig, or anywhere. */
void foci_dig_choose_highest(foci_dig_choice *choice, size_t quota, bool in_dig_ground);

/* Up to `quota` cells from the lot: leave cells (without zones: any) half a spacing or more from the picks made before.
 * A random systematic sample in serpentine order along `heading`, drawn anew where two of it are too near each other:
 * nearly equal chances for all of the lot. `stream` numbers the draws. */
bool foci_dig_choose_outside(foci_dig_choice *choice, size_t quota, unsigned long seed, unsigned long stream,
                             double heading, size_t *lot, foci_error *err) FOCI_MUST_CHECK;

/* Up to `quota` cells of a chance strictly between the two, one by one that which lessens the expected
 * misclassification most, given all picks before it; where no cell lessens it, or there are no chances, that whose
 * severity is nearest to the threshold. */
bool foci_dig_choose_unsure(foci_dig_choice *choice, size_t quota, foci_error *err) FOCI_MUST_CHECK;

#endif
