#include "estimate/seasons/joint_draws.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "base/parallel.h"
#include "base/random.h"

/* Stops of two seasons may share a place. */
#define NUGGET 1e-8
#define WIDER 1.4

enum { CANDIDATES = 16 };

typedef struct {
    const foci_joint *joint;
    const foci_point *places; /* turned */
    size_t count;             /* of places */
    const foci_joint_draw_options *options;
    foci_joint_draw_use use;
    void *context;
    const double *spread;
    uint64_t common, own[FOCI_SEASONS_TOGETHER]; /* seeds */
} study;

/* What is drawn from a seed: each has a stream for each theta. */
typedef enum { STREAM_PARAMETERS, STREAM_FIELD, STREAM_NOISE, STREAM_UNRELATED, STREAM_END } stream_kind;

static foci_random stream(uint64_t seed, stream_kind kind, size_t theta) {
    return foci_random_stream(seed, (uint64_t)theta * STREAM_END + kind);
}

/* FNV-1a (Fowler, Noll & Vo). */
static uint64_t hash(uint64_t from, const char *text) {
    for (; *text; text++)
        from = (from ^ (unsigned char)*text) * 0x100000001b3u;
    return from;
}

static uint64_t seed_of(uint64_t seed, uint64_t hashed) {
    foci_random draws = foci_random_stream(seed, hashed);
    return foci_random_next(&draws);
}

/* A sum does not depend on the order of the seasons. */
static void find_seeds(study *work) {
    uint64_t sum = 0;
    for (size_t s = 0; s < work->joint->data.seasons; s++) {
        uint64_t hashed = hash(0xcbf29ce484222325u, work->options->keys[s]);
        work->own[s] = seed_of(work->options->seed, hashed);
        sum += work->own[s];
    }
    work->common = seed_of(work->options->seed, sum);
}

/* All that one theta needs; one block. P places, N stops, F fields, S seasons. */
typedef struct {
    double *block;
    double *factor;    /* (P + N) squared */
    double *cross;     /* N x P correlations of stops with places */
    double *common;    /* (P + N) x F, then for each season as much */
    double *unrelated; /* S times (P + N) x F */
    double *right;     /* N x F */
    double *scaled;    /* N x F, then P x F */
    double *level;     /* S x P of one draw, then as much for the unrelated ones */
    foci_latent work;  /* at the mode */
} theta;

static void theta_close(theta *t) {
    free(t->block);
    foci_latent_free(&t->work);
}

static bool theta_open(theta *t, const study *work, foci_error *err) {
    size_t n = work->joint->data.count, p = work->count, all = n + p, seasons = work->joint->data.seasons;
    size_t fields = all * FOCI_JOINT_FIELDS;
    t->block = foci_new_array(all * all + n * p + fields * (2 * seasons + 1) + (2 * n + p) * FOCI_JOINT_FIELDS +
                                  2 * seasons * p,
                              sizeof *t->block, err);
    if (!t->block)
        return false;
    t->factor = t->block;
    t->cross = t->factor + all * all;
    t->common = t->cross + n * p;
    t->unrelated = t->common + fields * (seasons + 1);
    t->right = t->unrelated + fields * seasons;
    t->scaled = t->right + n * FOCI_JOINT_FIELDS;
    t->level = t->scaled + (n + p) * FOCI_JOINT_FIELDS;
    return foci_latent_make(&t->work, n, err);
}

static size_t draw_rho(foci_random *draws, const double *weight) {
    double left = foci_random_share(draws);
    size_t r = 0;
    while (r + 1 < FOCI_JOINT_RHOS && left >= weight[r])
        left -= weight[r++];
    return r;
}

/* A point about the fitted one, `wider` times as far as H says; returns the log of its density, up to a constant. */
static double draw_point(double *point, const study *work, foci_random *draws, double wider) {
    const foci_joint *joint = work->joint;
    size_t count = joint->space.count;
    double normal[FOCI_JOINT_NUMBERS_MOST], squares = 0;
    foci_random_normal(draws, normal, count);
    for (size_t i = 0; i < count; i++) {
        point[i] = joint->point[i];
        for (size_t j = 0; j < count; j++)
            point[i] += wider * work->spread[j * count + i] * normal[j];
        squares += normal[i] * normal[i];
    }
    return -0.5 * squares;
}

static void hold(double *point, const foci_joint_space *space) {
    for (size_t i = 0; i < space->count; i++)
        point[i] = fmin(fmax(point[i], space->lower[i]), space->upper[i]);
}

/* Mirrors what lies beyond a bound; false where that leads beyond the other. */
static bool fold(double *point, const foci_joint_space *space) {
    for (size_t i = 0; i < space->count; i++) {
        if (point[i] < space->lower[i])
            point[i] = 2 * space->lower[i] - point[i];
        else if (point[i] > space->upper[i])
            point[i] = 2 * space->upper[i] - point[i];
        if (!(point[i] >= space->lower[i] && point[i] <= space->upper[i]))
            return false;
    }
    return true;
}

/* One of several candidates, in proportion to likelihood and prior over the density it was drawn from (Rubin 1988,
 * Bayesian Statistics 3:395): the likelihood of scores is too far from normal for the curvature alone. None within the
 * bounds: the fitted point. */
static bool choose_point(double *point, const study *work, foci_random *draws, foci_error *err) {
    const foci_joint *joint = work->joint;
    double candidate[CANDIDATES][FOCI_JOINT_NUMBERS_MOST], weight[CANDIDATES], most = -INFINITY, sum = 0;
    double *field = foci_new_array(joint->data.count, sizeof *field, err);
    if (!field)
        return false;
    for (size_t c = 0; c < CANDIDATES; c++) {
        double cost = INFINITY, density = draw_point(candidate[c], work, draws, WIDER);
        foci_error own = {0};
        weight[c] = -INFINITY;
        if (!fold(candidate[c], &joint->space))
            continue;
        if (foci_joint_cost(&cost, NULL, field, &joint->data, &joint->space, candidate[c], &own))
            weight[c] = -cost - density;
        else if (own.status == FOCI_NO_MEMORY) {
            free(field);
            return foci_fail(err, own.status, NULL, 0, "%s", own.text);
        }
        most = fmax(most, weight[c]);
    }
    free(field);
    for (size_t c = 0; c < CANDIDATES; c++)
        sum += weight[c] = most > -INFINITY ? exp(weight[c] - most) : 0;
    double left = foci_random_share(draws) * sum;
    size_t chosen = 0;
    while (chosen + 1 < CANDIDATES && left >= weight[chosen])
        left -= weight[chosen++];
    memcpy(point, sum > 0 ? candidate[chosen] : joint->point, sizeof candidate[chosen]);
    return true;
}

static bool draw_parameters(theta *t, const study *work, size_t number, foci_error *err) {
    const foci_joint *joint = work->joint;
    foci_random draws = stream(work->common, STREAM_PARAMETERS, number);
    double point[FOCI_JOINT_NUMBERS_MOST];
    size_t r = draw_rho(&draws, joint->weight);
    if (joint->space.scores) {
        if (!choose_point(point, work, &draws, err))
            return false;
    } else
        draw_point(point, work, &draws, 1);
    hold(point, &joint->space);
    foci_parameters parameters = foci_joint_space_parameters(&joint->space, point);
    double log_likelihood = 0;
    parameters.rho = foci_joint_rho[r];
    foci_latent_take(&t->work, &joint->data);
    return foci_joint_climb(&log_likelihood, &t->work, &parameters, joint->modes[r].field, err);
}

/* Factor of the correlations of all places, then all stops. */
static bool factor_places(theta *t, const study *work, foci_error *err) {
    const foci_observations *data = &work->joint->data;
    const foci_parameters *at = &t->work.at;
    size_t n = data->count, p = work->count, all = n + p;
    double *along = t->common, *across = t->common + all; /* not in use yet */
    for (size_t i = 0; i < all; i++) {
        along[i] = i < p ? work->places[i].x : data->along[i - p];
        across[i] = i < p ? work->places[i].y : data->across[i - p];
    }
    for (size_t j = 0; j < all; j++) {
        double *column = t->factor + j * all;
        foci_covariance_distances(column + j, along + j, across + j, all - j, at->stretch, along[j], across[j]);
        foci_covariance_correlate(column + j, column + j, all - j, at);
        if (j < p)
            memcpy(t->cross + j * n, column + p, n * sizeof *column);
        column[j] = 1 + NUGGET;
    }
    return foci_linear_factor(t->factor, all, err);
}

/* Fields of deviation 1 at places and stops: the common one, each season's own, the unrelated ones. */
static void draw_fields(theta *t, const study *work, size_t number) {
    size_t n = work->joint->data.count, p = work->count, all = n + p, seasons = work->joint->data.seasons;
    foci_random draws = stream(work->common, STREAM_FIELD, number);
    foci_random_normal(&draws, t->common, all * FOCI_JOINT_FIELDS);
    for (size_t s = 0; s < seasons; s++) {
        draws = stream(work->own[s], STREAM_FIELD, number);
        foci_random_normal(&draws, t->common + (s + 1) * all * FOCI_JOINT_FIELDS, all * FOCI_JOINT_FIELDS);
        draws = stream(work->own[s], STREAM_UNRELATED, number);
        foci_random_normal(&draws, t->unrelated + s * all * FOCI_JOINT_FIELDS, all * FOCI_JOINT_FIELDS);
    }
    foci_linear_lower_product(t->factor, all, t->common, (2 * seasons + 1) * FOCI_JOINT_FIELDS);
}

static double *field_of(const theta *t, const study *work, size_t season, size_t f) {
    size_t all = work->joint->data.count + work->count;
    return t->common + ((season + 1) * FOCI_JOINT_FIELDS + f) * all;
}

/* The seasons' fields: shared and own parts, at their own deviation. */
static void mix_fields(theta *t, const study *work) {
    size_t all = work->joint->data.count + work->count;
    double shared = sqrt(t->work.at.rho), own = sqrt(1 - t->work.at.rho);
    for (size_t s = 0; s < work->joint->data.seasons; s++)
        for (size_t f = 0; f < FOCI_JOINT_FIELDS; f++) {
            double *field = field_of(t, work, s, f), *common = t->common + f * all;
            for (size_t i = 0; i < all; i++)
                field[i] = t->work.at.sigma[s] * (shared * common[i] + own * field[i]);
        }
}

/* What pulls the fields to the readings: K^-1 f - (K + W^-1)^-1 (drawn field + drawn noise), a column a field. */
static void find_pulls(theta *t, const study *work, size_t number) {
    const foci_observations *data = &work->joint->data;
    const double *root = t->work.root;
    size_t n = data->count;
    for (size_t s = 0; s < data->seasons; s++) {
        foci_random draws = stream(work->own[s], STREAM_NOISE, number);
        size_t from = data->first[s], stops = data->first[s + 1] - from;
        for (size_t f = 0; f < FOCI_JOINT_FIELDS; f++) {
            double *right = t->right + f * n;
            const double *field = field_of(t, work, s, f) + work->count;
            foci_random_normal(&draws, right + from, stops);
            for (size_t i = from; i < from + stops; i++)
                right[i] += root[i] * field[i];
        }
    }
    foci_linear_solve_lower(t->work.factor, n, t->right, FOCI_JOINT_FIELDS);
    foci_linear_solve_upper(t->work.factor, n, t->right, FOCI_JOINT_FIELDS);
    for (size_t f = 0; f < FOCI_JOINT_FIELDS; f++)
        for (size_t i = 0; i < n; i++)
            t->right[f * n + i] = t->work.pull[i] - root[i] * t->right[f * n + i];
}

/* Adds mean and pull to the fields of one season at the places. */
static void pull_season(theta *t, const study *work, size_t season) {
    const foci_observations *data = &work->joint->data;
    const foci_parameters *at = &t->work.at;
    size_t n = data->count, p = work->count;
    double *moved = t->scaled + n * FOCI_JOINT_FIELDS;
    for (size_t u = 0; u < data->seasons; u++) {
        double scale = foci_covariance_between(at, season, u);
        for (size_t f = 0; f < FOCI_JOINT_FIELDS; f++)
            for (size_t i = data->first[u]; i < data->first[u + 1]; i++)
                t->scaled[f * n + i] = scale * t->right[f * n + i];
    }
    foci_linear_transposed_product(t->cross, t->scaled, n, p, FOCI_JOINT_FIELDS, moved);
    for (size_t f = 0; f < FOCI_JOINT_FIELDS; f++) {
        double *field = field_of(t, work, season, f);
        for (size_t k = 0; k < p; k++)
            field[k] += at->mean[season] + moved[f * p + k];
    }
}

static bool tell(theta *t, const study *work, size_t number, foci_error *err) {
    size_t seasons = work->joint->data.seasons, p = work->count, all = work->joint->data.count + p;
    double *unrelated = t->level + seasons * p;
    for (size_t f = 0; f < FOCI_JOINT_FIELDS; f++) {
        for (size_t s = 0; s < seasons; s++) {
            memcpy(t->level + s * p, field_of(t, work, s, f), p * sizeof *t->level);
            memcpy(unrelated + s * p, t->unrelated + (s * FOCI_JOINT_FIELDS + f) * all, p * sizeof *unrelated);
        }
        if (!work->use(work->context, number * FOCI_JOINT_FIELDS + f, t->level, unrelated, err))
            return false;
    }
    return true;
}

static bool draw_theta(void *context, size_t thread, size_t number, foci_error *err) {
    const study *work = context;
    theta t = {0};
    (void)thread;
    bool ok = theta_open(&t, work, err) && draw_parameters(&t, work, number, err) && factor_places(&t, work, err);
    if (ok) {
        draw_fields(&t, work, number);
        mix_fields(&t, work);
        find_pulls(&t, work, number);
        for (size_t s = 0; s < work->joint->data.seasons; s++)
            pull_season(&t, work, s);
        ok = tell(&t, work, number, err);
    }
    theta_close(&t);
    return ok;
}

bool foci_joint_draw(const foci_joint *joint, const foci_point *places, size_t count,
                     const foci_joint_draw_options *options, foci_joint_draw_use use, void *context,
                     const foci_execution *how, foci_error *err) {
    const foci_execution spreading = foci_execution_part(how, 0, 0.3), drawing = foci_execution_part(how, 0.3, 1);
    study work = {.joint = joint, .count = count, .options = options, .use = use, .context = context};
    size_t numbers = joint->space.count;
    double *spread = NULL;
    bool ok = false;
    foci_linear_single_thread();
    foci_point *turned = foci_new_array(count, sizeof *turned, err);
    if (!turned)
        goto done;
    spread = foci_new_array(numbers, numbers * sizeof *spread, err);
    if (!spread || !foci_joint_spread(spread, joint, &spreading, err))
        goto done;
    for (size_t k = 0; k < count; k++)
        turned[k] = foci_frame_place(&joint->data.frame, places[k]);
    work.places = turned;
    work.spread = spread;
    find_seeds(&work);
    ok = foci_parallel(FOCI_JOINT_THETAS, &drawing, draw_theta, &work, err);
done:
    free(turned);
    free(spread);
    return ok;
}
