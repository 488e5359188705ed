/* Changes of a history: one transaction each. */
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <time.h>

#include "base/text.h"
#include "keep/history_entries.h"

enum { TRIES = 8, LETTERS_LEAST = 8 };

/* ---- which survey ---- */

static bool add_entry(foci_text *list, const foci_history_entry *entry, foci_error *err) {
    return foci_text_add(list, err, "%s%s, %s%s%s%s%s [%.12s]", list->length ? "; " : "", entry->field,
                         *entry->season ? entry->season : "no season", *entry->first_date ? ", " : "",
                         entry->first_date, *entry->disease ? ", " : "", entry->disease, entry->sha256);
}

static bool is_meant(const foci_history_entry *entry, const char *word, bool letters) {
    return letters ? strncasecmp(entry->sha256, word, strlen(word)) == 0 : foci_text_same(entry->season, word);
}

static bool not_unique(const foci_history_entries *entries, const char *word, bool letters, const char *history,
                       foci_error *err) {
    foci_text list = {0};
    bool ok = true;
    for (size_t i = 0; ok && i < entries->count && list.length < 300; i++)
        if (is_meant(&entries->items[i], word, letters))
            ok = add_entry(&list, &entries->items[i], err);
    if (ok)
        foci_fail(err, FOCI_BAD_INPUT, history, 0,
                  "'%.40s' names more than one survey: %.340s; say which with {field-name} NAME, or by the letters in "
                  "brackets",
                  word, list.text);
    foci_text_free(&list);
    return false;
}

static bool none_such(const foci_history_entries *entries, const char *word, const char *history, foci_error *err) {
    foci_text list = {0};
    bool ok = true;
    for (size_t i = 0; ok && i < entries->count && list.length < 300; i++)
        ok = add_entry(&list, &entries->items[i], err);
    if (ok)
        foci_fail(err, FOCI_BAD_INPUT, history, 0, "holds no survey of season '%.40s'; it holds %.360s", word,
                  list.text ? list.text : "none");
    foci_text_free(&list);
    return false;
}

bool foci_history_choose(size_t *out, const foci_history_entries *entries, const char *word, const char *history,
                         foci_error *err) {
    for (int letters = 0; letters <= (strlen(word) >= LETTERS_LEAST); letters++) {
        size_t found = 0;
        for (size_t i = 0; i < entries->count; i++)
            if (is_meant(&entries->items[i], word, letters)) {
                *out = i;
                found++;
            }
        if (found == 1)
            return true;
        if (found > 1)
            return not_unique(entries, word, letters, history, err);
    }
    return none_such(entries, word, history, err);
}

/* ---- one transaction ---- */

static bool change_once(const char *history, foci_history_change once, void *context, const foci_execution *how,
                        foci_error *err) {
    foci_database *database = NULL;
    if (!foci_database_change(&database, history, foci_history_tables, how, err))
        return false;
    if (once(database, context, err))
        return foci_database_commit(database, err);
    foci_database_close(database);
    return false;
}

bool foci_history_change_with(const char *history, foci_history_change once, void *context, const foci_execution *how,
                              foci_error *err) {
    const int tries = foci_database_is_connection(history) ? TRIES : 1;
    foci_error last = {0};
    for (int attempt = 0; attempt < tries && (attempt == 0 || last.status == FOCI_NO_FILE); attempt++) {
        /* Collided with another, and whoever comes second finds the other's rows at the next attempt; or not heard of
         * after commit, and the next attempt finds its own. */
        if (attempt > 0)
            nanosleep(&(struct timespec){.tv_nsec = 20000000L * attempt}, NULL);
        last = (foci_error){0};
        if (change_once(history, once, context, how, &last))
            return true;
    }
    return foci_fail_again(err, &last);
}

/* ---- taking out ---- */

static bool remove_rows(foci_database *database, size_t table, const char *column, const char *text, foci_error *err) {
    return foci_database_remove(database, &foci_history_tables[table], column, text, err);
}

static bool remove_lonely_field(foci_database *database, const char *field_id, foci_error *err) {
    foci_table others = {0};
    if (!foci_database_find(&others, database, &foci_history_tables[FOCI_LAYER_SURVEYS], "field_id", field_id, err))
        return false;
    const bool lonely = others.row_count == 0;
    foci_table_free(&others);
    return !lonely || remove_rows(database, FOCI_LAYER_FIELD, "id", field_id, err);
}

bool foci_history_take_out(foci_database *database, const char *sha256, foci_error *err) {
    foci_table survey = {0};
    if (!foci_database_find(&survey, database, &foci_history_tables[FOCI_LAYER_SURVEYS], "sha256", sha256, err))
        return false;
    const long column = foci_table_column(&survey, "field_id");
    const char *field_id = survey.row_count ? survey.cells[column].text : NULL;
    bool ok = true;
    for (size_t table = FOCI_LAYER_STOPS; ok && table <= FOCI_LAYER_DIGS; table++)
        ok = remove_rows(database, table, "survey", sha256, err);
    ok = ok && remove_rows(database, FOCI_LAYER_SURVEYS, "sha256", sha256, err) &&
         (!field_id || remove_lonely_field(database, field_id, err));
    foci_table_free(&survey);
    return ok;
}

typedef struct {
    const char *history, *season, *field_name;
    char *removed, sha256[65];
} removal;

static bool is_listed(const foci_history_entries *entries, const char *sha256) {
    for (size_t i = 0; i < entries->count; i++)
        if (strcmp(entries->items[i].sha256, sha256) == 0)
            return true;
    return false;
}

static bool remove_once(foci_database *database, void *context, foci_error *err) {
    removal *asked = context;
    foci_history_entries entries = {0};
    foci_text label = {0};
    size_t chosen = 0;
    if (!foci_history_entries_read(&entries, database, asked->history, asked->field_name, err))
        return false;
    if (asked->removed && !is_listed(&entries, asked->sha256)) { /* an attempt whose end was not heard did it */
        foci_history_entries_free(&entries);
        return true;
    }
    bool ok = foci_history_choose(&chosen, &entries, asked->season, asked->history, err) &&
              foci_history_take_out(database, entries.items[chosen].sha256, err) &&
              add_entry(&label, &entries.items[chosen], err);
    free(asked->removed); /* of an attempt that failed at its end */
    asked->removed = label.text;
    if (ok)
        memcpy(asked->sha256, entries.items[chosen].sha256, sizeof asked->sha256);
    foci_history_entries_free(&entries);
    return ok;
}

/* Opened for reading first: nothing is made where there is no history to take from. */
static bool is_history(const char *history, const foci_execution *how, foci_error *err) {
    foci_database *database = NULL;
    bool ok = foci_database_open(&database, history, foci_history_tables, how, err);
    foci_database_close(database);
    return ok;
}

bool foci_history_remove(char **removed, const char *history, const char *season, const char *field_name,
                         const foci_execution *how, foci_error *err) {
    removal asked = {.history = history, .season = season, .field_name = field_name};
    bool ok = is_history(history, how, err) && foci_history_change_with(history, remove_once, &asked, how, err);
    if (ok)
        *removed = asked.removed;
    else
        free(asked.removed);
    return ok;
}
