#include "decide/digs/dig_choice.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/random.h"

#define NONE ((size_t)-1)

static double distance(const foci_grid *grid, size_t a, size_t b) {
    foci_point from = foci_grid_centre(grid, a), to = foci_grid_centre(grid, b);
    return hypot(from.x - to.x, from.y - to.y);
}

void foci_dig_take(foci_dig_choice *choice, size_t cell, foci_dig_why why) {
    choice->picks[choice->count++] = (foci_dig_pick){cell, why};
    for (size_t i = 0; i < choice->ground->count; i++)
        choice->away[i] = fmin(choice->away[i], distance(choice->grid, cell, choice->ground->cells[i]));
}

bool foci_dig_is_apart(const foci_dig_choice *choice, size_t cell, double apart) {
    for (size_t i = 0; i < choice->count; i++)
        if (choice->picks[i].cell == cell || distance(choice->grid, choice->picks[i].cell, cell) < apart)
            return false;
    return true;
}

/* The same of a cell of the ground. */
static bool has_room(const foci_dig_choice *choice, size_t ground, double apart) {
    return choice->away[ground] > 0 && choice->away[ground] >= apart;
}

double foci_dig_strength(const foci_dig_choice *choice, size_t cell) {
    return choice->surface->chance ? choice->surface->chance[cell] : choice->surface->estimate[cell];
}

/* ---- in the hotspots ---- */

/* A hotspot with ground to dig on. */
typedef struct {
    double infected; /* sum of area x chance, in cells */
    int id;
} rank;

static int compare_ranks(const void *left, const void *right) {
    const rank *a = left, *b = right;
    if (a->infected != b->infected)
        return a->infected > b->infected ? -1 : 1;
    return (a->id > b->id) - (a->id < b->id);
}

static bool rank_hotspots(rank **out, size_t *count, const foci_dig_choice *choice, foci_error *err) {
    size_t spots = choice->hotspots->count, kept = 0;
    const int *label = choice->hotspots->label;
    bool ok = false, *has_ground = NULL;
    rank *ranks = foci_new_array(spots, sizeof *ranks, err);
    if (!ranks)
        goto done;
    has_ground = foci_new_array(spots, sizeof *has_ground, err);
    if (!has_ground)
        goto done;
    for (size_t i = 0; i < spots; i++)
        ranks[i].id = (int)i + 1;
    for (size_t i = 0; i < choice->grid->rows * choice->grid->columns; i++)
        if (label[i] > 0)
            ranks[label[i] - 1].infected += choice->grid->share[i] * foci_dig_strength(choice, i);
    for (size_t i = 0; i < choice->ground->count; i++)
        if (label[choice->ground->cells[i]] > 0)
            has_ground[label[choice->ground->cells[i]] - 1] = true;
    for (size_t i = 0; i < spots; i++)
        if (has_ground[i])
            ranks[kept++] = ranks[i];
    qsort(ranks, kept, sizeof *ranks, compare_ranks);
    *out = ranks;
    *count = kept;
    ranks = NULL;
    ok = true;
done:
    free(ranks);
    free(has_ground);
    return ok;
}

/* Whether a cell is stronger than the best so far (NONE: any is); of equal chances the higher severity. */
static bool is_stronger(const foci_dig_choice *choice, size_t cell, size_t best) {
    if (best == NONE)
        return true;
    double more = foci_dig_strength(choice, cell) - foci_dig_strength(choice, best);
    return more > 0 || (more == 0 && choice->surface->estimate[cell] > choice->surface->estimate[best]);
}

/* The strongest cell of a hotspot at least `apart` from all picks, or NONE. */
static size_t strongest_in(const foci_dig_choice *choice, int id, double apart) {
    size_t best = NONE;
    for (size_t i = 0; i < choice->ground->count; i++) {
        size_t cell = choice->ground->cells[i];
        if (choice->hotspots->label[cell] == id && has_room(choice, i, apart) && is_stronger(choice, cell, best))
            best = cell;
    }
    return best;
}

bool foci_dig_choose_confirm(foci_dig_choice *choice, size_t quota, foci_error *err) {
    rank *ranks = NULL;
    size_t count = 0, most = choice->count + quota;
    if (!rank_hotspots(&ranks, &count, choice, err))
        return false;
    for (int round = 0; round < 2; round++)
        for (size_t i = 0; i < count && choice->count < most; i++) {
            double apart = round == 0 ? 0.5 * choice->spacing : choice->spacing;
            size_t cell = strongest_in(choice, ranks[i].id, apart);
            if (cell != NONE)
                foci_dig_take(choice, cell, FOCI_DIG_CONFIRM);
        }
    free(ranks);
    return true;
}

/* ---- the highest ---- */

static size_t highest(const foci_dig_choice *choice, double apart, bool in_dig_ground) {
    size_t best = NONE;
    for (size_t i = 0; i < choice->ground->count; i++) {
        size_t cell = choice->ground->cells[i];
        if ((!in_dig_ground || choice->zones->code[cell] == FOCI_ZONE_DIG) && has_room(choice, i, apart) &&
            is_stronger(choice, cell, best))
            best = cell;
    }
    return best;
}

void foci_dig_choose_highest(foci_dig_choice *choice, size_t quota, bool in_dig_ground) {
    size_t most = choice->count + quota;
    for (int round = 0; round < 2; round++)
        while (choice->count < most) {
            size_t cell = highest(choice, (round == 0 ? 1 : 0.5) * choice->spacing, in_dig_ground);
            if (cell == NONE)
                break;
            foci_dig_take(choice, cell, FOCI_DIG_HIGHEST);
        }
}

/* ---- by lot ---- */

enum { DRAWS_MOST = 100 };

static bool make_lot(foci_dig_ground *lot, const foci_dig_choice *choice, double heading, foci_error *err) {
    const signed char *code = choice->zones->code;
    lot->cells = foci_new_array(choice->ground->count, sizeof *lot->cells, err);
    if (!lot->cells)
        return false;
    for (size_t i = 0; i < choice->ground->count; i++) {
        size_t cell = choice->ground->cells[i];
        if ((!code || code[cell] == FOCI_ZONE_LEAVE) && has_room(choice, i, 0.5 * choice->spacing))
            lot->cells[lot->count++] = cell;
    }
    return foci_dig_ground_along_rows(lot, choice->grid, heading, err);
}

/* Draws every (cells / count)-th of the lot from a random start; returns how many of them, each held against those
 * before it, have room. Those come first. */
static size_t draw(size_t *drawn, size_t count, const foci_dig_ground *lot, const foci_dig_choice *choice,
                   foci_random *draws) {
    double start = foci_random_share(draws), step = (double)lot->count / (double)count;
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        size_t at = (size_t)((start + (double)i) * step);
        size_t cell = lot->cells[at < lot->count ? at : lot->count - 1]; /* rounding may reach the end */
        bool near = false;
        for (size_t k = 0; k < kept && !near; k++)
            near = distance(choice->grid, drawn[k], cell) < 0.5 * choice->spacing;
        if (!near)
            drawn[kept++] = cell;
    }
    return kept;
}

bool foci_dig_choose_outside(foci_dig_choice *choice, size_t quota, unsigned long seed, unsigned long stream,
                             double heading, size_t *lot_cells, foci_error *err) {
    foci_dig_ground lot = {0};
    foci_random draws = foci_random_stream(seed, stream);
    bool ok = false;
    size_t *drawn = foci_new_array(quota, 2 * sizeof *drawn, err), *best = drawn ? drawn + quota : NULL, most = 0;
    if (!drawn || !make_lot(&lot, choice, heading, err))
        goto done;
    size_t count = quota < lot.count ? quota : lot.count;
    for (int i = 0; i < DRAWS_MOST && most < count; i++) {
        size_t kept = draw(drawn, count, &lot, choice, &draws);
        if (kept > most)
            memcpy(best, drawn, kept * sizeof *best);
        most = kept > most ? kept : most;
    }
    for (size_t i = 0; i < most; i++)
        foci_dig_take(choice, best[i], FOCI_DIG_OUTSIDE);
    *lot_cells = lot.count;
    ok = true;
done:
    free(drawn);
    foci_dig_ground_free(&lot);
    return ok;
}
