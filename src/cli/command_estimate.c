#include <stdlib.h>

#include "commands.h"

static int fail_usage(const char *option, const char *text) {
    foci_error err = {0};
    foci_fail(&err, FOCI_BAD_SETTING, option, 0, "%s", text);
    return console_fail(&err);
}

static int estimate(const foci_survey *survey, const foci_settings *settings) {
    foci_error err = {0};
    size_t places = 0;
    char *summary = NULL;
    if (!settings->at) {
        if (!foci_survey_estimate_left_out(survey, &summary, &err))
            return console_fail(&err);
        if (settings->json)
            return console_print(summary, &err);
        free(summary);
        places = survey->round.readings.count;
    } else if (!foci_survey_estimate_at(survey, &places, &err)) {
        return console_fail(&err);
    }
    if (!settings->quiet && !settings->json && survey->round.earlier.words)
        console_put("%s\n", survey->round.earlier.words);
    if (!settings->quiet && !settings->json)
        console_put("written: %s (%zu rows)\n", settings->out, places);
    return EXIT_DONE;
}

int command_estimate(const foci_settings *settings) {
    foci_error err = {0};
    foci_survey survey = {0};
    if (!settings->at && !settings->cross_check)
        return fail_usage("--at", "name the places to estimate at, or ask for --cross-check");
    if (!settings->out)
        return fail_usage("--out", "where should the estimates go? name a file ending in .csv, .geojson or .gpkg");
    if (!foci_survey_model(&survey, settings, &err))
        return console_fail(&err);
    int status = estimate(&survey, settings);
    if (status == EXIT_DONE)
        console_findings(settings->quiet, &survey.round.findings);
    foci_survey_free(&survey);
    return status;
}
