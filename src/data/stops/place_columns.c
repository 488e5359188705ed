#include "data/stops/place_columns.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/degrees.h"
#include "base/loose_number.h"
#include "base/memory.h"
#include "base/text.h"
#include "data/stops/columns.h"
#include "data/stops/number_column.h"

typedef struct {
    const char *x, *y;
    bool degrees;
} column_pair;

static const column_pair known_pairs[] = {
    {"lon", "lat", true}, {"longitude", "latitude", true}, {"x", "y", false}, {"easting", "northing", false}, {0},
};

typedef struct {
    size_t x, y;
    bool degrees; /* the names say longitude and latitude */
} place_columns;

static bool names_degrees(const char *name) {
    for (const column_pair *pair = known_pairs; pair->x; pair++)
        if (pair->degrees && (foci_text_same(name, pair->x) || foci_text_same(name, pair->y)))
            return true;
    return false;
}

static bool named_columns(place_columns *out, foci_table *table, const char *file, const char *xy, foci_error *err) {
    const char *comma = strchr(xy, ',');
    if (!comma || comma == xy || !comma[1] || strchr(comma + 1, ','))
        return foci_fail(err, FOCI_BAD_SETTING, "{xy}", 0,
                         "'%s' is not a pair of columns; write XCOLUMN,YCOLUMN, as in lon,lat", xy);
    char *x = foci_copy_text(xy, err);
    if (!x)
        return false;
    x[comma - xy] = '\0';
    const char *y = x + (comma - xy) + 1;
    bool ok = foci_column_find(&out->x, table, file, x, err) && foci_column_find(&out->y, table, file, y, err);
    if (ok)
        out->degrees = names_degrees(x) && names_degrees(y);
    free(x);
    return ok;
}

/* The first pair from `pair` on that the table has; the last row of zeros where it has none. */
static const column_pair *find_pair(const column_pair *pair, const foci_table *table) {
    while (pair->x && (foci_column_named(table, pair->x) < 0 || foci_column_named(table, pair->y) < 0))
        pair++;
    return pair;
}

size_t foci_place_columns_known(size_t *x, size_t *y, const foci_table *table) {
    size_t count = 0;
    for (const column_pair *pair = find_pair(known_pairs, table); pair->x; pair = find_pair(pair + 1, table))
        if (count++ == 0) {
            *x = (size_t)foci_column_named(table, pair->x);
            *y = (size_t)foci_column_named(table, pair->y);
        }
    return count;
}

static bool known_columns(place_columns *out, foci_table *table, const char *file, foci_error *err) {
    char list[300] = "";
    const column_pair *found = find_pair(known_pairs, table);
    const column_pair *other = found->x ? find_pair(found + 1, table) : found;
    if (other->x)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "has coordinate columns %s,%s and %s,%s; name the pair to use with {xy} XCOLUMN,YCOLUMN",
                         found->x, found->y, other->x, other->y);
    if (found->x) {
        out->degrees = found->degrees;
        return foci_column_find(&out->x, table, file, found->x, err) &&
               foci_column_find(&out->y, table, file, found->y, err);
    }
    foci_table_list_columns(table, list, sizeof list);
    return foci_fail(
        err, FOCI_BAD_INPUT, file, 0,
        "holds no points and no coordinate columns (lon,lat, x,y ...); name them with {xy} XCOLUMN,YCOLUMN; "
        "the columns are: %s",
        *list ? list : "none");
}

/* ---- degrees ---- */

static foci_cell *cell_at(const foci_table *table, size_t row, size_t column) {
    return &table->cells[row * table->column_count + column];
}

/* Whether the column has an angle that is marked as one, and nothing that is a plain number. */
static bool is_marked(const foci_table *table, size_t column, bool east) {
    bool any = false;
    for (size_t i = 0; i < table->row_count; i++) {
        const foci_cell *cell = cell_at(table, i, column);
        foci_degrees angle;
        const foci_degrees_kind kind = foci_degrees_parse(&angle, cell->text, east);
        if (cell->is_number || (kind != FOCI_DEGREES_NONE && !angle.marked))
            return false;
        any = any || kind != FOCI_DEGREES_NONE;
    }
    return any;
}

static bool note_angle(foci_table *table, size_t row, size_t column, foci_error *err) {
    const foci_cell *cell = cell_at(table, row, column);
    return foci_notes_add(&table->notes, err, "column \"%.60s\" is in degrees and minutes (row %ld: \"%.40s\" is %.7f)",
                          table->columns[column], foci_table_row(table, row), cell->text, cell->number);
}

static bool note_comma(foci_table *table, size_t row, size_t column, foci_error *err) {
    return foci_notes_add(&table->notes, err, "commas in column \"%.60s\" are decimal marks (row %ld: \"%.30s\")",
                          table->columns[column], foci_table_row(table, row), cell_at(table, row, column)->text);
}

/* Nobody groups thousands of degrees: each cell of a column can be told alone. */
static bool read_degrees(foci_table *table, const char *file, size_t column, bool east, foci_error *err) {
    bool angles = false, commas = false, ok = true;
    for (size_t i = 0; ok && i < table->row_count; i++) {
        foci_cell *cell = cell_at(table, i, column);
        foci_degrees angle;
        foci_loose_number number;
        if (cell->is_number || !cell->text)
            continue;
        const foci_degrees_kind kind = foci_degrees_parse(&angle, cell->text, east);
        if (kind == FOCI_DEGREES_WRONG)
            return foci_fail(err, FOCI_BAD_INPUT, file, foci_table_row(table, i), "\"%.40s\" in column \"%.60s\" %s",
                             cell->text, table->columns[column], angle.wrong);
        if (kind == FOCI_DEGREES_READ) {
            *cell = (foci_cell){.text = cell->text, .number = angle.degrees, .is_number = true};
            ok = angles || note_angle(table, i, column, err);
            angles = true;
        } else if (foci_loose_number_parse(&number, cell->text) && !*number.unit && isnan(number.of) &&
                   !isnan(number.by_comma) && strchr(cell->text, ',')) {
            *cell = (foci_cell){.text = cell->text, .number = number.by_comma, .is_number = true};
            ok = commas || note_comma(table, i, column, err);
            commas = table->decimal_commas = true;
        }
    }
    return ok && foci_column_holds_numbers(table, file, column, err);
}

static bool read_column(foci_table *table, const char *file, size_t column, bool east, bool degrees, foci_error *err) {
    bool percent = false;
    if (degrees && table->types[column] == FOCI_COLUMN_TEXT)
        return read_degrees(table, file, column, east, err);
    return foci_number_column_read(table, file, column, FOCI_NUMBERS_PLACE, &percent, err);
}

bool foci_place_columns_read(foci_point *places, bool *degrees, foci_table *table, const char *file, const char *xy,
                             foci_error *err) {
    place_columns columns = {0};
    char ignored[32];
    if (!(xy ? named_columns(&columns, table, file, xy, err) : known_columns(&columns, table, file, err)))
        return false;
    if (!columns.degrees)
        columns.degrees = is_marked(table, columns.x, true) && is_marked(table, columns.y, false);
    if (!read_column(table, file, columns.x, true, columns.degrees, err) ||
        !read_column(table, file, columns.y, false, columns.degrees, err))
        return false;
    for (size_t i = 0; i < table->row_count; i++) {
        foci_point place = {foci_cell_number(cell_at(table, i, columns.x), ignored),
                            foci_cell_number(cell_at(table, i, columns.y), ignored)};
        bool usable = isfinite(place.x) && isfinite(place.y);
        places[i] = usable ? place : (foci_point){NAN, NAN};
    }
    *degrees = columns.degrees;
    return true;
}
