#include "decide/digs/dig_choice.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/parallel.h"
#include "decide/digs/misclassification.h"

#define NONE ((size_t)-1)

/* Gains below this share of a target are rounding. */
#define LEAST_GAIN 1e-9

/* p (1 - p) is not taken below this: a dig where nearly all or no units are infected still tells something. */
#define LEAST_SPREAD 0.001

enum { TARGETS = 500 };

/* Error variance of what a dig will say: binomial on the logit scale (the delta method) and from stop to stop; of a
 * score the nugget. */
static double noise_at(const foci_dig_choice *choice, double mean) {
    const foci_fit_summary *facts = &choice->model->facts;
    if (!facts->logit)
        return facts->variogram.nugget;
    double share = 1 / (1 + exp(-mean));
    return 1 / (choice->units * fmax(share * (1 - share), LEAST_SPREAD)) + facts->variogram.nugget;
}

/* The targets and, behind them, the picks made before. */
typedef struct {
    foci_dig_ground targets;
    size_t count;
    double *mean, *noise, *with;
    foci_misclassification m;
} prospect;

static void prospect_free(prospect *p) {
    foci_dig_ground_free(&p->targets);
    free(p->mean);
    free(p->noise);
    free(p->with);
    foci_misclassification_free(&p->m);
}

static bool fill_prospect(prospect *p, const foci_dig_choice *choice, foci_point *places, double **covariance,
                          foci_error *err) {
    const foci_surface_model *model = choice->model;
    double threshold = NAN;
    for (size_t i = 0; i < p->count; i++) {
        size_t cell = i < p->targets.count ? p->targets.cells[i] : choice->picks[i - p->targets.count].cell;
        places[i] = foci_grid_centre(choice->grid, cell);
    }
    if (!foci_surface_covariance(model, p->mean, *covariance, &threshold, places, p->count, err))
        return false;
    for (size_t i = 0; i < p->count; i++)
        p->noise[i] = noise_at(choice, p->mean[i]);
    return foci_misclassification_make(&p->m, p->mean, covariance, p->count, p->targets.count, threshold, err);
}

static bool prospect_make(prospect *out, const foci_dig_choice *choice, foci_error *err) {
    prospect p = {0};
    foci_point *places = NULL;
    double *covariance = NULL;
    bool ok = false;
    if (!foci_dig_ground_spread(&p.targets, choice->ground, choice->grid, TARGETS, err))
        goto done;
    p.count = p.targets.count + choice->count;
    p.mean = foci_new_array(p.count, sizeof *p.mean, err);
    if (!p.mean)
        goto done;
    p.noise = foci_new_array(p.count, sizeof *p.noise, err);
    if (!p.noise)
        goto done;
    p.with = foci_new_array(p.targets.count, sizeof *p.with, err);
    if (!p.with)
        goto done;
    places = foci_new_array(p.count, sizeof *places, err);
    if (!places)
        goto done;
    covariance = foci_new_array(p.count, p.count * sizeof *covariance, err);
    if (!covariance || !fill_prospect(&p, choice, places, &covariance, err))
        goto done;
    *out = p;
    p = (prospect){0};
    ok = true;
done:
    prospect_free(&p);
    free(places);
    free(covariance);
    return ok;
}

/* Whether one look is worth calling unsure there. */
static bool is_open(const foci_dig_choice *choice, size_t cell) {
    const double *chance = choice->surface->chance;
    return !chance || (chance[cell] > choice->dig_chance && chance[cell] < choice->treat_chance);
}

typedef struct {
    const prospect *p;
    const foci_dig_choice *choice;
} looking;

static bool look(void *context, size_t thread, size_t i, foci_error *err) {
    const looking *l = context;
    const size_t cell = l->p->targets.cells[i];
    (void)thread;
    (void)err;
    l->p->with[i] = is_open(l->choice, cell) && foci_dig_is_apart(l->choice, cell, 0.5 * l->choice->spacing)
                        ? foci_misclassification_with(&l->p->m, i, l->p->noise[i])
                        : INFINITY;
    return true;
}

/* The target that leaves the least misclassification, or NONE where none gains. Each is worked for itself, so the
 * choice does not depend on the threads. */
static bool most_telling(size_t *out, const prospect *p, const foci_dig_choice *choice, const foci_execution *how,
                         foci_error *err) {
    double least = foci_misclassification_sum(&p->m) - LEAST_GAIN;
    looking all = {p, choice};
    *out = NONE;
    if (!foci_parallel(p->targets.count, how, look, &all, err))
        return false;
    for (size_t i = 0; i < p->targets.count; i++)
        if (p->with[i] < least) {
            least = p->with[i];
            *out = i;
        }
    return true;
}

/* Adds picks until there are `most`, or none lessens the expected misclassification any more. */
static bool add_telling(foci_dig_choice *choice, size_t most, foci_error *err) {
    const foci_execution silent = {.threads = choice->how ? choice->how->threads : 0};
    prospect p = {0};
    if (!prospect_make(&p, choice, err))
        return false;
    choice->misclassified = foci_misclassification_sum(&p.m) / (double)p.targets.count;
    for (size_t i = p.targets.count; i < p.count; i++)
        foci_misclassification_learn(&p.m, i, p.noise[i]);
    while (choice->count < most) {
        size_t best = NONE;
        const double done = (double)choice->count / (double)most;
        if (!foci_execution_tell(choice->how, done, err) || !most_telling(&best, &p, choice, &silent, err)) {
            prospect_free(&p);
            return false;
        }
        if (best == NONE)
            break;
        foci_misclassification_learn(&p.m, best, p.noise[best]);
        foci_dig_take(choice, p.targets.cells[best], FOCI_DIG_UNSURE);
    }
    choice->misclassified_after = foci_misclassification_sum(&p.m) / (double)p.targets.count;
    prospect_free(&p);
    return true;
}

/* Adds the cells whose severity is nearest to the threshold, each at least `apart` from all others, until there are
 * `most` or no cell is left. */
static void add_doubtful(foci_dig_choice *choice, size_t most, double apart) {
    const double *estimate = choice->surface->estimate;
    while (choice->count < most) {
        size_t best = NONE;
        double least = INFINITY;
        for (size_t i = 0; i < choice->ground->count; i++) {
            size_t cell = choice->ground->cells[i];
            double off = fabs(estimate[cell] - choice->model->threshold);
            if (off < least && is_open(choice, cell) && choice->away[i] > 0 && choice->away[i] >= apart) {
                least = off;
                best = cell;
            }
        }
        if (best == NONE)
            return;
        foci_dig_take(choice, best, FOCI_DIG_UNSURE);
    }
}

bool foci_dig_choose_unsure(foci_dig_choice *choice, size_t quota, foci_error *err) {
    size_t most = choice->count + quota;
    if (foci_surface_has_covariance(choice->model) && choice->surface->chance && choice->ground->count > 0 &&
        !add_telling(choice, most, err))
        return false;
    add_doubtful(choice, most, choice->spacing);
    add_doubtful(choice, most, 0.5 * choice->spacing);
    return true;
}
