#include "decide/seasons/persistence_study.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

#define LEAST_SPREAD 1e-3

_Static_assert((int)FOCI_SEASONS_MOST == (int)FOCI_SEASONS_TOGETHER, "as many seasons as the model reads");

void foci_study_close(foci_study *study) {
    for (size_t s = 0; s < study->count; s++)
        free(study->seasons[s].scaled);
    foci_coarse_cells_free(&study->cells);
    *study = (foci_study){0};
}

static bool check_threshold(const foci_persistence_season *season, size_t s, foci_error *err) {
    bool scores = season->kind != FOCI_READING_COUNT;
    if (scores ? isfinite(season->threshold) : season->threshold > 0 && season->threshold < 100)
        return true;
    return foci_fail(err, FOCI_BAD_SETTING, NULL, 0,
                     scores ? "the threshold %g of season %zu is no number; give one"
                            : "the threshold %g of season %zu is no share; give a percentage above 0 and below 100",
                     season->threshold, s + 1);
}

/* The last where none is. */
static size_t first_compared(const foci_persistence_season *seasons, size_t count) {
    size_t s = 0;
    while (s + 1 < count && seasons[s].why_not)
        s++;
    return s;
}

static bool check_seasons(const foci_persistence_season *seasons, size_t count, double area_ha, foci_error *err) {
    if (count < 2 || count > FOCI_SEASONS_MOST)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "%zu seasons cannot be compared; give 2 to %d", count,
                         FOCI_SEASONS_MOST);
    if (!(area_ha > 0) || isinf(area_ha))
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "a field of %g ha cannot be; check its boundary", area_ha);
    const size_t base = first_compared(seasons, count);
    for (size_t s = 0; s < count; s++) {
        if (!seasons[s].why_not && seasons[s].kind != seasons[base].kind)
            return foci_fail(err, FOCI_BAD_SETTING, NULL, 0,
                             "seasons %zu and %zu have different kinds of reading; compare like with like", base + 1,
                             s + 1);
        for (size_t u = 0; u < s; u++)
            if (strcmp(seasons[s].key, seasons[u].key) == 0)
                return foci_fail(err, FOCI_BAD_SETTING, NULL, 0,
                                 "seasons %zu and %zu are the same survey; give each once", u + 1, s + 1);
        if (!seasons[s].why_not && !check_threshold(&seasons[s], s, err))
            return false;
    }
    return true;
}

static bool all_the_same(const foci_season_readings *season) {
    for (size_t i = 1; i < season->count; i++) {
        double first = season->readings[0], other = season->readings[i];
        if (season->checked) { /* cross-multiplied shares */
            first *= season->checked[i];
            other *= season->checked[0];
        }
        if (first != other)
            return false;
    }
    return true;
}

/* To mean 0 and deviation 1. */
static bool scale(foci_study_season *season, foci_error *err) {
    size_t n = season->readings.count;
    double mean = 0, squares = 0;
    season->scaled = foci_new_array(n, sizeof *season->scaled, err);
    if (!season->scaled)
        return false;
    for (size_t i = 0; i < n; i++)
        mean += season->readings.readings[i] / (double)n;
    for (size_t i = 0; i < n; i++)
        squares += (season->readings.readings[i] - mean) * (season->readings.readings[i] - mean);
    double deviation = sqrt(squares / (double)n);
    for (size_t i = 0; i < n; i++)
        season->scaled[i] = (season->readings.readings[i] - mean) / deviation;
    season->readings.readings = season->scaled;
    season->threshold = (season->threshold - mean) / deviation;
    return true;
}

/* None of its readings reaches the threshold. */
static bool is_cold(const foci_persistence_season *season) {
    const foci_readings *readings = season->readings;
    for (size_t i = 0; i < readings->count; i++) {
        double reading = season->values ? season->values[i] : readings->values[i];
        if (season->kind == FOCI_READING_COUNT)
            reading = 100 * readings->hits[i] / readings->checked[i];
        if (reading >= season->threshold)
            return false;
    }
    return true;
}

static bool add_season(foci_study *study, const foci_persistence_season *from, size_t given, foci_error *err) {
    const foci_readings *readings = from->readings;
    foci_study_season season = {.given = given,
                                .key = from->key,
                                .threshold = from->threshold,
                                .readings = {readings->places, readings->hits, readings->checked, readings->count}};
    if (study->scores) {
        season.readings.readings = from->values ? from->values : readings->values;
        season.readings.checked = NULL;
    } else
        season.threshold = log(from->threshold / (100 - from->threshold));
    study->cold[given] = is_cold(from);
    if (all_the_same(&season.readings)) {
        study->why_not[given] = "all its readings are the same";
        study->flat[given] = true;
        return true;
    }
    if (study->scores && !scale(&season, err))
        return false;
    size_t at = study->count++;
    for (; at > 0 && strcmp(study->seasons[at - 1].key, season.key) > 0; at--)
        study->seasons[at] = study->seasons[at - 1];
    study->seasons[at] = season;
    return true;
}

bool foci_study_open(foci_study *out, const foci_persistence_season *seasons, size_t count, const foci_grid *grid,
                     const foci_persistence_options *options, foci_error *err) {
    if (!check_seasons(seasons, count, options->area_ha, err))
        return false;
    foci_study study = {.grid = grid,
                        .options = options,
                        .given = count,
                        .scores = seasons[first_compared(seasons, count)].kind != FOCI_READING_COUNT};
    bool ok = foci_coarse_cells_make(&study.cells, grid, options->area_ha, err);
    for (size_t s = 0; ok && s < count; s++) {
        study.why_not[s] = seasons[s].why_not;
        ok = seasons[s].why_not || add_season(&study, &seasons[s], s, err);
    }
    if (ok)
        *out = study;
    else
        foci_study_close(&study);
    return ok;
}

void foci_study_leave_out(foci_study *study, size_t season, const char *why_not) {
    study->why_not[study->seasons[season].given] = why_not;
    study->flat[study->seasons[season].given] = true;
    free(study->seasons[season].scaled);
    study->count--;
    for (size_t s = season; s < study->count; s++)
        study->seasons[s] = study->seasons[s + 1];
}

bool foci_together_make(foci_together *out, const foci_study *study, const size_t *chosen, size_t count,
                        const foci_execution *how, foci_error *err) {
    foci_together together = {.count = count};
    foci_season_readings readings[FOCI_SEASONS_MOST];
    for (size_t s = 0; s < count; s++) {
        const foci_study_season *season = &study->seasons[chosen[s]];
        together.given[s] = season->given;
        together.keys[s] = season->key;
        together.threshold[s] = season->threshold;
        readings[s] = season->readings;
    }
    if (!foci_joint_fit(&together.joint, readings, count, study->options->row_heading, how, err))
        return false;
    *out = together;
    return true;
}

void foci_together_free(foci_together *together) {
    foci_joint_free(&together->joint);
    *together = (foci_together){0};
}

size_t foci_together_flat(const foci_together *together) {
    const foci_observations *data = &together->joint.data;
    const double *field = together->joint.modes[0].field;
    for (size_t s = 0; s < data->seasons; s++) {
        double n = 0, mean = 0, squares = 0;
        for (size_t i = data->first[s]; i < data->first[s + 1]; i++) {
            double off = field[i] - mean;
            n++;
            mean += off / n;
            squares += off * (field[i] - mean);
        }
        if (!(sqrt(squares / n) >= LEAST_SPREAD))
            return s;
    }
    return together->count;
}

void foci_together_classes(unsigned char *group, const foci_together *together) {
    size_t rank[FOCI_SEASONS_MOST]; /* in time */
    for (size_t s = 0; s < together->count; s++) {
        rank[s] = 0;
        for (size_t u = 0; u < together->count; u++)
            rank[s] += together->given[u] < together->given[s];
    }
    for (size_t pattern = 0; pattern < (size_t)1 << together->count; pattern++) {
        bool hot[FOCI_SEASONS_MOST] = {false};
        for (size_t s = 0; s < together->count; s++)
            hot[rank[s]] = pattern >> s & 1;
        group[pattern] = (unsigned char)foci_class_of(hot, together->count);
    }
}
