#include "estimate/seasons/joint_chances.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "base/parallel.h"
#include "base/probability.h"

#define TWO_PI 6.283185307179586
#define LEAST_WEIGHT 1e-4
#define LEAST_VARIANCE 1e-12

enum { TILE = 128, MOST = FOCI_SEASONS_TOGETHER };

typedef struct {
    const foci_joint *joint;
    const foci_joint_question *question;
    const foci_point *places;
    size_t count;
    double weight[FOCI_JOINT_RHOS]; /* 0 where it does not matter */
    double *vectors;                /* FOCI_JOINT_VECTORS x seasons; owned */
    double *season, *group;
} study;

/* The heaviest rhos; the rest is worth less than a thousandth in all. */
static void choose_weights(study *work) {
    double sum = 0;
    for (size_t r = 0; r < FOCI_JOINT_RHOS; r++) {
        double weight = work->joint->weight[r];
        work->weight[r] = weight < LEAST_WEIGHT ? 0 : weight;
        sum += work->weight[r];
    }
    for (size_t r = 0; r < FOCI_JOINT_RHOS; r++)
        work->weight[r] /= sum;
}

/* Pairs of even numbers become pairs of normal ones; each vector stands beside its mirror image. */
static bool make_vectors(study *work, foci_error *err) {
    static const double prime[MOST] = {2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37};
    size_t seasons = work->joint->data.seasons;
    work->vectors = foci_new_array(FOCI_JOINT_VECTORS, seasons * sizeof *work->vectors, err);
    if (!work->vectors)
        return false;
    for (size_t v = 0; v < FOCI_JOINT_VECTORS / 2; v++) {
        double *first = work->vectors + 2 * v * seasons, *mirrored = first + seasons;
        for (size_t s = 0; s < seasons; s += 2) {
            double step = (double)v + 0.5, u = fmod(step * sqrt(prime[s]), 1), w = fmod(step * sqrt(prime[s + 1]), 1);
            double radius = sqrt(-2 * log(1 - u));
            first[s] = radius * cos(TWO_PI * w);
            if (s + 1 < seasons)
                first[s + 1] = radius * sin(TWO_PI * w);
        }
        for (size_t s = 0; s < seasons; s++)
            mirrored[s] = -first[s];
    }
    return true;
}

/* Chances of the four patterns of two seasons. */
static void add_pair(double *group, const study *work, double weight, const double *off, double correlation) {
    double first = foci_normal_cdf(off[0]), second = foci_normal_cdf(off[1]);
    double both = foci_normal_pair_below(off[0], off[1], fmin(fmax(correlation, -1), 1));
    const double chance[4] = {1 - first - second + both, first - both, second - both, both};
    for (size_t pattern = 0; pattern < 4; pattern++)
        group[work->question->group[pattern]] += weight * fmax(chance[pattern], 0);
}

/* Lower factor of the correlations, row by row; what rounding makes negative is nothing. */
static void factor_small(double *lower, const double *covariance, const double *deviation, size_t order) {
    for (size_t i = 0; i < order; i++)
        for (size_t j = 0; j <= i; j++) {
            double sum = i == j ? 1 : covariance[i * order + j] / (deviation[i] * deviation[j]);
            for (size_t k = 0; k < j; k++)
                sum -= lower[i * MOST + k] * lower[j * MOST + k];
            double pivot = lower[j * MOST + j];
            lower[i * MOST + j] = i == j ? sqrt(fmax(sum, 0)) : pivot > 0 ? sum / pivot : 0;
        }
}

static void add_many(double *group, const study *work, double weight, const double *off, const double *covariance,
                     const double *deviation) {
    size_t seasons = work->joint->data.seasons;
    double lower[MOST * MOST] = {0};
    factor_small(lower, covariance, deviation, seasons);
    for (size_t v = 0; v < FOCI_JOINT_VECTORS; v++) {
        const double *vector = work->vectors + v * seasons;
        size_t pattern = 0;
        for (size_t s = 0; s < seasons; s++) {
            double sum = off[s];
            for (size_t k = 0; k <= s; k++)
                sum += lower[s * MOST + k] * vector[k];
            pattern |= (size_t)(sum >= 0) << s;
        }
        group[work->question->group[pattern]] += weight / FOCI_JOINT_VECTORS;
    }
}

/* What one rho says of one place. */
static void add_place(const study *work, size_t place, double weight, const double *mean, const double *covariance) {
    size_t seasons = work->joint->data.seasons;
    double off[MOST] = {0}, deviation[MOST] = {0};
    double *group = work->group + place * work->question->groups;
    for (size_t s = 0; s < seasons; s++) {
        deviation[s] = sqrt(fmax(covariance[s * seasons + s], LEAST_VARIANCE));
        off[s] = (mean[s] - work->question->threshold[s]) / deviation[s];
        work->season[place * seasons + s] += weight * foci_normal_cdf(off[s]);
    }
    if (seasons == 2)
        add_pair(group, work, weight, off, covariance[1] / (deviation[0] * deviation[1]));
    else
        add_many(group, work, weight, off, covariance, deviation);
}

static bool work_tile(void *context, size_t thread, size_t tile, foci_error *err) {
    const study *work = context;
    const foci_joint *joint = work->joint;
    size_t from = tile * TILE, count = work->count - from < TILE ? work->count - from : TILE;
    size_t seasons = joint->data.seasons;
    foci_joint_places asked = {0};
    bool ok = foci_joint_places_make(&asked, &joint->data, work->places + from, count, err);
    (void)thread;
    for (size_t r = 0; ok && r < FOCI_JOINT_RHOS; r++) {
        if (!(work->weight[r] > 0))
            continue;
        ok = foci_joint_mode_at(&asked, &joint->modes[r], err);
        for (size_t k = 0; ok && k < count; k++)
            add_place(work, from + k, work->weight[r], asked.mean + k * seasons,
                      asked.covariance + k * seasons * seasons);
    }
    foci_joint_places_free(&asked);
    return ok;
}

bool foci_joint_chances(double *season, double *group, const foci_joint *joint, const foci_joint_question *question,
                        const foci_point *places, size_t count, const foci_execution *how, foci_error *err) {
    study work = {
        .joint = joint, .question = question, .places = places, .count = count, .season = season, .group = group};
    size_t tiles = (count + TILE - 1) / TILE;
    foci_linear_single_thread();
    choose_weights(&work);
    memset(season, 0, count * joint->data.seasons * sizeof *season);
    memset(group, 0, count * question->groups * sizeof *group);
    bool ok = make_vectors(&work, err) && foci_parallel(tiles, how, work_tile, &work, err);
    free(work.vectors);
    return ok;
}
