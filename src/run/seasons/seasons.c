#include "fieldfoci/comparison.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "decide/words/seasons_words.h"
#include "estimate/fit/box_cox.h"
#include "run/seasons/seasons_work.h"
#include "run/settings/job.h"
#include "run/steps/labels.h"

/* ---- read together ---- */

/* Scores on the scale that the season's own fit chose, and the threshold with them. */
static bool put_on_scale(foci_persistence_season *season, foci_seasons_work *work, size_t s, const foci_survey *round,
                         foci_error *err) {
    const foci_fit_summary *facts = &round->model.facts;
    const foci_box_cox scale = {.transformed = facts->lambda != 1 || facts->shift != 0,
                                .lambda = facts->lambda,
                                .shift = facts->shift,
                                .least = round->method.least,
                                .most = round->method.most};
    work->values[s] = foci_new_array(round->readings.count, sizeof *work->values[s], err);
    if (!work->values[s])
        return false;
    for (size_t i = 0; i < round->readings.count; i++)
        work->values[s][i] = foci_box_cox_forward(&scale, round->readings.values[i]);
    season->values = work->values[s];
    season->threshold = foci_box_cox_forward(&scale, round->threshold);
    if (!isfinite(season->threshold) && !season->why_not)
        season->why_not = "its threshold lies at the end of its scale";
    return true;
}

static bool read_together(foci_seasons *seasons, foci_seasons_work *work, const foci_execution *how, foci_error *err) {
    const foci_field *field = &seasons->rounds[seasons->count - 1].field;
    const foci_settings *settings = work->settings;
    const foci_persistence_options options = {
        .row_heading = work->row_heading,
        .area_ha = field->area_ha,
        .seed = (uint64_t)settings->survey.seed,
    };
    foci_persistence_season each[FOCI_SEASONS_MOST] = {0};
    for (size_t s = 0; s < seasons->count; s++) {
        const foci_survey *round = &seasons->rounds[s];
        each[s] = (foci_persistence_season){.readings = &round->readings,
                                            .kind = round->stops.kind,
                                            .threshold = round->threshold,
                                            .key = seasons->keys[s],
                                            .why_not = work->why_not[s]};
        if (round->stops.kind == FOCI_READING_VALUE && !work->why_not[s] &&
            !put_on_scale(&each[s], work, s, round, err))
            return false;
    }
    return foci_persistence_make(&seasons->persistence, each, seasons->count, &seasons->grid, &options, how, err);
}

/* Smaller places than what one stop stands for are not there: of the season with the fewest stops. */
static bool find_places(foci_seasons *seasons, foci_error *err) {
    const foci_field *field = &seasons->rounds[seasons->count - 1].field;
    double fewest = INFINITY;
    for (size_t s = 0; s < seasons->count; s++)
        if (seasons->persistence.chance[s])
            fewest = fmin(fewest, (double)seasons->rounds[s].readings.count);
    return foci_class_places_make(&seasons->places, &seasons->persistence, &seasons->grid, field,
                                  field->area_ha / fewest, err);
}

/* What was asked for, and the cell that was settled. */
static bool tell_job(foci_seasons *seasons, const foci_seasons_work *work, foci_error *err) {
    foci_survey_options used = work->settings->survey; /* borrowed */
    used.cell = seasons->grid.cell;
    seasons->row_heading = work->row_heading;
    return foci_job_tell(&seasons->job, &used, FOCI_FOR_SEASONS, 0, NULL, err);
}

bool foci_seasons_compare(foci_seasons *out, const foci_settings *settings, const foci_execution *how,
                          foci_error *err) {
    const foci_execution mapping = foci_execution_part(how, 0, 0.6), reading = foci_execution_part(how, 0.6, 1);
    foci_seasons seasons = {0};
    foci_seasons_work *work = foci_new_array(1, sizeof *work, err);
    if (!work)
        return false;
    work->settings = settings;
    work->how = how;
    bool ok = (seasons.title = foci_copy_text(settings->survey.title ? settings->survey.title : "", err)) &&
              foci_labels_made(seasons.made, err) && foci_seasons_work_read(work, err) &&
              foci_seasons_work_judge(&seasons, work, err) &&
              foci_seasons_work_estimate(&seasons, work, &mapping, err) &&
              read_together(&seasons, work, &reading, err) && find_places(&seasons, err) &&
              foci_seasons_say(&seasons, err) && tell_job(&seasons, work, err);
    foci_seasons_work_free(work);
    free(work);
    if (ok)
        *out = seasons;
    else
        foci_seasons_free(&seasons);
    return ok;
}
