/* What the command `map` does with settings, but for the writing. */
#ifndef FOCI_TESTS_RUN_MAP_H
#define FOCI_TESTS_RUN_MAP_H

#include "fieldfoci/settings.h"
#include "fieldfoci/steps.h"

/* Reads and checks the stops that the settings name. */
static inline bool run_look(foci_survey *out, const foci_settings *settings, foci_error *err) {
    foci_survey survey = {0};
    bool ok = foci_survey_read(&survey, &settings->survey, (const char *const *)settings->inputs, settings->input_count,
                               err) &&
              foci_survey_check(&survey, err);
    if (ok)
        *out = survey;
    else
        foci_survey_free(&survey);
    return ok;
}

static inline bool run_map(foci_survey *out, const foci_settings *settings, const foci_execution *how,
                           foci_error *err) {
    foci_survey survey = {0};
    bool ok = foci_survey_options_check(&settings->survey, err) && run_look(&survey, settings, err) &&
              foci_survey_map(&survey, how, err);
    if (ok)
        *out = survey;
    else
        foci_survey_free(&survey);
    return ok;
}

#endif
