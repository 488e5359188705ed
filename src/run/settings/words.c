/* What stands on the command line, and the job that it names. */
#include <stdio.h>
#include <string.h>

#include "fieldfoci/settings.h"
#include "run/settings/job.h"

/* One option; *used tells whether the next word was its value. */
static bool parse_option(foci_settings *settings, unsigned command, const char *word, const char *next, bool *used,
                         foci_error *err) {
    char name[260];
    const char *equals = strchr(word, '=');
    size_t length = equals ? (size_t)(equals - word) : strlen(word);
    snprintf(name, sizeof name, "%.*s", (int)(length < 255 ? length : 255), word);
    *used = false;
    const foci_setting *row = foci_setting_find(name, command);
    const char *text = equals ? equals + 1 : NULL;
    if (row && !row->kind->is_flag && !text) {
        text = next;
        *used = next != NULL;
    }
    return foci_settings_set(settings, name, text, command, err);
}

bool foci_settings_parse(foci_settings *settings, unsigned command, int count, const char *const *words,
                         foci_error *err) {
    bool options = true;
    settings->survey.at_places = command == FOCI_FOR_ESTIMATE;
    for (int i = 0; i < count; i++) {
        bool used = false;
        if (options && strcmp(words[i], "--") == 0) {
            options = false;
        } else if (options && strncmp(words[i], "--", 2) == 0) {
            if (!parse_option(settings, command, words[i] + 2, i + 1 < count ? words[i + 1] : NULL, &used, err))
                return false;
            i += used;
        } else if (options && words[i][0] == '-' && words[i][1]) {
            return foci_fail(err, FOCI_BAD_SETTING, words[i], 0,
                             "no such option; options have two hyphens, as in --help");
        } else if (!foci_settings_add_input(settings, words[i], err)) {
            return false;
        }
    }
    return !settings->job || foci_job_read(settings, settings->job, command, err);
}
