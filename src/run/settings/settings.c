#include "fieldfoci/settings.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"

static void *member(foci_settings *settings, const foci_setting *row) {
    return (char *)settings + row->where;
}

static bool is_text(const foci_setting *row) {
    return row->kind == FOCI_SETTING_TEXT || row->kind == FOCI_SETTING_CRS || row->kind == FOCI_SETTING_FILE ||
           row->kind == FOCI_SETTING_PROFILE || row->kind == FOCI_SETTING_DATE || row->kind == FOCI_SETTING_CHOICE ||
           row->kind == FOCI_SETTING_TEXTS || row->kind == FOCI_SETTING_CHOICES;
}

const foci_setting *foci_setting_find(const char *name, unsigned command) {
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (strcmp(row->name, name) == 0 && (!command || (row->commands & command)))
            return row;
    return NULL;
}

static bool unknown(const char *name, unsigned command, foci_error *err) {
    const char *names[FOCI_SETTINGS_MOST] = {0};
    size_t count = 0;
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (!command || (row->commands & command))
            names[count++] = row->name;
    const char *nearest = foci_text_nearest(name, names);
    char option[300];
    snprintf(option, sizeof option, "--%.250s", name);
    if (nearest)
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "no such option here; did you mean --%s?", nearest);
    return foci_fail(err, FOCI_BAD_SETTING, option, 0, "no such option here; --help lists what there is");
}

typedef struct {
    const char *name;
    foci_setting_kind kind;
    double factor;
} unit_row;

/* The foot is the international one (1959), the acre 43,560 square feet. */
static const unit_row units[] = {
    {"m", FOCI_SETTING_LENGTH, 1},
    {"ft", FOCI_SETTING_LENGTH, 0.3048},
    {"km", FOCI_SETTING_LENGTH, 1000},
    {"ha", FOCI_SETTING_AREA, 1},
    {"ac", FOCI_SETTING_AREA, 0.40468564224},
    {"m2", FOCI_SETTING_AREA, 0.0001},
    {"/ha", FOCI_SETTING_PER_AREA, 1},
    {"/ac", FOCI_SETTING_PER_AREA, 1 / 0.40468564224},
    {0},
};

/* A number with a unit behind it, if the kind has units. */
static bool measure(const char *text, foci_setting_kind kind, double *number) {
    char digits[64];
    size_t length = strlen(text);
    for (const unit_row *unit = units; unit->name; unit++) {
        size_t tail = strlen(unit->name);
        if (unit->kind != kind || length <= tail || length >= sizeof digits ||
            !foci_text_same(text + length - tail, unit->name))
            continue;
        memcpy(digits, text, length - tail);
        digits[length - tail] = '\0';
        if (foci_number_parse(digits, number)) {
            *number *= unit->factor;
            return true;
        }
    }
    return foci_number_parse(text, number);
}

static bool set_number(double *number, const foci_setting *row, const char *option, const char *text, foci_error *err) {
    double read = 0;
    if (!measure(text, row->kind, &read))
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "'%s' is not a number%s", text,
                         row->kind == FOCI_SETTING_LENGTH     ? "; write meters, or a unit as in 12m or 40ft"
                         : row->kind == FOCI_SETTING_AREA     ? "; write hectares, or a unit as in 0.5ha or 2ac"
                         : row->kind == FOCI_SETTING_PER_AREA ? "; write it per hectare, or with a unit as in 40/ac"
                                                              : "; write it with a decimal point, as in 0.5");
    if (row->kind == FOCI_SETTING_WHOLE && read != floor(read))
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "'%s' is not a whole number", text);
    if (read < row->least || read > row->most || (row->above && read == row->least)) {
        if (isinf(row->most))
            return foci_fail(err, FOCI_BAD_SETTING, option, 0, "%s is out of range; it must be %s %g", text,
                             row->above ? "above" : "at least", row->least);
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "%s is out of range; it must be %s %g and at most %g", text,
                         row->above ? "above" : "at least", row->least, row->most);
    }
    *number = read;
    return true;
}

static bool is_choice(const foci_setting *row, const char *option, const char *text, foci_error *err) {
    char list[200] = "";
    for (const char *const *choice = row->choices; *choice; choice++) {
        if (strcmp(*choice, text) == 0)
            return true;
        size_t used = strlen(list);
        snprintf(list + used, sizeof list - used, "%s%s", used ? ", " : "", *choice);
    }
    return foci_fail(err, FOCI_BAD_SETTING, option, 0, "'%s' is not one of: %s", text, list);
}

static bool set_text(char **place, const foci_setting *row, const char *option, const char *text, foci_error *err) {
    char date[11];
    if (row->kind == FOCI_SETTING_CHOICE && !is_choice(row, option, text, err))
        return false;
    if (row->kind == FOCI_SETTING_DATE) {
        if (!foci_date_parse(text, date))
            return foci_fail(err, FOCI_BAD_SETTING, option, 0, "'%s' is not a date; write YYYY-MM-DD", text);
        text = date;
    }
    if (!*text)
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "is empty; give it a %s or leave it out", row->metavar);
    if (foci_text_noncharacter(text))
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "holds U+%04X, which is no letter; take it out",
                         foci_text_noncharacter(text));
    char *copy = foci_copy_text(text, err);
    if (!copy)
        return false;
    free(*place);
    *place = copy;
    return true;
}

/* Each of the words is checked and goes behind what is there. */
static bool add_choices(char **place, const foci_setting *row, const char *option, const char *text, foci_error *err) {
    const char *rest = text;
    do {
        char word[64];
        size_t length = strcspn(rest, ",");
        snprintf(word, sizeof word, "%.*s", (int)(length < sizeof word ? length : sizeof word - 1), rest);
        if (!is_choice(row, option, word, err))
            return false;
        rest += length;
    } while (*rest++);
    char *list = *place ? foci_format_text(err, "%s,%s", *place, text) : foci_copy_text(text, err);
    if (!list)
        return false;
    free(*place);
    *place = list;
    return true;
}

static bool add_text(char **place, const foci_setting *row, const char *option, const char *text, foci_error *err) {
    if (!*text || strchr(text, '\n'))
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "is empty or broken; give it a %s of one line",
                         row->metavar);
    char *list = *place ? foci_format_text(err, "%s\n%s", *place, text) : foci_copy_text(text, err);
    if (!list)
        return false;
    free(*place);
    *place = list;
    return true;
}

static bool set_row(foci_settings *settings, const foci_setting *row, const char *text, foci_error *err) {
    char option[80];
    snprintf(option, sizeof option, "--%s", row->name);
    void *place = member(settings, row);
    switch (row->kind) {
    case FOCI_SETTING_FLAG:
        if (text)
            return foci_fail(err, FOCI_BAD_SETTING, option, 0, "takes no value");
        *(bool *)place = true;
        return true;
    case FOCI_SETTING_TEXT:
    case FOCI_SETTING_CRS:
    case FOCI_SETTING_FILE:
    case FOCI_SETTING_PROFILE:
    case FOCI_SETTING_DATE:
    case FOCI_SETTING_CHOICE:
        return set_text(place, row, option, text, err);
    case FOCI_SETTING_TEXTS:
        return add_text(place, row, option, text, err);
    case FOCI_SETTING_CHOICES:
        return add_choices(place, row, option, text, err);
    default:
        return set_number(place, row, option, text, err);
    }
}

bool foci_settings_set(foci_settings *settings, const char *name, const char *text, unsigned command, foci_error *err) {
    const foci_setting *row = foci_setting_find(name, command);
    if (!row)
        return unknown(name, command, err);
    if (row->kind != FOCI_SETTING_FLAG && !text) {
        char option[80];
        snprintf(option, sizeof option, "--%s", row->name);
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "needs a value: --%s %s", row->name, row->metavar);
    }
    if (!set_row(settings, row, text, err))
        return false;
    settings->given[row - foci_setting_table] = true;
    return true;
}

bool foci_settings_make(foci_settings *out, foci_error *err) {
    foci_settings made = {0};
    bool ok = false;
    for (const foci_setting *row = foci_setting_table; row->name; row++) {
        bool number = row->kind == FOCI_SETTING_NUMBER || row->kind == FOCI_SETTING_WHOLE ||
                      row->kind == FOCI_SETTING_LENGTH || row->kind == FOCI_SETTING_AREA ||
                      row->kind == FOCI_SETTING_PER_AREA;
        if (number)
            *(double *)member(&made, row) = NAN;
        if (row->standard && !set_row(&made, row, row->standard, err))
            goto done;
    }
    *out = made;
    made = (foci_settings){0};
    ok = true;
done:
    foci_settings_free(&made);
    return ok;
}

bool foci_settings_add_input(foci_settings *settings, const char *word, foci_error *err) {
    size_t capacity = settings->input_count;
    if (!foci_grow_array((void **)&settings->inputs, &capacity, settings->input_count + 1, sizeof *settings->inputs,
                         err))
        return false;
    char *copy = foci_copy_text(word, err);
    if (!copy)
        return false;
    settings->inputs[settings->input_count++] = copy;
    return true;
}

bool foci_settings_is_given(const foci_settings *settings, const char *name) {
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (strcmp(row->name, name) == 0)
            return settings->given[row - foci_setting_table];
    return false;
}

bool foci_settings_copy(foci_settings *out, const foci_settings *settings, foci_error *err) {
    foci_settings made = *settings;
    bool ok = false;
    made.inputs = NULL;
    made.input_count = 0;
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (is_text(row))
            *(char **)member(&made, row) = NULL;
    for (size_t i = 0; i < settings->input_count; i++)
        if (!foci_settings_add_input(&made, settings->inputs[i], err))
            goto done;
    for (const foci_setting *row = foci_setting_table; row->name; row++) {
        const char *text = is_text(row) ? *(char *const *)((const char *)settings + row->where) : NULL;
        if (text && !(*(char **)member(&made, row) = foci_copy_text(text, err)))
            goto done;
    }
    *out = made;
    made = (foci_settings){0};
    ok = true;
done:
    foci_settings_free(&made);
    return ok;
}

const char *foci_settings_nearest(const char *word, const char *const *words) {
    return foci_text_nearest(word, words);
}

void foci_settings_free(foci_settings *settings) {
    for (size_t i = 0; i < settings->input_count; i++)
        free(settings->inputs[i]);
    free(settings->inputs);
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (is_text(row))
            free(*(char **)member(settings, row));
    *settings = (foci_settings){0};
}
