#include <stdio.h>

#include "commands.h"

static int fail_usage(const char *option, const char *text) {
    foci_error err = {0};
    foci_fail(&err, FOCI_BAD_SETTING, option, 0, "%s", text);
    return console_fail(&err);
}

static void say_recorded(const foci_settings *settings, const char *survey, foci_history_outcome outcome) {
    char text[1024];
    bool notes = settings->record.crop || settings->record.laboratory;
    snprintf(text, sizeof text, "%s: %s %s", survey,
             outcome == FOCI_HISTORY_ADDED      ? "recorded in"
             : outcome == FOCI_HISTORY_REPLACED ? "recorded in the place of the season's earlier map in"
             : outcome == FOCI_HISTORY_MENDED   ? "was there in part, and is whole now in"
             : notes                            ? "was there already, the notes are now in"
                                                : "was recorded before, nothing changed in",
             settings->history);
    console_say(settings->quiet, "note", text);
}

int command_record(const foci_settings *settings) {
    const foci_execution how = {.teller = console_teller(settings->quiet)};
    if (settings->input_count == 0)
        return fail_usage("SURVEY", "name a survey folder, as the command map writes it");
    if (!settings->history)
        return fail_usage("{history}", "where is the history kept? name a GeoPackage (it is made where it is not "
                                       "there) or a database's connection string, as in PG:dbname=farm");
    for (size_t i = 0; i < settings->input_count; i++) {
        foci_error err = {0};
        foci_history_outcome outcome = FOCI_HISTORY_ADDED;
        if (!foci_history_record(settings->inputs[i], settings->history, &settings->record, &outcome, &how, &err))
            return console_fail(&err);
        say_recorded(settings, settings->inputs[i], outcome);
    }
    return EXIT_DONE;
}
