#include "run/settings/survey_options.h"

#include <stdlib.h>

#include "base/memory.h"

/* How far into a survey's options a setting stands; FOCI_OPEN where it is none of theirs. */
static size_t where_in(const foci_setting *setting) {
    const size_t first = offsetof(foci_settings, survey);
    return setting->where < first || setting->where >= first + sizeof(foci_survey_options) ? FOCI_OPEN
                                                                                           : setting->where - first;
}

const void *foci_survey_options_at(const foci_survey_options *options, const foci_setting *setting) {
    const size_t where = where_in(setting);
    return where == FOCI_OPEN ? NULL : (const char *)options + where;
}

/* The same of options that are ours to change. */
static void *place_in(foci_survey_options *options, const foci_setting *setting) {
    const size_t where = where_in(setting);
    return where == FOCI_OPEN ? NULL : (char *)options + where;
}

bool foci_survey_options_copy(foci_survey_options *out, const foci_survey_options *options, foci_error *err) {
    foci_survey_options copy = *options;
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (row->kind->copy && place_in(&copy, row))
            *(const char **)place_in(&copy, row) = NULL;
    copy.stops.unit = NULL;
    bool ok = !options->stops.unit || (copy.stops.unit = foci_copy_text(options->stops.unit, err));
    for (const foci_setting *row = foci_setting_table; ok && row->name; row++) {
        const void *place = foci_survey_options_at(options, row);
        ok = !place || !row->kind->copy || row->kind->copy(place_in(&copy, row), place, err);
    }
    if (ok)
        *out = copy;
    else
        foci_survey_options_free(&copy);
    return ok;
}

bool foci_survey_options_keep(const char **place, const char *text, foci_error *err) {
    char *copy = foci_copy_text(text, err);
    if (!copy)
        return false;
    free((void *)*place);
    *place = copy;
    return true;
}

void foci_survey_options_free(foci_survey_options *options) {
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (row->kind->free && place_in(options, row))
            row->kind->free(place_in(options, row));
    free((void *)options->stops.unit);
    options->stops.unit = NULL;
}
