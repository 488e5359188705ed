/* The surveys of a comparison, from their folders or from a history. */
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "keep/history_entries.h"
#include "run/seasons/seasons_work.h"
#include "run/steps/recall.h"

void foci_seasons_work_free(foci_seasons_work *work) {
    for (size_t s = 0; s < FOCI_SEASONS_MOST; s++) {
        foci_survey_free(&work->surveys[s]);
        free(work->names[s]);
        free(work->values[s]);
    }
}

static bool check_count(size_t count, const char *history, foci_error *err) {
    if (count > FOCI_SEASONS_MOST)
        return foci_fail(err, FOCI_BAD_SETTING, history, 0, "%zu surveys are too many; at most %d can be compared%s",
                         count, FOCI_SEASONS_MOST, history ? ": choose some with {only} SEASON" : "");
    if (count >= 2)
        return true;
    return foci_fail(err, history ? FOCI_BAD_INPUT : FOCI_BAD_SETTING, history, 0,
                     history      ? "holds one survey of it, which is nothing to compare; two or more are needed"
                     : count == 1 ? "one survey is nothing to compare; two or more of the same field are needed"
                                  : "no surveys are given; name two or more survey folders of one field, oldest first, "
                                    "or a history with {history} HISTORY {field-name} NAME");
}

/* ---- from folders ---- */

/* The newest first: all work is done in its system. */
static bool read_folders(foci_seasons_work *work, foci_error *err) {
    const foci_settings *settings = work->settings;
    if (settings->survey.field.name || settings->only)
        return foci_fail(err, FOCI_BAD_SETTING, settings->survey.field.name ? "{field-name}" : "{only}", 0,
                         "goes with {history} HISTORY; name the history");
    if (!check_count(settings->input_count, NULL, err))
        return false;
    work->count = settings->input_count;
    const char *work_crs = NULL;
    for (size_t s = work->count; s-- > 0;) {
        work->names[s] = foci_copy_text(settings->inputs[s], err);
        if (!work->names[s] ||
            !foci_recall_folder(&work->surveys[s], work->keys[s], settings->inputs[s], work_crs, err))
            return false;
        work_crs = work->surveys[work->count - 1].work_crs;
    }
    return true;
}

/* ---- from a history ---- */

static bool several_fields(const foci_history_entries *entries, const char *history, foci_error *err) {
    foci_text names = {0};
    const char *last = NULL;
    for (size_t i = 0; i < entries->count && names.length < 300; i++) {
        const char *name = entries->items[i].field;
        if (last && strcmp(name, last) == 0)
            continue;
        last = name;
        if (!foci_text_add(&names, err, "%s'%s'", names.length ? ", " : "", name)) {
            foci_text_free(&names);
            return false;
        }
    }
    foci_fail(err, FOCI_BAD_INPUT, history, 0, "holds several fields: %.300s; choose one with {field-name} NAME",
              names.text);
    foci_text_free(&names);
    return false;
}

static bool choose_all(size_t *chosen, size_t *count, const foci_history_entries *entries, const char *history,
                       foci_error *err) {
    for (size_t i = 1; i < entries->count; i++)
        if (!foci_text_same(entries->items[i].field, entries->items[0].field))
            return several_fields(entries, history, err);
    *count = entries->count;
    if (!check_count(*count, history, err))
        return false;
    for (size_t i = 0; i < *count; i++)
        chosen[i] = i;
    return true;
}

static int by_place(const void *a, const void *b) {
    size_t first = *(const size_t *)a, second = *(const size_t *)b;
    return (first > second) - (first < second);
}

static bool add_named(size_t *chosen, size_t *count, const foci_history_entries *entries, const char *season,
                      const char *history, foci_error *err) {
    size_t entry = 0;
    if (!foci_history_choose(&entry, entries, season, history, err))
        return false;
    for (size_t i = 0; i < *count; i++)
        if (chosen[i] == entry)
            return foci_fail(err, FOCI_BAD_SETTING, "{only}", 0, "'%.100s' is named twice", season);
    if (*count == FOCI_SEASONS_MOST)
        return check_count(*count + 1, history, err);
    chosen[(*count)++] = entry;
    return true;
}

/* In the history's order, which is that of the dates. `settings->only` has one season a line. */
static bool choose_named(size_t *chosen, size_t *count, const foci_history_entries *entries,
                         const foci_settings *settings, foci_error *err) {
    for (const char *rest = settings->only; *rest;) {
        size_t length = strcspn(rest, "\n");
        char *season = foci_format_text(err, "%.*s", (int)length, rest);
        bool ok = season && add_named(chosen, count, entries, season, settings->history, err);
        free(season);
        if (!ok)
            return false;
        rest += length + (rest[length] != '\0');
    }
    if (*count == 1)
        return foci_fail(err, FOCI_BAD_SETTING, "{only}", 0,
                         "one season is nothing to compare; give it twice or more, or leave it out for all");
    qsort(chosen, *count, sizeof *chosen, by_place);
    return true;
}

static bool read_entries(foci_seasons_work *work, const foci_history_entries *entries, foci_error *err) {
    const foci_settings *settings = work->settings;
    size_t chosen[FOCI_SEASONS_MOST] = {0}, count = 0;
    if (!(settings->only ? choose_named(chosen, &count, entries, settings, err)
                         : choose_all(chosen, &count, entries, settings->history, err)))
        return false;
    work->count = count;
    const char *work_crs = NULL;
    for (size_t s = count; s-- > 0;) {
        const char *sha256 = entries->items[chosen[s]].sha256;
        work->names[s] = foci_history_entry_name(settings->history, sha256, err);
        if (!work->names[s] ||
            !foci_recall_entry(&work->surveys[s], settings->history, sha256, work_crs, work->how, err))
            return false;
        memcpy(work->keys[s], sha256, sizeof work->keys[s]);
        work_crs = work->surveys[count - 1].work_crs;
    }
    return true;
}

bool foci_seasons_work_read(foci_seasons_work *work, foci_error *err) {
    const foci_settings *settings = work->settings;
    foci_history_entries entries = {0};
    if (!settings->history)
        return read_folders(work, err);
    if (settings->input_count)
        return foci_fail(err, FOCI_BAD_SETTING, settings->inputs[0], 0,
                         "cannot stand beside {history}; choose seasons of the history with {only} SEASON");
    if (!foci_history_list(&entries, settings->history, settings->survey.field.name, work->how, err))
        return false;
    bool ok = read_entries(work, &entries, err);
    foci_history_entries_free(&entries);
    return ok;
}
