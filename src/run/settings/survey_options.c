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

bool foci_survey_options_keep(const char **place, const char *text, foci_error *err) {
    char *copy = foci_copy_text(text, err);
    if (!copy)
        return false;
    free((void *)*place);
    *place = copy;
    return true;
}
