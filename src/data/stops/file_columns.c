#include "data/stops/file_columns.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "data/stops/columns.h"
#include "data/stops/date_column.h"
#include "data/stops/number_column.h"
#include "data/stops/rated_column.h"

static bool number_column(size_t *out, foci_table *table, const char *file, const char *name, bool counts,
                          bool *percent, foci_error *err) {
    return foci_column_find(out, table, file, name, err) &&
           foci_number_column_read(table, file, *out, counts ? FOCI_NUMBERS_COUNT : FOCI_NUMBERS_SCORE, percent, err);
}

bool foci_file_columns_find(foci_file_columns *out, foci_table *table, const char *file,
                            const foci_stops_options *options, double checked, foci_error *err) {
    const long rated = foci_rated_column_find(table, options);
    bool percent = false;
    *out = (foci_file_columns){.value = FOCI_NO_COLUMN,
                               .hits = FOCI_NO_COLUMN,
                               .checked = FOCI_NO_COLUMN,
                               .id = FOCI_NO_COLUMN,
                               .when = FOCI_NO_COLUMN,
                               .rated = FOCI_NO_COLUMN,
                               .rater = FOCI_NO_COLUMN};
    if (rated >= 0)
        out->rated = (size_t)rated;
    if (options->value && !number_column(&out->value, table, file, options->value, false, &out->percent, err))
        return false;
    if (options->hits && !number_column(&out->hits, table, file, options->hits, true, &percent, err))
        return false;
    if (options->hits && isnan(checked) &&
        !number_column(&out->checked, table, file, options->checked, true, &percent, err))
        return false;
    if ((options->id && !foci_column_find(&out->id, table, file, options->id, err)) ||
        (options->rater && !foci_column_find(&out->rater, table, file, options->rater, err)))
        return false;
    return !options->when || (foci_column_find(&out->when, table, file, options->when, err) &&
                              foci_date_column_settle(&out->order, table, file, out->when, options->dates, err));
}

/* "3 of 10" tells both, and the 10 must not differ from what else says how many were looked at. */
static bool take_checked(foci_stop *stop, const foci_cell *row, const foci_file_columns *columns, const char *file,
                         double checked, foci_error *err) {
    char text[32];
    const double of = foci_number_of(&row[columns->hits]);
    stop->checked = checked;
    if (columns->checked != FOCI_NO_COLUMN && columns->checked == columns->hits) {
        stop->checked = of;
        if (isnan(of) && !stop->blank_text[0])
            snprintf(stop->blank_text, sizeof stop->blank_text, "%s",
                     row[columns->hits].text ? row[columns->hits].text : "");
        return true;
    }
    if (columns->checked != FOCI_NO_COLUMN) {
        stop->checked = foci_cell_number(&row[columns->checked], text);
        if (!stop->blank_text[0])
            memcpy(stop->blank_text, text, sizeof text);
    }
    return isnan(of) || of == stop->checked ||
           foci_fail(err, FOCI_BAD_INPUT, file, stop->row,
                     "\"%.40s\" does not say of how many units as {checked} does; correct the row, or name the same "
                     "column with {checked}",
                     row[columns->hits].text);
}

bool foci_file_columns_reading(foci_stop *stop, const foci_cell *row, const foci_file_columns *columns,
                               const char *file, double checked, foci_error *err) {
    stop->hits = stop->checked = stop->value = NAN;
    if (columns->hits == FOCI_NO_COLUMN && columns->value == FOCI_NO_COLUMN)
        return true;
    if (columns->hits == FOCI_NO_COLUMN) {
        stop->value = foci_cell_number(&row[columns->value], stop->blank_text);
        return true;
    }
    stop->hits = foci_cell_number(&row[columns->hits], stop->blank_text);
    if (!take_checked(stop, row, columns, file, checked, err))
        return false;
    bool usable = isfinite(stop->hits) && isfinite(stop->checked) && stop->checked > 0;
    stop->value = usable ? 100 * stop->hits / stop->checked : NAN;
    return true;
}
