#include <stdlib.h>

#include "commands.h"

static int fail_usage(const char *option, const char *text) {
    foci_error err = {0};
    foci_fail(&err, FOCI_BAD_SETTING, option, 0, "%s", text);
    return console_fail(&err);
}

static int report(const foci_survey *survey, const foci_settings *settings, char *summary, size_t places) {
    const foci_error err = {0};
    console_findings(settings->quiet, &survey->findings);
    if (settings->json && summary)
        return console_print(summary, &err);
    if (!settings->quiet && !settings->json && survey->earlier.words)
        console_put("%s\n", survey->earlier.words);
    if (!settings->quiet && !settings->json)
        console_put("written: %s (%zu rows)\n", settings->out, places);
    free(summary);
    return EXIT_DONE;
}

int command_estimate(const foci_settings *settings) {
    foci_error err = {0};
    foci_survey survey = {0};
    if (!settings->at && !settings->survey.cross_validation)
        return fail_usage("{at}", "name the places to estimate at, or ask for {cross-check}");
    if (!settings->out)
        return fail_usage("{out}", "where should the estimates go? name a file ending in .csv, .geojson or .gpkg");
    const foci_execution how = console_execution(settings), fitting = foci_execution_part(&how, 0, 0.5);
    const foci_execution asking = foci_execution_part(&how, 0.5, 1);
    size_t places = 0;
    char *summary = NULL;
    bool ok = console_read(&survey, settings, &err) && foci_survey_check(&survey, &err) &&
              foci_survey_fit(&survey, &fitting, &err) &&
              (settings->at ? foci_survey_estimate_at(&survey, settings->at, settings->out, settings->overwrite,
                                                      &places, &asking, &err)
                            : foci_survey_estimate_leave_one_out(&survey, settings->out, settings->overwrite, &summary,
                                                                 &asking, &err));
    console_execution_end(&how);
    if (!settings->at)
        places = survey.readings.count;
    int status = ok ? report(&survey, settings, summary, places) : console_fail(&err);
    foci_survey_free(&survey);
    return status;
}
