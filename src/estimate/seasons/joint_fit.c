#include "estimate/seasons/joint_fit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "base/optimum.h"
#include "base/probability.h"

#define VARIANCE_LIKELY 0.65
#define NOISE_LIKELY 0.35

/* About how many the search takes: only to say how far it is. */
#define EVALUATIONS_USUAL 60.0

const double foci_joint_rho[FOCI_JOINT_RHOS] = {0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.97};

static void subtract(double *sum, const foci_joint_space *space, size_t season, const foci_joint_slope *slope) {
    sum[season] -= slope->mean;
    sum[foci_joint_space_variance(space, season)] -= slope->variance;
    if (space->scores)
        sum[foci_joint_space_noise(space, season)] -= slope->noise;
    sum[foci_joint_space_range(space)] -= slope->range;
    if (space->rows)
        sum[foci_joint_space_ratio(space)] -= slope->ratio;
}

/* Scores tell surface from noise badly where stops are few: minus the log of a prior of a factor of e up or down. */
static double score_prior(double *slope, const foci_joint_space *space, const double *point) {
    double sum = 0;
    for (size_t s = 0; s < space->seasons; s++) {
        size_t variance = foci_joint_space_variance(space, s), noise = foci_joint_space_noise(space, s);
        double off[] = {point[variance] - log(VARIANCE_LIKELY), point[noise] - log(NOISE_LIKELY)};
        sum += 0.5 * (off[0] * off[0] + off[1] * off[1]);
        if (slope) {
            slope[variance] += off[0];
            slope[noise] += off[1];
        }
    }
    return sum;
}

bool foci_joint_cost(double *cost, double *slope, double *field, const foci_observations *data,
                     const foci_joint_space *space, const double *point, foci_error *err) {
    double sum = 0;
    for (size_t i = 0; slope && i < space->count; i++)
        slope[i] = 0;
    for (size_t s = 0; s < data->seasons; s++) {
        foci_observations alone = foci_observations_season(data, s);
        foci_parameters p = foci_joint_space_season(space, point, s);
        foci_joint_slope own = {0};
        double log_likelihood = 0;
        if (!foci_joint_season_likelihood(&log_likelihood, slope ? &own : NULL, field + data->first[s], &alone, &p,
                                          err))
            return false;
        sum -= log_likelihood;
        if (slope)
            subtract(slope, space, s, &own);
    }
    *cost = sum + (space->scores ? score_prior(slope, space, point) : 0);
    return true;
}

typedef struct {
    const foci_observations *data;
    const foci_joint_space *space;
    double *field; /* modes found last, of all seasons */
    const foci_execution *how;
    double tried;      /* evaluations so far */
    foci_error failed; /* what ends it all: no memory, or a stop */
} search;

static double cost(const double *point, double *slope, size_t count, void *context) {
    search *work = context;
    foci_error err = {0};
    double found = INFINITY;
    work->tried++;
    if (work->failed.status != FOCI_OK ||
        !foci_joint_cost(&found, slope, work->field, work->data, work->space, point, &err) ||
        !foci_execution_tell(work->how, work->tried / (work->tried + EVALUATIONS_USUAL), &err)) {
        if (err.status == FOCI_NO_MEMORY || err.status == FOCI_STOPPED)
            foci_fail(&work->failed, err.status, NULL, 0, "%s", err.text);
        found = INFINITY;
        for (size_t i = 0; slope && i < count; i++)
            slope[i] = 0;
    }
    return found;
}

/* Of one season: logit of the share infected, or mean. */
static double mean_level(const foci_observations *data, size_t season) {
    double sum = 0, checked = 0;
    for (size_t i = data->first[season]; i < data->first[season + 1]; i++) {
        sum += data->readings[i];
        checked += data->response->counts ? data->checked[i] : 1;
    }
    return data->response->counts ? log((sum + 0.5) / (checked - sum + 0.5)) : sum / checked;
}

static void set_start(double *point, const search *work, double range, double variance) {
    const foci_joint_space *space = work->space;
    for (size_t s = 0; s < space->seasons; s++) {
        point[s] = mean_level(work->data, s);
        point[foci_joint_space_variance(space, s)] = log(variance);
        if (space->scores)
            point[foci_joint_space_noise(space, s)] = log(NOISE_LIKELY);
    }
    size_t at = foci_joint_space_range(space);
    point[at] = space->lower[at] + range * (space->upper[at] - space->lower[at]);
    if (space->rows)
        point[foci_joint_space_ratio(space)] = log(1.3);
}

/* The best of nine starts: much cheaper than a fit of each season alone, and as good. */
static void find_start(double *point, search *work) {
    static const double range[] = {0.2, 0.5, 0.8}, variance[] = {0.2, 0.7, 2};
    double trial[FOCI_JOINT_NUMBERS_MOST], least = INFINITY;
    set_start(point, work, range[1], variance[1]);
    for (int i = 0; i < 9; i++) {
        set_start(trial, work, range[i / 3], variance[i % 3]);
        double found = cost(trial, NULL, work->space->count, work);
        if (found < least) {
            least = found;
            memcpy(point, trial, work->space->count * sizeof *point);
        }
    }
}

bool foci_joint_optimise(double *point, double *least, const foci_observations *data, const foci_joint_space *space,
                         const foci_execution *how, foci_error *err) {
    search work = {.data = data, .space = space, .how = how};
    work.field = foci_new_array(data->count, sizeof *work.field, err);
    if (!work.field)
        return false;
    find_start(point, &work);
    foci_error own = {0};
    bool ok = foci_minimise_sloped(point, space->count, space->lower, space->upper, cost, &work, least, &own);
    free(work.field);
    if (work.failed.status == FOCI_STOPPED)
        return foci_fail(err, FOCI_STOPPED, NULL, 0, "%s", work.failed.text);
    if (work.failed.status == FOCI_NO_MEMORY || own.status == FOCI_NO_MEMORY)
        return foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "out of memory; give fewer stops");
    return ok || foci_fail(err, FOCI_NO_FIT, NULL, 0, "the seasons' readings found no stable estimate; check them");
}

foci_joint_verdict foci_joint_judge(double *weight, const double *rho, const double *log_likelihood, size_t count) {
    size_t best = 0;
    for (size_t r = 1; r < count; r++)
        if (log_likelihood[r] > log_likelihood[best])
            best = r;
    double sum = 0;
    for (size_t r = 0; r < count; r++) {
        double prior = r == 0 ? 0.5 : 0.5 / (double)(count - 1);
        weight[r] = prior * exp(log_likelihood[r] - log_likelihood[best]);
        sum += weight[r];
    }
    foci_joint_verdict verdict = {.ratio = 2 * (log_likelihood[best] - log_likelihood[0]), .p = 1, .best = rho[best]};
    if (best > 0)
        verdict.p = 0.5 * foci_chi_squared_above(verdict.ratio, 1);
    for (size_t r = 0; r < count; r++) {
        weight[r] /= sum;
        verdict.mean_rho += weight[r] * rho[r];
    }
    return verdict;
}

double foci_joint_rho_below(const double weight[FOCI_JOINT_RHOS], double part) {
    double sum = 0;
    size_t r = 0;
    while (r + 1 < FOCI_JOINT_RHOS && (sum += weight[r]) < part)
        r++;
    return foci_joint_rho[r];
}

static bool find_modes(foci_joint *joint, const foci_execution *how, foci_error *err) {
    double log_likelihood[FOCI_JOINT_RHOS];
    foci_latent work = {0};
    bool ok = foci_latent_make(&work, joint->data.count, err);
    if (ok)
        foci_latent_take(&work, &joint->data);
    for (size_t r = 0; ok && r < FOCI_JOINT_RHOS; r++) {
        foci_parameters parameters = joint->parameters;
        parameters.rho = foci_joint_rho[r];
        ok =
            foci_joint_mode_make(&joint->modes[r], &work, &parameters, r > 0 ? joint->modes[r - 1].field : NULL, err) &&
            foci_execution_tell(how, (double)(r + 1) / FOCI_JOINT_RHOS, err);
        log_likelihood[r] = joint->modes[r].log_likelihood;
    }
    foci_latent_free(&work);
    if (ok)
        joint->verdict = foci_joint_judge(joint->weight, foci_joint_rho, log_likelihood, FOCI_JOINT_RHOS);
    return ok;
}

/* The best of the families that seasons try. */
static bool search_families(foci_joint *joint, bool rows, const foci_execution *how, foci_error *err) {
    foci_correlation_family families[FOCI_CORRELATION_FAMILIES];
    const size_t count = foci_correlation_families(families, NULL, 0, FOCI_TRIED_BY_SEASONS);
    double least = INFINITY;
    for (size_t k = 0; k < count; k++) {
        const foci_execution part =
            foci_execution_part(how, (double)k / (double)count, (double)(k + 1) / (double)count);
        double point[FOCI_JOINT_NUMBERS_MOST], found = INFINITY;
        foci_joint_space space = {0};
        if (!foci_joint_space_make(&space, &joint->data, rows, &families[k], err) ||
            !foci_joint_optimise(point, &found, &joint->data, &space, &part, err))
            return false;
        if (found < least) {
            least = found;
            joint->space = space;
            memcpy(joint->point, point, sizeof point);
        }
    }
    joint->parameters = foci_joint_space_parameters(&joint->space, joint->point);
    return true;
}

bool foci_joint_fit(foci_joint *out, const foci_season_readings *seasons, size_t count, double row_heading,
                    const foci_execution *how, foci_error *err) {
    if (count < 2)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "a comparison needs two seasons or more, not %zu", count);
    return foci_joint_fit_any(out, seasons, count, row_heading, how, err);
}

bool foci_joint_fit_any(foci_joint *out, const foci_season_readings *seasons, size_t count, double row_heading,
                        const foci_execution *how, foci_error *err) {
    for (size_t s = 0; s < count; s++)
        if (seasons[s].count == 0)
            return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "a season has no stops; leave it out");
    foci_linear_single_thread();
    const foci_execution searching = foci_execution_part(how, 0, 0.7), modes = foci_execution_part(how, 0.7, 1);
    const bool rows = !isnan(row_heading);
    foci_joint joint = {0};
    bool ok = foci_observations_make(&joint.data, seasons[0].checked ? foci_response_binomial : foci_response_normal,
                                     seasons, count, NULL, row_heading, err) &&
              search_families(&joint, rows, &searching, err) && find_modes(&joint, &modes, err);
    if (ok)
        *out = joint;
    else
        foci_joint_free(&joint);
    return ok;
}

void foci_joint_free(foci_joint *joint) {
    foci_observations_free(&joint->data);
    for (size_t r = 0; r < FOCI_JOINT_RHOS; r++)
        foci_joint_mode_free(&joint->modes[r]);
    *joint = (foci_joint){0};
}
