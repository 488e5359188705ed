#include "data/stops/number_column.h"

#include <math.h>
#include <string.h>

#include "base/loose_number.h"
#include "base/text.h"
#include "data/stops/columns.h"

#define NO_ROW ((size_t)-1)

/* What the cells of a column have to say together; each row is the first one of its kind. */
typedef struct {
    size_t points, commas; /* rows that leave no choice: decimal point, decimal comma */
    size_t open;           /* a comma and three digits behind: either */
    size_t grouped;        /* a point and three digits behind: plain writing, but not under decimal commas */
    size_t with_unit, other_unit, without_unit, of;
    char unit[16];
} column_signs;

static foci_cell *cell_at(const foci_table *table, size_t row, size_t column) {
    return &table->cells[row * table->column_count + column];
}

static void keep_first(size_t *row, size_t now) {
    if (*row == NO_ROW)
        *row = now;
}

static void see_marks(column_signs *signs, const foci_loose_number *number, bool plain, size_t row) {
    const bool by_point = !isnan(number->by_point), by_comma = !isnan(number->by_comma);
    if (by_point && by_comma && number->by_point != number->by_comma)
        keep_first(plain ? &signs->grouped : &signs->open, row);
    else if (by_point != by_comma)
        keep_first(by_point ? &signs->points : &signs->commas, row);
}

static void see_unit(column_signs *signs, const foci_loose_number *number, size_t row) {
    if (!isnan(number->of)) {
        keep_first(&signs->of, row);
    } else if (*number->unit && !*signs->unit) {
        memcpy(signs->unit, number->unit, sizeof signs->unit);
        signs->with_unit = row;
    } else if (*number->unit) {
        if (!foci_text_same(number->unit, signs->unit))
            keep_first(&signs->other_unit, row);
    } else if (number->by_point != 0 && number->by_comma != 0) {
        keep_first(&signs->without_unit, row);
    }
}

static column_signs look_over(const foci_table *table, size_t column, foci_numbers_kind kind) {
    column_signs signs = {NO_ROW, NO_ROW, NO_ROW, NO_ROW, NO_ROW, NO_ROW, NO_ROW, NO_ROW, ""};
    for (size_t i = 0; i < table->row_count; i++) {
        const foci_cell *cell = cell_at(table, i, column);
        foci_loose_number number;
        if (!cell->text || !foci_loose_number_parse(&number, cell->text) ||
            (!isnan(number.of) && kind != FOCI_NUMBERS_COUNT))
            continue;
        see_marks(&signs, &number, cell->is_number, i);
        see_unit(&signs, &number, i);
    }
    return signs;
}

/* ---- what cannot be told ---- */

static bool fail_cell(const foci_table *table, const char *file, size_t row, size_t column, const char *what,
                      foci_error *err) {
    return foci_fail(err, FOCI_BAD_INPUT, file, foci_table_row(table, row), "\"%.40s\" in column \"%.60s\" %s",
                     cell_at(table, row, column)->text, table->columns[column], what);
}

static bool judge(const column_signs *signs, const foci_table *table, const char *file, size_t column,
                  foci_numbers_kind kind, foci_error *err) {
    if (signs->open != NO_ROW && signs->points == NO_ROW && signs->commas == NO_ROW)
        return fail_cell(table, file, signs->open, column,
                         "has a comma that can be a decimal mark or group thousands; write 1234 or 1.2340", err);
    if (table->decimal_commas && signs->grouped != NO_ROW && signs->points == NO_ROW && signs->commas == NO_ROW)
        return fail_cell(table, file, signs->grouped, column,
                         "has a point that can be a decimal mark or, since other columns have decimal commas, group "
                         "thousands; write 1234 or 1,2340",
                         err);
    if (kind == FOCI_NUMBERS_COUNT && signs->with_unit != NO_ROW && strcmp(signs->unit, "%") == 0)
        return fail_cell(table, file, signs->with_unit, column,
                         "is a percentage, no number of units; give {value} for percentages, or write how many", err);
    if (signs->other_unit != NO_ROW && signs->without_unit == NO_ROW)
        return fail_cell(table, file, signs->other_unit, column,
                         "has another unit than the cells above; bring all to one unit", err);
    return true;
}

/* ---- giving the cells their numbers ---- */

static bool note_comma(const column_signs *signs, foci_table *table, size_t column, foci_error *err) {
    if (signs->commas == NO_ROW || signs->points != NO_ROW)
        return true;
    table->decimal_commas = true;
    return foci_notes_add(&table->notes, err, "commas in column \"%.60s\" are decimal marks (row %ld: \"%.30s\")",
                          table->columns[column], foci_table_row(table, signs->commas),
                          cell_at(table, signs->commas, column)->text);
}

/* 1,234 among decimal points, or 1.234 among decimal commas. */
static bool note_groups(const column_signs *signs, foci_table *table, size_t column, double value, size_t row,
                        foci_error *err) {
    const bool by_comma = signs->commas != NO_ROW;
    return foci_notes_add(&table->notes, err,
                          "\"%.30s\" in column \"%.60s\" (row %ld) was read as %.10g, since row %ld "
                          "has \"%.30s\"",
                          cell_at(table, row, column)->text, table->columns[column], foci_table_row(table, row), value,
                          foci_table_row(table, by_comma ? signs->commas : signs->points),
                          cell_at(table, by_comma ? signs->commas : signs->points, column)->text);
}

static bool note_rest(const column_signs *signs, foci_table *table, size_t column, bool units, foci_error *err) {
    if (units && !foci_notes_add(&table->notes, err, "\"%s\" in column \"%.60s\" is the unit of its numbers",
                                 signs->unit, table->columns[column]))
        return false;
    return signs->of == NO_ROW ||
           foci_notes_add(&table->notes, err, "\"%.30s\" in column \"%.60s\" (row %ld) is so many found of so many",
                          cell_at(table, signs->of, column)->text, table->columns[column],
                          foci_table_row(table, signs->of));
}

static bool convert(foci_table *table, const column_signs *signs, size_t column, bool units, foci_numbers_kind kind,
                    foci_error *err) {
    const bool by_comma = signs->commas != NO_ROW && signs->points == NO_ROW;
    const bool mixed = signs->commas != NO_ROW && signs->points != NO_ROW;
    for (size_t i = 0; i < table->row_count; i++) {
        foci_cell *cell = cell_at(table, i, column);
        foci_loose_number number;
        if (!cell->text || (cell->is_number && !by_comma) || !foci_loose_number_parse(&number, cell->text) ||
            (*number.unit && !units) || (!isnan(number.of) && kind != FOCI_NUMBERS_COUNT) ||
            (mixed && strchr(cell->text, ',')))
            continue;
        const double value = by_comma ? number.by_comma : number.by_point;
        const bool group = value != (by_comma ? number.by_point : number.by_comma) && !isnan(number.by_point) &&
                           !isnan(number.by_comma);
        if (group && (i == signs->open || i == signs->grouped) && !note_groups(signs, table, column, value, i, err))
            return false;
        cell->is_number = !isnan(value);
        cell->number = value;
    }
    return true;
}

bool foci_number_column_read(foci_table *table, const char *file, size_t column, foci_numbers_kind kind, bool *percent,
                             foci_error *err) {
    *percent = false;
    if (table->types[column] == FOCI_COLUMN_TEXT) {
        const column_signs signs = look_over(table, column, kind);
        const bool units = *signs.unit && signs.other_unit == NO_ROW && signs.without_unit == NO_ROW;
        *percent = units && strcmp(signs.unit, "%") == 0;
        if (!judge(&signs, table, file, column, kind, err) || !convert(table, &signs, column, units, kind, err) ||
            !note_comma(&signs, table, column, err) || !note_rest(&signs, table, column, units, err))
            return false;
    }
    return foci_column_holds_numbers(table, file, column, err);
}

double foci_number_of(const foci_cell *cell) {
    foci_loose_number number;
    return cell->text && foci_loose_number_parse(&number, cell->text) ? number.of : NAN;
}
