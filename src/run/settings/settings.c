#include "run/settings/kinds.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"

static void *member(foci_settings *settings, const foci_setting *row) {
    return (char *)settings + row->where;
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
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "no such option here; did you mean {%s}?", nearest);
    return foci_fail(err, FOCI_BAD_SETTING, option, 0, "no such option here; --help lists what there is");
}

bool foci_settings_set(foci_settings *settings, const char *name, const char *text, unsigned command, foci_error *err) {
    const foci_setting *row = foci_setting_find(name, command);
    if (!row)
        return unknown(name, command, err);
    if (!row->kind->is_flag && !text)
        return foci_setting_refuse(row, err, "needs a value: {%s} %s", row->name, row->metavar);
    if (!row->kind->parse(member(settings, row), row, text, err))
        return false;
    settings->given[row - foci_setting_table] = true;
    return true;
}

foci_settings foci_settings_make(void) {
    return (foci_settings){.survey = foci_survey_options_make(),
                           .task = foci_task_options_make(),
                           .record = foci_history_options_make(),
                           .plan = foci_plan_options_make(),
                           .port = FOCI_OPEN,
                           .threads = FOCI_OPEN};
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
        if (strcmp(row->name, name) == 0 && settings->given[row - foci_setting_table])
            return true;
    return false;
}

const char *foci_settings_nearest(const char *word, const char *const *words) {
    return foci_text_nearest(word, words);
}

void foci_settings_free(foci_settings *settings) {
    for (size_t i = 0; i < settings->input_count; i++)
        free(settings->inputs[i]);
    free(settings->inputs);
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (row->kind->free)
            row->kind->free(member(settings, row));
    *settings = (foci_settings){0};
}
