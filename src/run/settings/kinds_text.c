/* Kinds that are kept as a text. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/dates.h"
#include "base/text.h"
#include "run/settings/kinds_of.h"

/* `copy` NULL: there was no memory for it. */
static bool take(void *place, char *copy) {
    if (!copy)
        return false;
    foci_kind_free_text(place);
    *(const char **)place = copy;
    return true;
}

bool foci_kind_parse_text(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    return foci_kind_check_text(setting, text, err) && take(place, foci_copy_text(text, err));
}

bool foci_kind_parse_date(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    char date[11];
    if (!foci_date_parse(text, date))
        return foci_setting_refuse(setting, err, "'%s' is not a date; write YYYY-MM-DD", text);
    return take(place, foci_copy_text(date, err));
}

/* `text` goes behind what is there. */
static bool add_line(void *place, const char *text, foci_error *err) {
    const char *before = *(const char *const *)place;
    return take(place, before ? foci_format_text(err, "%s\n%s", before, text) : foci_copy_text(text, err));
}

bool foci_kind_parse_lines(void *place, const foci_setting *setting, const char *text, foci_error *err) {
    if (!*text || strchr(text, '\n'))
        return foci_setting_refuse(setting, err, "is empty or broken; give it a %s of one line", setting->metavar);
    return add_line(place, text, err);
}

bool foci_kind_print_text(char **out, const void *place, const foci_setting *setting, foci_error *err) {
    (void)setting;
    const char *text = *(const char *const *)place;
    *out = NULL;
    return !text || (*out = foci_copy_text(text, err)) != NULL;
}

void foci_kind_free_text(void *place) {
    free((void *)*(const char **)place);
    *(const char **)place = NULL;
}
