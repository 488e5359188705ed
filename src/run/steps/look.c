#include "run/steps/look.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "run/steps/labels.h"

/* "LEAST,MOST". */
static bool parse_limits(foci_stops_options *options, const char *text, foci_error *err) {
    const char *comma = strchr(text, ',');
    char least[64] = "";
    if (comma && (size_t)(comma - text) < sizeof least)
        memcpy(least, text, (size_t)(comma - text));
    if (!comma || !foci_number_parse(least, &options->least) || !foci_number_parse(comma + 1, &options->most) ||
        options->least >= options->most)
        return foci_fail(err, FOCI_BAD_SETTING, "--limits", 0, "'%s' is not two numbers, least first, as in 1,10",
                         text);
    return true;
}

/* What the settings leave open and the disease tells. */
static void take_from_profile(foci_stops_options *options, const foci_profile *profile) {
    if (!options->value && !options->hits) {
        if (*profile->hits_column) {
            options->hits = profile->hits_column;
            if (!options->checked)
                options->checked = *profile->checked_column ? profile->checked_column : NULL;
        } else if (*profile->value_column) {
            options->value = profile->value_column;
        }
    }
    /* A profile of scores says nothing of what is counted. */
    if (*profile->unit && (!options->hits || *profile->hits_column))
        options->unit = profile->unit;
    options->least = profile->least;
    options->most = profile->most;
}

bool foci_look_reading(foci_stops_options *out, const foci_settings *settings, const foci_profile *profile,
                       foci_error *err) {
    foci_stops_options options = {.value = settings->value,
                                  .hits = settings->hits,
                                  .checked = settings->checked,
                                  .id = settings->id,
                                  .when = settings->when,
                                  .from = settings->from,
                                  .to = settings->to,
                                  .crs = settings->crs,
                                  .xy = settings->xy,
                                  .layer = settings->layer};
    if (profile)
        take_from_profile(&options, profile);
    if (settings->limits && options.hits)
        return foci_fail(err, FOCI_BAD_SETTING, "--limits", 0,
                         "goes with --value; the share of a count runs from 0 to 100 percent");
    if (settings->limits && !parse_limits(&options, settings->limits, err))
        return false;
    *out = options;
    return true;
}

bool foci_look_check(foci_round *round, foci_error *unfit, foci_error *err) {
    const bool has_field = round->field.input.file != NULL;
    if (!foci_checks_make(&round->findings, &round->stops, has_field ? &round->field.lonlat : NULL,
                          has_field ? &round->field.shape : NULL, unfit))
        return unfit->status != FOCI_NO_MEMORY || foci_fail(err, unfit->status, NULL, 0, "%s", unfit->text);
    return foci_readings_make(&round->readings, &round->stops, err) &&
           foci_readings_spread(&round->spread, &round->readings, err) &&
           foci_readings_spacing(&round->spacing, &round->readings, err);
}

static bool read_round(foci_round *round, const foci_settings *settings, foci_error *unfit, foci_error *err) {
    const foci_field_options field = {.crs = settings->crs,
                                      .name = settings->field_name,
                                      .column = settings->field_column,
                                      .layer = settings->field_layer};
    if (settings->disease) {
        if (!foci_profile_read(&round->profile, settings->disease, err))
            return false;
        round->has_profile = true;
    }
    if (settings->field && !foci_field_read(&round->field, settings->field, &field, &round->findings, err))
        return false;
    foci_stops_options stops;
    if (!foci_look_reading(&stops, settings, round->has_profile ? &round->profile : NULL, err) ||
        !foci_stops_read(&round->stops, (const char *const *)settings->inputs, settings->input_count, &stops, err))
        return false;
    if (!foci_field_project(settings->field ? &round->field : NULL, &round->stops, settings->work_crs, round->work_crs,
                            &round->findings, err))
        return false;
    return foci_look_check(round, unfit, err);
}

void foci_survey_free(foci_survey *survey) {
    foci_settings_free(&survey->settings);
    foci_round_free(&survey->round);
}

bool foci_survey_look(foci_survey *out, const foci_settings *settings, foci_error *unfit, foci_error *err) {
    foci_survey survey = {0};
    bool ok = false;
    if (settings->input_count == 0) {
        foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "no stops are given; name a file of scouting stops");
        goto done;
    }
    survey.round.threshold = NAN;
    if (!foci_settings_copy(&survey.settings, settings, err) ||
        !read_round(&survey.round, &survey.settings, unfit, err) ||
        !foci_labels_make(&survey.round, &survey.settings, err))
        goto done;
    *out = survey;
    survey = (foci_survey){0};
    ok = true;
done:
    foci_survey_free(&survey);
    return ok;
}
