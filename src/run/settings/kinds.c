/* What the kinds have in common. */
#include "run/settings/kinds.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"

bool foci_setting_refuse(const foci_setting *setting, foci_error *err, const char *format, ...) {
    char option[80], text[sizeof err->text];
    va_list arguments;
    snprintf(option, sizeof option, "{%s}", setting->name);
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    return foci_fail(err, FOCI_BAD_SETTING, option, 0, "%s", text);
}

bool foci_kind_check_text(const foci_setting *setting, const char *text, foci_error *err) {
    if (!*text)
        return foci_setting_refuse(setting, err, "is empty; give it a %s or leave it out", setting->metavar);
    if (foci_text_noncharacter(text))
        return foci_setting_refuse(setting, err, "holds U+%04X, which is no letter; take it out",
                                   foci_text_noncharacter(text));
    return true;
}

const char *foci_setting_choice(const foci_setting *setting, size_t index) {
    const char *name = NULL;
    if (!setting->choices.rows)
        return NULL;
    for (size_t i = 0; i <= index; i++) {
        memcpy(&name, (const char *)setting->choices.rows + i * setting->choices.size, sizeof(char *));
        if (!name)
            return NULL;
    }
    return name;
}

bool foci_kind_choose(size_t *index, const foci_setting *setting, const char *word, foci_error *err) {
    char list[200] = "";
    const char *name = NULL;
    for (size_t i = 0; (name = foci_setting_choice(setting, i)); i++) {
        if (strcmp(name, word) == 0) {
            *index = i;
            return true;
        }
        size_t used = strlen(list);
        snprintf(list + used, sizeof list - used, "%s%s", used ? ", " : "", name);
    }
    return foci_setting_refuse(setting, err, "'%s' is not one of: %s", word, list);
}

void foci_kind_digits(char digits[FOCI_KIND_DIGITS], double number) {
    double again = NAN;
    for (int precision = 15; precision <= 17; precision++) {
        snprintf(digits, FOCI_KIND_DIGITS, "%.*g", precision, number);
        if (foci_number_parse(digits, &again) && again == number)
            return;
    }
}
