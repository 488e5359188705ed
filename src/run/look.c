#include "run/look.h"

#include <math.h>
#include <stdlib.h>

#include "run/labels.h"

foci_stops_options foci_look_reading(const foci_settings *settings, const foci_profile *profile) {
    foci_stops_options options = {.value = settings->value,
                                  .hits = settings->hits,
                                  .checked = settings->checked,
                                  .id = settings->id,
                                  .when = settings->when,
                                  .from = settings->from,
                                  .to = settings->to,
                                  .crs = settings->crs,
                                  .xy = settings->xy,
                                  .unit = NULL};
    if (!profile)
        return options;
    if (!options.value && !options.hits) {
        if (*profile->hits_column) {
            options.hits = profile->hits_column;
            if (!options.checked)
                options.checked = *profile->checked_column ? profile->checked_column : NULL;
        } else if (*profile->value_column) {
            options.value = profile->value_column;
        }
    }
    if (*profile->unit)
        options.unit = profile->unit;
    return options;
}

bool foci_look_check(foci_round *round, foci_error *unfit, foci_error *err) {
    const bool has_field = round->field.input.file != NULL;
    if (!foci_checks_make(&round->findings, &round->stops, has_field ? &round->field.lonlat : NULL,
                          has_field ? &round->field.shape : NULL, unfit))
        return unfit->status != FOCI_NO_MEMORY || foci_fail(err, unfit->status, NULL, 0, "%s", unfit->text);
    if (!foci_readings_make(&round->readings, &round->stops, err) ||
        !foci_readings_spread(&round->spread, &round->readings, err))
        return false;
    round->spacing = foci_readings_spacing(&round->readings);
    return true;
}

static bool read_round(foci_round *round, const foci_settings *settings, foci_error *unfit, foci_error *err) {
    const foci_field_options field = {
        .crs = settings->crs, .name = settings->field_name, .column = settings->field_column};
    if (settings->disease) {
        if (!foci_profile_read(&round->profile, settings->disease, err))
            return false;
        round->has_profile = true;
    }
    if (settings->field && !foci_field_read(&round->field, settings->field, &field, &round->findings, err))
        return false;
    const foci_stops_options stops = foci_look_reading(settings, round->has_profile ? &round->profile : NULL);
    if (!foci_stops_read(&round->stops, (const char *const *)settings->inputs, settings->input_count, &stops, err))
        return false;
    if (!foci_field_project(settings->field ? &round->field : NULL, &round->stops, settings->work_crs, round->work_crs,
                            &round->findings, err))
        return false;
    return foci_look_check(round, unfit, err);
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
