/* The surveys of a comparison, from their folders or from a history. */
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/memory.h"
#include "base/text.h"
#include "fieldfoci/history.h"
#include "run/recall.h"
#include "run/seasons_work.h"

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
                         count, FOCI_SEASONS_MOST,
                         history ? ": name them by the letters in brackets that the command history prints" : "");
    if (count >= 2)
        return true;
    return foci_fail(err, FOCI_BAD_SETTING, history, 0,
                     count == 1 ? "one survey is nothing to compare; two or more of the same field are needed"
                                : "no surveys are given; name two or more survey folders of one field, oldest first, "
                                  "or a history with --history HISTORY --field-name NAME");
}

/* ---- from folders ---- */

/* The newest first: all work is done in its system. */
static bool read_folders(foci_seasons_work *work, foci_error *err) {
    const foci_settings *settings = work->settings;
    if (settings->field_name)
        return foci_fail(err, FOCI_BAD_SETTING, "--field-name", 0, "goes with --history HISTORY; name the history");
    if (!check_count(settings->input_count, NULL, err))
        return false;
    work->count = settings->input_count;
    const char *work_crs = NULL;
    for (size_t s = work->count; s-- > 0;) {
        work->names[s] = foci_copy_text(settings->inputs[s], err);
        if (!work->names[s] ||
            !foci_recall_folder(&work->surveys[s], work->keys[s], settings->inputs[s], work_crs, err))
            return false;
        work_crs = work->surveys[work->count - 1].round.work_crs;
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
    foci_fail(err, FOCI_BAD_SETTING, history, 0, "holds several fields: %.300s; choose one with --field-name NAME",
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

/* The one entry whose sha256 begins so. */
static bool find_entry(size_t *out, const foci_history_entries *entries, const char *begin, const char *history,
                       foci_error *err) {
    size_t found = 0, length = strlen(begin);
    for (size_t i = 0; i < entries->count; i++)
        if (strncasecmp(entries->items[i].sha256, begin, length) == 0) {
            *out = i;
            found++;
        }
    return found == 1 ||
           foci_fail(err, FOCI_BAD_INPUT, history, 0,
                     "holds %s that begins with '%.64s'; the letters in brackets that the command history "
                     "prints name a survey",
                     found ? "more than one survey" : "no survey", begin);
}

static int by_place(const void *a, const void *b) {
    size_t first = *(const size_t *)a, second = *(const size_t *)b;
    return (first > second) - (first < second);
}

/* In the history's order, which is that of the dates. */
static bool choose_named(size_t *chosen, size_t *count, const foci_history_entries *entries,
                         const foci_settings *settings, foci_error *err) {
    *count = settings->input_count;
    if (!check_count(*count, settings->history, err))
        return false;
    for (size_t i = 0; i < *count; i++)
        if (!find_entry(&chosen[i], entries, settings->inputs[i], settings->history, err))
            return false;
    qsort(chosen, *count, sizeof *chosen, by_place);
    return true;
}

static bool read_entries(foci_seasons_work *work, const foci_history_entries *entries, foci_error *err) {
    const foci_settings *settings = work->settings;
    size_t chosen[FOCI_SEASONS_MOST] = {0}, count = 0;
    if (!(settings->input_count ? choose_named(chosen, &count, entries, settings, err)
                                : choose_all(chosen, &count, entries, settings->history, err)))
        return false;
    work->count = count;
    const char *work_crs = NULL;
    for (size_t s = count; s-- > 0;) {
        const char *sha256 = entries->items[chosen[s]].sha256;
        work->names[s] = foci_format_text(err, "%s [%.12s]", settings->history, sha256);
        if (!work->names[s] || !foci_recall_entry(&work->surveys[s], settings->history, sha256, work_crs, err))
            return false;
        memcpy(work->keys[s], sha256, sizeof work->keys[s]);
        work_crs = work->surveys[count - 1].round.work_crs;
    }
    return true;
}

bool foci_seasons_work_read(foci_seasons_work *work, foci_error *err) {
    const foci_settings *settings = work->settings;
    foci_history_entries entries = {0};
    if (!settings->history)
        return read_folders(work, err);
    if (!foci_history_list(&entries, settings->history, settings->field_name, err))
        return false;
    bool ok = read_entries(work, &entries, err);
    foci_history_entries_free(&entries);
    return ok;
}
