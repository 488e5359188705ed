#include "decide/dig_choice.h"

#include <math.h>
#include <stdlib.h>

#include "base/draws.h"
#include "base/memory.h"

#define NONE ((size_t)-1)

static double distance(const foci_grid *grid, size_t a, size_t b) {
    foci_point from = foci_grid_centre(grid, a), to = foci_grid_centre(grid, b);
    return hypot(from.x - to.x, from.y - to.y);
}

bool foci_dig_is_apart(const foci_dig_choice *choice, size_t cell, size_t from, double apart) {
    for (size_t i = from; i < choice->count; i++)
        if (choice->picks[i].cell == cell || distance(choice->grid, choice->picks[i].cell, cell) < apart)
            return false;
    return true;
}

bool foci_dig_choose_outside(foci_dig_choice *choice, size_t quota, unsigned long seed, double heading,
                             size_t *leave_cells, foci_error *err) {
    foci_dig_ground leave = {0};
    foci_draws draws = foci_draws_stream(seed, 0);
    bool ok = false;
    leave.cells = foci_new_array(choice->ground->count, sizeof *leave.cells, err);
    if (!leave.cells)
        goto done;
    for (size_t i = 0; i < choice->ground->count; i++)
        if (choice->zones->code[choice->ground->cells[i]] == FOCI_ZONE_LEAVE)
            leave.cells[leave.count++] = choice->ground->cells[i];
    if (!foci_dig_ground_along_rows(&leave, choice->grid, heading, err))
        goto done;
    size_t count = quota < leave.count ? quota : leave.count;
    double start = foci_draws_share(&draws), step = count > 0 ? (double)leave.count / (double)count : 0;
    for (size_t i = 0; i < count; i++) {
        size_t at = (size_t)((start + (double)i) * step);
        size_t cell = leave.cells[at < leave.count ? at : leave.count - 1]; /* rounding may reach the end */
        choice->picks[choice->count++] = (foci_dig_pick){cell, FOCI_DIG_OUTSIDE};
    }
    *leave_cells = leave.count;
    ok = true;
done:
    foci_dig_ground_free(&leave);
    return ok;
}

static double strength(const foci_dig_choice *choice, size_t cell) {
    return choice->surface->chance ? choice->surface->chance[cell] : choice->surface->estimate[cell];
}

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
            ranks[label[i] - 1].infected += choice->grid->share[i] * strength(choice, i);
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

/* The strongest cell of a hotspot at least `apart` from the picks `from` and later, or NONE; of equal ones that of the
 * highest severity. */
static size_t strongest(const foci_dig_choice *choice, int id, size_t from, double apart) {
    size_t best = NONE;
    for (size_t i = 0; i < choice->ground->count; i++) {
        size_t cell = choice->ground->cells[i];
        if (choice->hotspots->label[cell] != id)
            continue;
        double more = best == NONE ? 1 : strength(choice, cell) - strength(choice, best);
        if (more == 0)
            more = choice->surface->estimate[cell] - choice->surface->estimate[best];
        if (more > 0 && foci_dig_is_apart(choice, cell, from, apart) && foci_dig_is_apart(choice, cell, 0, 0))
            best = cell;
    }
    return best;
}

bool foci_dig_choose_confirm(foci_dig_choice *choice, size_t quota, foci_error *err) {
    rank *ranks = NULL;
    size_t count = 0, before = choice->count, most = before + quota;
    if (!rank_hotspots(&ranks, &count, choice, err))
        return false;
    for (int round = 0; round < 2; round++)
        for (size_t i = 0; i < count && choice->count < most; i++) {
            double apart = round == 0 ? 0.5 * choice->spacing : choice->spacing;
            size_t cell = strongest(choice, ranks[i].id, before, apart);
            if (cell != NONE)
                choice->picks[choice->count++] = (foci_dig_pick){cell, FOCI_DIG_CONFIRM};
        }
    free(ranks);
    return true;
}
