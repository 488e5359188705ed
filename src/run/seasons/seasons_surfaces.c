/* Each season's own surface and verdict, side by side on one grid. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/frame.h"
#include "base/memory.h"
#include "base/path.h"
#include "decide/words/seasons_words.h"
#include "run/seasons/seasons_work.h"

#define BYTES_PER_SEASON 90.0 /* a cell, with what comparing takes; as measured */
#define HEADINGS_APART 10.0   /* degrees; rows that differ by more are not the same rows */

/* ---- the common ground ---- */

static bool copy_field(foci_field *out, const foci_field *field, foci_error *err) {
    foci_field copy = {0};
    if (!foci_field_take(&copy, field->input.file, field->name, &field->lonlat, err) ||
        !foci_multipolygon_copy(&copy.shape, &field->shape, err)) {
        foci_field_free(&copy);
        return false;
    }
    memcpy(copy.work_crs, field->work_crs, sizeof copy.work_crs);
    *out = copy;
    return true;
}

static bool copy_grid(foci_grid *out, const foci_grid *grid, foci_error *err) {
    const size_t cells = grid->columns * grid->rows;
    double *share = foci_new_array(cells, sizeof *share, err);
    if (!share)
        return false;
    memcpy(share, grid->share, cells * sizeof *share);
    *out = *grid;
    out->share = share;
    return true;
}

/* As fine as the finest of the surveys' own. */
static bool make_grid(foci_grid *grid, const foci_seasons_work *work, const foci_execution *how, foci_error *err) {
    const foci_survey *newest = &work->surveys[work->count - 1];
    double cell = work->settings->survey.cell;
    for (size_t s = 0; work->settings->survey.cell == 0 && s < work->count; s++) {
        const double own = work->surveys[s].used.cell;
        cell = cell == 0 || own == 0 ? fmax(cell, own) : fmin(cell, own);
    }
    if (cell != 0 && !foci_grid_fits(&newest->field.shape, cell, BYTES_PER_SEASON * (double)work->count, how, err))
        return false;
    return foci_grid_over_field(grid, &newest->field.shape, cell, newest->readings.spacing, err);
}

/* ---- one season ---- */

/* The map stands for one season alone: knowledge of an earlier one is left out of it. */
static bool leave_earlier_out(foci_seasons *seasons, foci_survey *survey, const char *name, foci_error *err) {
    if (!survey->used.earlier)
        return true;
    free((void *)survey->used.earlier);
    survey->used.earlier = NULL;
    return foci_seasons_warn_earlier(seasons, name, err);
}

static bool take_warnings(foci_seasons *seasons, const foci_survey *round, const char *name, foci_error *err) {
    for (size_t i = 0; i < round->findings.count; i++)
        if (round->findings.items[i].trust &&
            !foci_sentences_add(&seasons->warnings, err, "%s: %s", name, round->findings.items[i].trust))
            return false;
    for (size_t i = 0; i < round->warnings.count; i++)
        if (!foci_sentences_add(&seasons->warnings, err, "%s: %s", name, round->warnings.items[i]))
            return false;
    return true;
}

/* A season that cannot be compared shows its stops only. */
static bool estimate(foci_seasons *seasons, foci_seasons_work *work, size_t season, const foci_execution *how,
                     foci_error *err) {
    const foci_execution judging = foci_execution_part(how, 0, 0.6), mapping = foci_execution_part(how, 0.6, 1);
    foci_survey *survey = &work->surveys[season];
    foci_survey *round = survey;
    const char *name = foci_path_name_alone(work->names, work->count, season);
    if (!leave_earlier_out(seasons, survey, name, err) || !foci_survey_fit(survey, &judging, err))
        return false;
    if (!work->why_not[season] && round->pattern.verdict == FOCI_VERDICT_TOO_FEW)
        work->why_not[season] = "it has too few stops";
    if (!work->why_not[season] && (!copy_grid(&round->grid, &seasons->grid, err) ||
                                   !foci_surface_estimate(&round->surface, &round->model, &round->grid, &mapping, err)))
        return false;
    round->stage = FOCI_STAGE_ESTIMATED;
    return take_warnings(seasons, round, name, err);
}

/* The same in all from here on: the boundary of the newest. */
static bool share_field(foci_seasons_work *work, foci_error *err) {
    const foci_field *field = &work->surveys[work->count - 1].field;
    for (size_t s = 0; s + 1 < work->count; s++) {
        foci_field copy = {0};
        if (!copy_field(&copy, field, err))
            return false;
        foci_field_free(&work->surveys[s].field);
        work->surveys[s].field = copy;
    }
    return true;
}

/* ---- rows ---- */

/* Axial: 5 and 185 degrees are one direction. */
static double apart(double one, double other) {
    double turn = fmod(fabs(one - other), 180);
    return fmin(turn, 180 - turn);
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Summed in order of size, so that the order of the seasons does not change the last digit. */
static double axial_mean(double *headings, size_t count) {
    double sine = 0, cosine = 0;
    qsort(headings, count, sizeof *headings, by_size);
    for (size_t i = 0; i < count; i++) {
        sine += sin(2 * FOCI_DEGREE * headings[i]);
        cosine += cos(2 * FOCI_DEGREE * headings[i]);
    }
    return count == 1 ? headings[0] : fmod(atan2(sine, cosine) / (2 * FOCI_DEGREE) + 360, 180);
}

static bool share_heading(foci_seasons *seasons, foci_seasons_work *work, foci_error *err) {
    double headings[FOCI_SEASONS_MOST], most = 0;
    size_t count = 0;
    for (size_t s = 0; s < work->count; s++)
        if (!isnan(work->surveys[s].row_heading))
            headings[count++] = work->surveys[s].row_heading;
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < i; j++)
            most = fmax(most, apart(headings[i], headings[j]));
    work->row_heading = NAN;
    if (most > HEADINGS_APART)
        return foci_seasons_warn_rows(seasons, most, err);
    if (count > 0)
        work->row_heading = axial_mean(headings, count);
    return true;
}

/* ---- all of them ---- */

/* Hands the rounds over, with their names and keys. */
static bool hand_over(foci_seasons *seasons, foci_seasons_work *work, foci_error *err) {
    seasons->rounds = foci_new_array(work->count, sizeof *seasons->rounds, err);
    seasons->surveys = foci_new_array(work->count, sizeof *seasons->surveys, err);
    seasons->keys = foci_new_array(work->count, sizeof *seasons->keys, err);
    if (!seasons->rounds || !seasons->surveys || !seasons->keys)
        return false;
    for (size_t s = 0; s < work->count; s++) {
        seasons->rounds[s] = work->surveys[s];
        work->surveys[s] = (foci_survey){0};
        seasons->surveys[s] = work->names[s];
        work->names[s] = NULL;
        memcpy(seasons->keys[s], work->keys[s], sizeof work->keys[s]);
    }
    seasons->count = work->count;
    return true;
}

bool foci_seasons_work_estimate(foci_seasons *seasons, foci_seasons_work *work, const foci_execution *how,
                                foci_error *err) {
    if (!make_grid(&seasons->grid, work, how, err))
        return false;
    for (size_t s = 0; s < work->count; s++) {
        const double count = (double)work->count;
        const foci_execution part = foci_execution_part(how, (double)s / count, (double)(s + 1) / count);
        if (!estimate(seasons, work, s, &part, err))
            return false;
    }
    return share_heading(seasons, work, err) && share_field(work, err) && hand_over(seasons, work, err);
}
