/* A survey out of a history. */
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "keep/history_entries.h"
#include "run/steps/recall.h"

/* ---- stops in the order of the survey ---- */

typedef struct {
    double number;
    size_t row;
} row_key;

static int by_number(const void *a, const void *b) {
    const row_key *first = a, *second = b;
    return (first->number > second->number) - (first->number < second->number);
}

/* A server hands out rows in an order of its own. */
static bool sort_rows(foci_table *table, foci_error *err) {
    const size_t rows = table->row_count, columns = table->column_count;
    const size_t number = (size_t)foci_table_column(table, "number");
    row_key *keys = foci_new_array(rows, sizeof *keys, err);
    foci_shape *shapes = foci_new_array(rows, sizeof *shapes, err);
    foci_cell *cells = foci_new_array(rows, columns * sizeof *cells, err);
    bool ok = keys && shapes && cells;
    for (size_t i = 0; ok && i < rows; i++)
        keys[i] = (row_key){table->cells[i * columns + number].number, i};
    if (ok)
        qsort(keys, rows, sizeof *keys, by_number);
    for (size_t i = 0; ok && i < rows; i++) {
        shapes[i] = table->shapes[keys[i].row];
        for (size_t c = 0; c < columns; c++)
            cells[i * columns + c] = table->cells[keys[i].row * columns + c];
    }
    if (ok) {
        free(table->shapes);
        free(table->cells);
        table->shapes = shapes;
        table->cells = cells;
    } else {
        free(shapes);
        free(cells);
    }
    free(keys);
    return ok;
}

/* ---- its rows ---- */

typedef struct {
    foci_table survey, field, stops;
    foci_json *job;
    char *name;
} entry_rows;

static void free_rows(entry_rows *rows) {
    foci_table_free(&rows->survey);
    foci_table_free(&rows->field);
    foci_table_free(&rows->stops);
    foci_json_free(rows->job);
    free(rows->name);
}

static const char *text_in(const foci_table *table, const char *column) {
    const char *text = table->cells[foci_table_column(table, column)].text;
    return text ? text : "";
}

static bool find(foci_table *out, foci_database *database, size_t table, const char *column, const char *text,
                 foci_error *err) {
    return foci_database_find(out, database, &foci_history_tables[table], column, text, err);
}

static bool read_rows(entry_rows *rows, foci_database *database, const char *history, const char *sha256,
                      foci_error *err) {
    if (!find(&rows->survey, database, FOCI_LAYER_SURVEYS, "sha256", sha256, err))
        return false;
    if (rows->survey.row_count != 1)
        return foci_fail(err, FOCI_BAD_INPUT, history, 0,
                         "holds no survey %.12s; the command history lists what it holds", sha256);
    bool whole = false;
    if (!foci_history_is_whole(&whole, database, sha256, NULL, err))
        return false;
    if (!whole)
        return foci_fail(err, FOCI_BAD_INPUT, history, 0, "has lost a part of survey %.12s; record its folder again",
                         sha256);
    if (!find(&rows->field, database, FOCI_LAYER_FIELD, "id", text_in(&rows->survey, "field_id"), err) ||
        !find(&rows->stops, database, FOCI_LAYER_STOPS, "survey", sha256, err))
        return false;
    if (rows->field.row_count != 1 || rows->field.shapes[0].kind != FOCI_SHAPE_AREA || rows->stops.row_count == 0)
        return foci_fail(err, FOCI_BAD_INPUT, history, 0,
                         "has lost the field or the stops of survey %.12s; record its folder again", sha256);
    rows->name = foci_history_entry_name(history, sha256, err);
    return rows->name && sort_rows(&rows->stops, err) &&
           foci_json_parse(&rows->job, text_in(&rows->survey, "job"), rows->name, err);
}

bool foci_recall_entry(foci_survey *out, const char *history, const char *sha256, const char *work_crs,
                       const foci_execution *how, foci_error *err) {
    foci_database *database = NULL;
    entry_rows rows = {0};
    bool ok = foci_database_open(&database, history, foci_history_tables, how, err) &&
              read_rows(&rows, database, history, sha256, err);
    foci_database_close(database);
    if (ok) {
        const foci_kept_survey kept = {.name = rows.name,
                                       .job = rows.job,
                                       .field = text_in(&rows.field, "name"),
                                       .boundary = &rows.field.shapes[0].area,
                                       .stops = &rows.stops};
        ok = foci_recall(out, &kept, work_crs, err);
    }
    free_rows(&rows);
    return ok;
}

bool foci_history_recall(foci_survey *out, const char *history, const char *sha256, const foci_execution *how,
                         foci_error *err) {
    return foci_recall_entry(out, history, sha256, NULL, how, err);
}
