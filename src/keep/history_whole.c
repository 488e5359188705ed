/* Whether an entry of a history is whole. */
#include <math.h>
#include <string.h>

#include "keep/history_entries.h"

static const foci_cell *cell_of(const foci_table *table, size_t row, const char *column) {
    return &table->cells[row * table->column_count + (size_t)foci_table_column(table, column)];
}

/* At least the stops that were used, of an entry that does not tell its rows. */
static bool has_used_stops(bool *has, foci_database *database, const char *sha256, double used, foci_error *err) {
    foci_table stops = {0};
    double found = 0;
    if (!foci_database_find(&stops, database, &foci_history_tables[FOCI_LAYER_STOPS], "survey", sha256, err))
        return false;
    for (size_t row = 0; row < stops.row_count; row++) {
        const char *text = cell_of(&stops, row, "used")->text;
        found += text && strcmp(text, "yes") == 0;
    }
    *has = found > 0 && !(found < used);
    foci_table_free(&stops);
    return true;
}

static bool has_rows(bool *has, foci_database *database, const foci_table *entry, size_t table,
                     const foci_survey_folder *survey, foci_error *err) {
    const char *sha256 = cell_of(entry, 0, "sha256")->text;
    const double told = cell_of(entry, 0, foci_history_row_counts[table])->number;
    size_t found = 0;
    if (isnan(told) && !survey) {
        *has = true;
        return table != FOCI_LAYER_STOPS ||
               has_used_stops(has, database, sha256, cell_of(entry, 0, "stops")->number, err);
    }
    if (!foci_database_count(&found, database, &foci_history_tables[table], "survey", sha256, err))
        return false;
    if (!isnan(told))
        *has = (double)found == told;
    else if (table == FOCI_LAYER_STOPS)
        *has = found == survey->layers[table].row_count;
    else /* how many zones and digs there are may differ between versions */
        *has = (found > 0) == (survey->layers[table].row_count > 0);
    return true;
}

static bool has_all(bool *whole, foci_database *database, const foci_table *entry, const foci_survey_folder *survey,
                    foci_error *err) {
    const char *field_id = cell_of(entry, 0, "field_id")->text;
    size_t fields = 0;
    if (!foci_database_count(&fields, database, &foci_history_tables[FOCI_LAYER_FIELD], "id", field_id ? field_id : "",
                             err))
        return false;
    *whole = fields == 1;
    for (size_t table = FOCI_LAYER_STOPS; *whole && table <= FOCI_LAYER_DIGS; table++)
        if (!has_rows(whole, database, entry, table, survey, err))
            return false;
    return true;
}

bool foci_history_is_whole(bool *whole, foci_database *database, const char *sha256, const foci_survey_folder *survey,
                           foci_error *err) {
    foci_table entry = {0};
    if (!foci_database_find(&entry, database, &foci_history_tables[FOCI_LAYER_SURVEYS], "sha256", sha256, err))
        return false;
    *whole = entry.row_count == 1;
    bool ok = !*whole || has_all(whole, database, &entry, survey, err);
    foci_table_free(&entry);
    return ok;
}
