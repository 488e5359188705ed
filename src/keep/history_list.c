#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "keep/history_entries.h"
#include "keep/summary_parts.h"

/* ---- reading ---- */

/* The texts of an entry, by the column they come from. */
static const struct {
    const char *column;
    size_t where;
} entry_texts[] = {
    {"sha256", offsetof(foci_history_entry, sha256)},
    {"field", offsetof(foci_history_entry, field)},
    {"season", offsetof(foci_history_entry, season)},
    {"first_date", offsetof(foci_history_entry, first_date)},
    {"last_date", offsetof(foci_history_entry, last_date)},
    {"disease", offsetof(foci_history_entry, disease)},
    {"kind", offsetof(foci_history_entry, kind)},
    {"unit", offsetof(foci_history_entry, unit)},
    {"rated", offsetof(foci_history_entry, rated)},
    {"crop", offsetof(foci_history_entry, crop)},
    {"laboratory", offsetof(foci_history_entry, laboratory)},
    {"made", offsetof(foci_history_entry, made)},
    {"job", offsetof(foci_history_entry, job)},
};

enum { TEXTS = sizeof entry_texts / sizeof *entry_texts, KEY_LETTERS = 64 };

static char **entry_text(foci_history_entry *entry, size_t index) {
    return (char **)((char *)entry + entry_texts[index].where);
}

static const foci_cell *cell_of(const foci_table *table, size_t row, const char *column) {
    return &table->cells[row * table->column_count + (size_t)foci_table_column(table, column)];
}

static bool read_entry(foci_history_entry *entry, const foci_table *table, size_t row, foci_error *err) {
    for (size_t i = 0; i < TEXTS; i++) {
        const char *text = cell_of(table, row, entry_texts[i].column)->text;
        char **place = entry_text(entry, i);
        *place = foci_copy_text(text ? text : "", err);
        if (!*place)
            return false;
    }
    entry->threshold = cell_of(table, row, "threshold")->number;
    entry->area_ha = cell_of(table, row, "area_ha")->number;
    entry->stops = cell_of(table, row, "stops")->number;
    return true;
}

/* The key is copied, compared and printed as one of this program's; whatever else stands there is not. */
static bool check_key(const foci_table *table, size_t row, const char *history, foci_error *err) {
    const char *key = cell_of(table, row, "sha256")->text, *season = cell_of(table, row, "season")->text;
    if (key && strlen(key) == KEY_LETTERS && strspn(key, "0123456789abcdef") == KEY_LETTERS)
        return true;
    return foci_fail(err, FOCI_BAD_INPUT, history, 0,
                     "its survey of season '%.60s' was not recorded by this program: its sha256 is not 64 digits and "
                     "letters a to f; take that row of table surveys out with a map program",
                     season ? season : "");
}

static int compare_entries(const void *a, const void *b) {
    const foci_history_entry *first = a, *second = b;
    int order = strcmp(first->field, second->field);
    order = order ? order : strcmp(first->first_date, second->first_date);
    order = order ? order : strcmp(first->season, second->season);
    return order ? order : strcmp(first->sha256, second->sha256);
}

static bool no_such_field(const foci_table *table, const char *history, const char *field_name, foci_error *err) {
    foci_text names = {0};
    const char *last = NULL;
    for (size_t row = 0; row < table->row_count && names.length < 300; row++) {
        const char *name = cell_of(table, row, "field")->text;
        if (!name || (last && strcmp(name, last) == 0))
            continue;
        last = name;
        if (!foci_text_add(&names, err, "%s'%s'", names.length ? ", " : "", name)) {
            foci_text_free(&names);
            return false;
        }
    }
    foci_fail(err, FOCI_BAD_INPUT, history, 0, "holds no field named '%s'; it holds %.300s", field_name,
              names.text ? names.text : "none");
    foci_text_free(&names);
    return false;
}

static bool read_entries(foci_history_entries *entries, const foci_table *table, const char *history,
                         const char *field_name, foci_error *err) {
    entries->items = foci_new_array(table->row_count, sizeof *entries->items, err);
    if (!entries->items)
        return false;
    for (size_t row = 0; row < table->row_count; row++) {
        const char *name = cell_of(table, row, "field")->text;
        if (field_name && !foci_text_same(name ? name : "", field_name))
            continue;
        if (!check_key(table, row, history, err) || !read_entry(&entries->items[entries->count++], table, row, err))
            return false;
    }
    if (field_name && entries->count == 0)
        return no_such_field(table, history, field_name, err);
    if (entries->count > 0)
        qsort(entries->items, entries->count, sizeof *entries->items, compare_entries);
    return true;
}

bool foci_history_entries_read(foci_history_entries *out, foci_database *database, const char *history,
                               const char *field_name, foci_error *err) {
    foci_table table = {0};
    foci_history_entries entries = {0};
    bool ok = foci_database_find(&table, database, &foci_history_tables[FOCI_LAYER_SURVEYS], NULL, NULL, err) &&
              read_entries(&entries, &table, history, field_name, err);
    if (ok)
        *out = entries;
    else
        foci_history_entries_free(&entries);
    foci_table_free(&table);
    return ok;
}

char *foci_history_entry_name(const char *history, const char *sha256, foci_error *err) {
    char *shown = foci_copy_masked(history, err);
    char *name = shown ? foci_format_text(err, "%s [%.12s]", shown, sha256) : NULL;
    free(shown);
    return name;
}

bool foci_history_list(foci_history_entries *out, const char *history, const char *field_name,
                       const foci_execution *how, foci_error *err) {
    foci_database *database = NULL;
    bool ok = foci_database_open(&database, history, foci_history_tables, how, err) &&
              foci_history_entries_read(out, database, history, field_name, err);
    foci_database_close(database);
    return ok;
}

void foci_history_entries_free(foci_history_entries *entries) {
    for (size_t i = 0; i < entries->count; i++)
        for (size_t t = 0; t < TEXTS; t++)
            free(*entry_text(&entries->items[i], t));
    free(entries->items);
    *entries = (foci_history_entries){0};
}

/* ---- JSON ---- */

static bool put_entry(foci_json *array, const foci_history_entry *entry, foci_error *err) {
    foci_json *object = foci_summary_next_child(array, err), *job = NULL;
    if (!object)
        return false;
    for (size_t i = 0; i < TEXTS; i++) {
        const char *text = *(char *const *)((const char *)entry + entry_texts[i].where);
        if (entry_texts[i].where != offsetof(foci_history_entry, job) &&
            !foci_json_put_text(object, entry_texts[i].column, *text ? text : NULL, err))
            return false;
    }
    return foci_json_put_number(object, "threshold", entry->threshold, err) &&
           foci_json_put_number(object, "area_ha", entry->area_ha, err) &&
           foci_json_put_number(object, "stops", entry->stops, err) && foci_json_parse(&job, entry->job, "job", err) &&
           foci_json_put(object, "job", job, err);
}

char *foci_history_summary(const foci_history_entries *entries, foci_error *err) {
    char *text = NULL;
    foci_json *root = foci_json_object(err);
    foci_json *array = root ? foci_summary_child_array(root, "surveys", err) : NULL;
    bool ok = array != NULL;
    for (size_t i = 0; ok && i < entries->count; i++)
        ok = put_entry(array, &entries->items[i], err);
    if (ok)
        text = foci_json_print(root, err);
    foci_json_free(root);
    return text;
}
