#include "estimate/gaussian/joint.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

#define LEAST_WEIGHT 1e-12
#define LOG_ROOT_TWO_PI 0.91893853320467274

static bool check_counts(const foci_joint_season *season, foci_error *err) {
    for (size_t i = 0; i < season->count; i++)
        if (!(season->checked[i] > 0) || !(season->readings[i] >= 0) || !(season->readings[i] <= season->checked[i]) ||
            isinf(season->checked[i]))
            return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)i + 1,
                             "%g infected of %g checked cannot be; give counts of 0 to the number checked",
                             season->readings[i], season->checked[i]);
    return true;
}

static bool check_scores(const foci_joint_season *season, foci_error *err) {
    for (size_t i = 0; i < season->count; i++)
        if (!isfinite(season->readings[i]))
            return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)i + 1, "a score of %g is no number; leave the stop out",
                             season->readings[i]);
    return true;
}

static bool check_season(const foci_joint_season *season, bool scores, foci_error *err) {
    if (season->count == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "a season has no stops; leave it out");
    if (!season->checked != scores)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "counts and scores cannot be read together; give one kind");
    return scores ? check_scores(season, err) : check_counts(season, err);
}

static void add_season(foci_joint_data *data, size_t s, const foci_joint_season *season) {
    const size_t first = data->first[s];
    foci_frame_turn(&data->frame, season->places, season->count, data->along + first, data->across + first);
    for (size_t i = 0; i < season->count; i++) {
        size_t k = first + i;
        data->readings[k] = season->readings[i];
        data->checked[k] = data->scores ? 0 : season->checked[i];
    }
}

bool foci_joint_data_make(foci_joint_data *out, const foci_joint_season *seasons, size_t count, double heading,
                          foci_error *err) {
    if (count == 0 || count > FOCI_JOINT_SEASONS_MOST)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "%zu seasons cannot be read together; give 1 to %d", count,
                         FOCI_JOINT_SEASONS_MOST);
    foci_joint_data data = {.seasons = count, .scores = !seasons[0].checked};
    for (size_t s = 0; s < count; s++) {
        if (!check_season(&seasons[s], data.scores, err))
            return false;
        data.first[s + 1] = data.first[s] + seasons[s].count;
    }
    data.frame = foci_frame_make(seasons[0].places, seasons[0].count, heading);
    data.count = data.first[count];
    data.along = foci_new_array(data.count, 4 * sizeof *data.along, err);
    if (!data.along)
        return false;
    data.across = data.along + data.count;
    data.readings = data.across + data.count;
    data.checked = data.readings + data.count;
    for (size_t s = 0; s < count; s++)
        add_season(&data, s, &seasons[s]);
    *out = data;
    return true;
}

void foci_joint_data_free(foci_joint_data *data) {
    free(data->along);
    *data = (foci_joint_data){0};
}

foci_joint_data foci_joint_data_season(const foci_joint_data *data, size_t season) {
    size_t from = data->first[season];
    foci_joint_data alone = *data;
    alone.seasons = 1;
    alone.count = alone.first[1] = data->first[season + 1] - from;
    alone.first[0] = 0;
    alone.along += from;
    alone.across += from;
    alone.readings += from;
    alone.checked += from;
    return alone;
}

void foci_joint_correlate(double *correlation, const double *along, const double *across, size_t count,
                          foci_point turned, const foci_joint_parameters *parameters) {
    const foci_correlation_family *family = &parameters->family;
    const double ratio = parameters->ratio, a = turned.x, b = turned.y;
#pragma omp simd
    for (size_t i = 0; i < count; i++) {
        double x = along[i] - a, y = (across[i] - b) * ratio;
        correlation[i] = sqrt(x * x + y * y);
    }
    foci_correlation_fill(family->row, correlation, correlation, count, 1 / parameters->range, family->smoothness);
}

double foci_joint_between(const foci_joint_parameters *p, double rho, size_t season, size_t other) {
    return p->sigma[season] * p->sigma[other] * (season == other ? 1 : rho);
}

static double log_sum(double level) {
    return fmax(level, 0) + log1p(exp(-fabs(level)));
}

foci_joint_term foci_joint_term_at(const foci_joint_data *data, const foci_joint_parameters *p, size_t season, size_t i,
                                   double level) {
    double reading = data->readings[i], checked = data->checked[i];
    if (data->scores) {
        double weight = 1 / (p->noise[season] * p->noise[season]), off = reading - level;
        return (foci_joint_term){-0.5 * weight * off * off - log(p->noise[season]) - LOG_ROOT_TWO_PI, weight * off,
                                 weight, 0};
    }
    double share = 1 / (1 + exp(-level)), spread = checked * share / (1 + exp(level));
    return (foci_joint_term){reading * level - checked * log_sum(level), reading - checked * share,
                             spread + LEAST_WEIGHT, -spread * (1 - 2 * share)};
}
