#include "run/steps/look.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "decide/words/warnings.h"
#include "run/settings/survey_options.h"
#include "run/steps/labels.h"

/* What the options leave open and the disease tells. */
static void take_from_profile(foci_stops_options *options, const foci_profile *profile) {
    if (!options->value && !options->hits && !options->classes) {
        if (*profile->hits_column) {
            options->hits = profile->hits_column;
            if (!options->checked)
                options->checked = *profile->checked_column ? profile->checked_column : NULL;
        } else if (*profile->value_column) {
            options->value = profile->value_column;
        }
    }
    /* A profile of scores says nothing of what is counted. */
    if (!options->unit && *profile->unit && (!options->hits || *profile->hits_column))
        options->unit = profile->unit;
    if (!options->scale_of && !options->hits && *profile->scale) {
        options->scale_of = profile->scale;
        options->scale_by_profile = true;
    }
    if (!(options->least < options->most)) {
        options->least = profile->least;
        options->most = profile->most;
    }
}

bool foci_look_reading(foci_stops_options *out, const foci_survey_options *used, const foci_profile *profile,
                       foci_error *err) {
    foci_stops_options options = used->stops;
    const bool limited = options.least < options.most;
    if (profile)
        take_from_profile(&options, profile);
    if (limited && options.hits)
        return foci_fail(err, FOCI_BAD_SETTING, "{limits}", 0,
                         "goes with {value}; the share of a count runs from 0 to 100 percent");
    if (limited && options.scale_of && strcmp(options.scale_of, "none") != 0)
        return foci_fail(
            err, FOCI_BAD_SETTING, "{limits}", 0,
            "goes with amounts, and these are classes of %.60s, read as 0 to 100 percent; leave it out, or "
            "give {scale-of} none",
            options.scale_of);
    *out = options;
    return true;
}

bool foci_look_check(foci_survey *round, foci_error *err) {
    const bool has_field = round->field.input.file != NULL;
    return foci_checks_make(&round->findings, &round->stops, has_field ? &round->field.lonlat : NULL,
                            has_field ? &round->field.shape : NULL, err) &&
           foci_readings_make(&round->readings, &round->stops, err) && foci_find_crowding(round, err);
}

static bool read_profile(foci_survey *round, const char *disease, foci_error *err) {
    round->has_profile = disease && foci_profile_read(&round->profile, disease, err);
    return round->has_profile || !disease;
}

static bool read_field(foci_survey *round, const foci_survey_options *used, foci_error *err) {
    foci_field_options field = used->field;
    field.crs = used->stops.crs;
    return !used->boundary || foci_field_read(&round->field, used->boundary, &field, &round->findings, err);
}

static bool read_stops(foci_survey *round, const foci_survey_options *used, const char *const *files, size_t count,
                       foci_error *err) {
    foci_stops_options stops;
    return foci_look_reading(&stops, used, round->has_profile ? &round->profile : NULL, err) &&
           foci_stops_read(&round->stops, files, count, &stops, err);
}

/* The files' own word is kept with the options: the job and the layers of a survey folder have no such column. */
static void settle_rating(foci_survey *survey) {
    survey->used.stops.rating = survey->stops.rating;
}

/* What lies under the map and on it. */
static bool read_ground(foci_survey *round, const foci_survey_options *used, foci_error *err) {
    foci_photo_options photo = foci_photo_options_make();
    photo.crs = used->stops.crs;
    photo.credit = used->credit;
    return (!used->photo || !used->boundary ||
            foci_photo_read(&round->photo, used->photo, &round->field.shape, round->work_crs, &photo, err)) &&
           (!used->marks || foci_marks_read(&round->marks, used->marks, round->work_crs, used->stops.crs, err));
}

bool foci_look_begin(foci_survey *survey, const foci_survey_options *options, foci_error *err) {
    survey->threshold = NAN;
    if (!options->paper)
        return foci_fail(err, FOCI_BAD_SETTING, "{paper}", 0,
                         "no paper is named; begin with what foci_survey_options_make gives");
    return foci_survey_options_copy(&survey->options, options, err) &&
           foci_survey_options_copy(&survey->used, options, err);
}

static bool keep_files(foci_survey *survey, const char *const *files, size_t count, foci_error *err) {
    survey->inputs = foci_new_array(count, sizeof *survey->inputs, err);
    if (!survey->inputs)
        return false;
    for (; survey->input_count < count; survey->input_count++)
        if (!(survey->inputs[survey->input_count] = foci_copy_text(files[survey->input_count], err)))
            return false;
    return true;
}

bool foci_survey_read(foci_survey *out, const foci_survey_options *options, const char *const *files, size_t count,
                      foci_error *err) {
    foci_survey survey = {0};
    foci_survey *round = &survey;
    if (count == 0)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "no stops are given; name a file of scouting stops");
    bool ok = foci_look_begin(&survey, options, err) && keep_files(&survey, files, count, err) &&
              read_profile(round, options->disease, err) && read_field(round, options, err) &&
              read_stops(round, options, files, count, err) &&
              foci_field_project(options->boundary ? &round->field : NULL, &round->stops, options->work_crs,
                                 round->work_crs, &round->findings, err) &&
              read_ground(round, options, err);
    survey.stage = FOCI_STAGE_TAKEN;
    settle_rating(&survey);
    if (ok)
        *out = survey;
    else
        foci_survey_free(&survey);
    return ok;
}

/* The columns that such stops have in a survey folder, from which they may be read back. */
static bool name_columns(foci_stops_options *used, const foci_stop_arrays *stops, foci_error *err) {
    return (stops->hits ? foci_survey_options_keep(&used->hits, "hits", err) &&
                              foci_survey_options_keep(&used->checked, "checked", err)
                        : foci_survey_options_keep(&used->value, "value", err)) &&
           foci_survey_options_keep(&used->id, "stop", err) && foci_survey_options_keep(&used->when, "date", err);
}

bool foci_survey_take(foci_survey *out, const foci_survey_options *options, const foci_stop_arrays *stops,
                      const char *name, const foci_multipolygon *boundary, foci_error *err) {
    foci_survey survey = {0};
    foci_stops_options reading;
    bool ok = foci_look_begin(&survey, options, err) && name_columns(&survey.used.stops, stops, err) &&
              read_profile(&survey, options->disease, err) &&
              (!boundary || foci_field_of_shape(&survey.field, name ? name : "", boundary, &survey.findings, err)) &&
              foci_look_reading(&reading, &survey.used, survey.has_profile ? &survey.profile : NULL, err) &&
              foci_stops_of_arrays(&survey.stops, stops, &reading, err) &&
              foci_field_project(boundary ? &survey.field : NULL, &survey.stops, options->work_crs, survey.work_crs,
                                 &survey.findings, err);
    survey.stage = FOCI_STAGE_TAKEN;
    if (ok)
        *out = survey;
    else
        foci_survey_free(&survey);
    return ok;
}

bool foci_survey_check(foci_survey *survey, foci_error *err) {
    foci_error unfit = {0};
    if (!foci_survey_is_at(survey, FOCI_STAGE_TAKEN, err))
        return false;
    const bool fit = foci_look_check(survey, &unfit);
    if (!fit && unfit.status == FOCI_NO_MEMORY)
        return foci_fail(err, unfit.status, NULL, 0, "%s", unfit.text);
    if (!foci_labels_make(survey, &survey->used, err))
        return false;
    if (fit)
        survey->stage = FOCI_STAGE_CHECKED;
    return fit || foci_fail_again(err, &unfit);
}
