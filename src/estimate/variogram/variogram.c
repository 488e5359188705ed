#include "fieldfoci/variogram.h"

#include <math.h>
#include <stdlib.h>

#include "base/frame.h"
#include "base/memory.h"
#include "estimate/variogram/variogram_sample.h"

/* A pair on the edge of a cone of directions must not fall out by rounding. */
#define EDGE 1e-12

/* More bins than this are a mistyped lag. */
#define MOST_BINS 100000.0

double foci_variogram_distance(const foci_variogram *model, foci_point from, foci_point to) {
    double dx = to.x - from.x, dy = to.y - from.y;
    double east = sin(model->heading * FOCI_DEGREE), north = cos(model->heading * FOCI_DEGREE);
    double along = dx * east + dy * north;
    double across = (dx * north - dy * east) / model->ratio;
    return sqrt(along * along + across * across);
}

double foci_variogram_practical_range(const foci_variogram *model) {
    return model->range * foci_correlation_practical(model->kind, model->smoothness);
}

double foci_variogram_at(const foci_variogram *model, foci_point from, foci_point to) {
    double distance = foci_variogram_distance(model, from, to);
    if (distance == 0)
        return 0;
    return model->nugget + model->partial_sill * (1 - model->kind->at(distance / model->range, model->smoothness));
}

static double box_diagonal(const foci_readings *readings) {
    foci_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 0; i < readings->count; i++) {
        box.west = fmin(box.west, readings->places[i].x);
        box.east = fmax(box.east, readings->places[i].x);
        box.south = fmin(box.south, readings->places[i].y);
        box.north = fmax(box.north, readings->places[i].y);
    }
    return hypot(box.east - box.west, box.north - box.south);
}

/* Fills in what was left out, and judges what was given. */
static bool settle_bins(double *lag, double *farthest, const foci_readings *readings, foci_error *err) {
    if (readings->count < 2)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "%zu stop: a semivariance needs two or more; give more stops",
                         readings->count);
    if (!(*farthest >= 0) || isinf(*farthest))
        return foci_fail(err, FOCI_BAD_SETTING, "{farthest}", 0, "%g is no distance; give meters above 0", *farthest);
    if (!(*lag >= 0) || isinf(*lag))
        return foci_fail(err, FOCI_BAD_SETTING, "{lag}", 0, "%g is no distance; give meters above 0", *lag);
    double diagonal = box_diagonal(readings);
    if (diagonal == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0,
                         "all stops lie at one place; check their coordinates, or give more stops");
    if (*farthest == 0)
        *farthest = diagonal / 3;
    if (*lag == 0)
        *lag = *farthest / 15;
    if (*lag > *farthest)
        return foci_fail(err, FOCI_BAD_SETTING, "{lag}", 0,
                         "%g m is above the farthest distance, %g m; give a smaller lag", *lag, *farthest);
    if (*farthest / *lag > MOST_BINS)
        return foci_fail(err, FOCI_BAD_SETTING, "{lag}", 0,
                         "%g m cuts the farthest distance, %g m, into more than %.0f bins; give a larger lag", *lag,
                         *farthest, MOST_BINS);
    return true;
}

/* Bin k holds distances in (k lag, (k + 1) lag]; the quotient may be off by its last digit. */
static size_t bin_of(double distance, double lag, size_t count) {
    double k = ceil(distance / lag) - 1;
    if (distance <= k * lag)
        k--;
    else if (distance > (k + 1) * lag)
        k++;
    size_t bin = k > 0 ? (size_t)k : 0;
    return bin < count ? bin : count - 1;
}

/* Directions that count, either way; a least cosine of 0 takes all. */
typedef struct {
    double east, north, least_cosine;
} cone;

/* What makes semivariances of the true share out of counts: pairs weigh n_i n_j / (n_i + n_j), and each is expected to
 * differ by the binomial besides. Zeros where readings are taken as they are. */
typedef struct {
    const double *checked;
    double binomial; /* P (100 - P) / 2 of the pooled percentage P */
} sampling;

static double pair_weight(const sampling *counts, size_t i, size_t j) {
    const double *n = counts->checked;
    return n ? n[i] * n[j] / (n[i] + n[j]) : 1;
}

/* Sums of distance and of half the squared difference, per bin; in `weight` those of the pairs' weights. `by_x`: the
 * readings are in order of x, and the near ones follow one another. */
static void add_pairs(foci_variogram_bin *bins, double *weight, size_t count, double lag, double farthest,
                      const cone *toward, const sampling *counts, const foci_readings *readings, bool by_x) {
    for (size_t i = 0, first = 0; i < readings->count; i++) {
        while (by_x && readings->places[i].x - readings->places[first].x > farthest)
            first++;
        for (size_t j = first; j < i; j++) {
            double dx = readings->places[i].x - readings->places[j].x;
            double dy = readings->places[i].y - readings->places[j].y;
            double distance = sqrt(dx * dx + dy * dy);
            if (distance == 0 || distance > farthest ||
                fabs(dx * toward->east + dy * toward->north) < toward->least_cosine * distance)
                continue;
            size_t to = bin_of(distance, lag, count);
            double difference = readings->values[i] - readings->values[j], w = pair_weight(counts, i, j);
            bins[to].pairs++;
            bins[to].distance += distance;
            bins[to].semivariance += w * 0.5 * difference * difference - counts->binomial;
            weight[to] += w;
        }
    }
}

/* Sums become means; bins without a pair go. Returns how many are left. */
static size_t take_means(foci_variogram_bin *bins, const double *weight, size_t count) {
    size_t kept = 0;
    for (size_t k = 0; k < count; k++) {
        foci_variogram_bin bin = bins[k];
        if (bin.pairs == 0)
            continue;
        bin.distance /= (double)bin.pairs;
        bin.semivariance /= weight[k];
        bins[kept++] = bin;
    }
    return kept;
}

static bool make(foci_semivariances *out, const foci_readings *readings, const cone *toward, const sampling *counts,
                 double lag, double farthest, foci_error *err) {
    if (!settle_bins(&lag, &farthest, readings, err))
        return false;
    size_t count = (size_t)ceil(farthest / lag * (1 - 1e-12)); /* 15 lags of farthest / 15 are 15 bins */
    foci_variogram_bin *bins = foci_new_array(count, sizeof *bins, err);
    double *weight = bins ? foci_new_array(count, sizeof *weight, err) : NULL;
    if (!weight) {
        free(bins);
        return false;
    }
    foci_readings sample = *readings; /* borrowed, where it is all of them */
    const bool many = readings->count > FOCI_SEMIVARIANCE_STOPS;
    if (many && !foci_variogram_sample(&sample, readings, farthest, err)) {
        free(bins);
        free(weight);
        return false;
    }
    const sampling of_sample = {counts->checked ? sample.checked : NULL, counts->binomial};
    add_pairs(bins, weight, count, lag, farthest, toward, &of_sample, &sample, many);
    *out = (foci_semivariances){.count = take_means(bins, weight, count),
                                .bins = bins,
                                .lag = lag,
                                .farthest = farthest,
                                .stops = sample.count};
    if (many)
        foci_readings_free(&sample);
    free(weight);
    return true;
}

bool foci_semivariances_make(foci_semivariances *out, const foci_readings *readings, double lag, double farthest,
                             foci_error *err) {
    return make(out, readings, &(cone){0}, &(sampling){0}, lag, farthest, err);
}

bool foci_semivariances_of_shares(foci_semivariances *out, const foci_readings *readings, double lag, double farthest,
                                  foci_error *err) {
    double hits = 0, checked = 0;
    for (size_t i = 0; i < readings->count; i++) {
        hits += readings->hits[i];
        checked += readings->checked[i];
    }
    double pooled = 100 * hits / checked;
    const sampling counts = {readings->checked, pooled * (100 - pooled) / 2};
    return make(out, readings, &(cone){0}, &counts, lag, farthest, err);
}

bool foci_semivariances_toward(foci_semivariances *out, const foci_readings *readings, double heading, double tolerance,
                               double lag, double farthest, foci_error *err) {
    if (!(tolerance > 0 && tolerance <= 90))
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "a tolerance of %g degrees; give one above 0, up to 90",
                         tolerance);
    cone toward = {sin(heading * FOCI_DEGREE), cos(heading * FOCI_DEGREE), cos(tolerance * FOCI_DEGREE) - EDGE};
    return make(out, readings, &toward, &(sampling){0}, lag, farthest, err);
}

void foci_semivariances_free(foci_semivariances *semivariances) {
    free(semivariances->bins);
    *semivariances = (foci_semivariances){0};
}
