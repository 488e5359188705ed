#include "data/files/text_table.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/dates.h"
#include "base/degrees.h"
#include "base/loose_number.h"
#include "base/memory.h"
#include "base/text.h"
#include "data/files/text_encoding.h"
#include "data/files/vector_guard.h"

/* A header stands among the first rows. */
#define MOST_TITLES 20

/* ---- the header ---- */

/* A number, a date or an angle: what data are made of and names of columns are not. */
static bool is_datum(const char *text) {
    char date[11];
    foci_loose_number number;
    foci_degrees angle;
    foci_late_year parts;
    return foci_loose_number_parse(&number, text) || foci_date_parse(text, date) ||
           foci_late_year_split(&parts, text) || foci_degrees_parse(&angle, text, true) != FOCI_DEGREES_NONE;
}

static void count_kinds(const foci_text_rows *rows, size_t row, size_t *filled, size_t *data) {
    *filled = *data = 0;
    for (size_t c = 0; c < rows->rows[row].cells; c++) {
        const char *text = foci_text_rows_cell(rows, row, c);
        const bool blank = text[strspn(text, " \t\r\n")] == '\0';
        *filled += !blank;
        *data += !blank && is_datum(text);
    }
}

/* Two words or more, no data among them, above a row with data. */
static bool names_data(const foci_text_rows *rows, size_t row, size_t *filled) {
    size_t data = 0, below = row + 1, ignored = 0;
    count_kinds(rows, row, filled, &data);
    if (*filled < 2 || data > 0)
        return false;
    while (below < rows->count && rows->rows[below].filled == 0)
        below++;
    if (below < rows->count)
        count_kinds(rows, below, &ignored, &data);
    return data > 0;
}

/* The first row, unless a later one, wider than all above it, names data where the first does not: then the rows above
 * are titles. `rows->count` where there is none. */
static size_t find_header(const foci_text_rows *rows) {
    size_t first = 0, widest = 0, filled = 0;
    while (first < rows->count && rows->rows[first].filled == 0)
        first++;
    for (size_t i = first; i < rows->count && i < first + MOST_TITLES; i++) {
        if (names_data(rows, i, &filled) && filled > widest)
            return i;
        widest = filled > widest ? filled : widest;
    }
    return first;
}

/* Numbers alone, in two or more cells: the columns have no names. */
static bool is_nameless(const foci_text_rows *rows, size_t header) {
    size_t filled = 0, data = 0;
    count_kinds(rows, header, &filled, &data);
    return filled >= 1 && data == filled && filled == rows->rows[header].cells;
}

/* Data where the names should stand. */
static bool check_names(const foci_text_rows *rows, size_t header, const char *file, foci_error *err) {
    size_t filled = 0, data = 0;
    count_kinds(rows, header, &filled, &data);
    return 2 * data <= filled ||
           foci_fail(err, FOCI_BAD_INPUT, file, 0,
                     "line %ld holds data where the names of the columns should stand; write a line of names above it",
                     rows->rows[header].line);
}

static bool note_header(const foci_text_rows *rows, foci_table *table, size_t header, bool nameless, foci_error *err) {
    size_t titles = 0;
    for (size_t i = 0; i < header; i++)
        titles += rows->rows[i].filled > 0;
    if (nameless)
        return foci_notes_add(&table->notes, err, "its columns have no names and are called field_1, field_2 ...");
    return titles == 0 ||
           foci_notes_add(&table->notes, err,
                          "the names of its columns are in line %ld, and %zu line%s above %s left out",
                          rows->rows[header].line, titles, titles == 1 ? "" : "s", titles == 1 ? "is" : "are");
}

/* Under a sheet's header lie notes to the right of it, too; a line of text has as many cells as its header. */
static size_t width(const foci_text_rows *rows, size_t header) {
    size_t widest = rows->rows[header].cells;
    for (size_t i = header; rows->is_sheet && i < rows->count; i++)
        widest = rows->rows[i].filled > widest ? rows->rows[i].filled : widest;
    return widest;
}

static bool name_columns(foci_table *table, const foci_text_rows *rows, size_t header, bool nameless, foci_error *err) {
    const size_t count = width(rows, header);
    table->columns = foci_new_array(count, sizeof *table->columns, err);
    table->types = foci_new_array(count, sizeof *table->types, err); /* all FOCI_COLUMN_TEXT */
    if (!table->columns || !table->types)
        return false;
    table->column_count = count;
    for (size_t c = 0; c < count; c++) {
        const char *name = nameless ? "" : foci_text_rows_cell(rows, header, c);
        name += strspn(name, " \t\r\n");
        table->columns[c] = *name ? foci_text_encoding_copy(name, err) : foci_format_text(err, "field_%zu", c + 1);
        if (!table->columns[c])
            return false;
    }
    return true;
}

/* ---- rows that are none ---- */

/* "total", "Mean:" and the like as the first words of a row. */
static bool is_total(const foci_text_rows *rows, size_t row) {
    static const char *const words[] = {
        "total", "totals", "grand total", "subtotal", "sum",   "mean",  "average",  "avg",     "averages", "median",
        "std",   "stdev",  "std dev",     "sd",       "min",   "max",   "minimum",  "maximum", "count",    "gesamt",
        "summe", "mittel", "mittelwert",  "moyenne",  "somme", "media", "promedio", "totale",  NULL};
    char first[24];
    const char *text = "";
    for (size_t c = 0; c < rows->rows[row].cells && !*text; c++) {
        text = foci_text_rows_cell(rows, row, c);
        text += strspn(text, " \t\r\n");
    }
    size_t length = strlen(text);
    while (length > 0 && strchr(" .:=", text[length - 1]))
        length--;
    if (length == 0 || length >= sizeof first)
        return false;
    memcpy(first, text, length);
    first[length] = '\0';
    for (const char *const *word = words; *word; word++)
        if (foci_text_same(*word, first))
            return true;
    return false;
}

/* Behind the last row of data: only blanks and totals come after it. Those that could be stops are for
 * check_totals. */
static size_t end_of_data(const foci_text_rows *rows, size_t from) {
    size_t end = rows->count;
    while (end > from && (rows->rows[end - 1].filled == 0 || is_total(rows, end - 1)))
        end--;
    return end;
}

static bool is_full(const foci_text_rows *rows, size_t row, size_t columns) {
    size_t filled = 0, data = 0;
    count_kinds(rows, row, &filled, &data);
    return filled >= columns;
}

/* Where a stop of that name would be lost, or a total could be counted as one, the user decides. */
static bool check_totals(const foci_text_rows *rows, size_t from, size_t end, size_t columns, const char *file,
                         foci_error *err) {
    for (size_t i = from; i < rows->count; i++)
        if (is_total(rows, i) && (i < end || is_full(rows, i, columns)))
            return foci_fail(
                err, FOCI_BAD_INPUT, file, (long)(i - from) + 1,
                "looks like a line of totals, but could be a stop; take it out, or call the stop by another "
                "name");
    return true;
}

static bool note_end(const foci_text_rows *rows, foci_table *table, size_t end, foci_error *err) {
    size_t totals = 0;
    long first = 0;
    for (size_t i = end; i < rows->count; i++)
        if (rows->rows[i].filled > 0) {
            first = first ? first : rows->rows[i].line;
            totals++;
        }
    return totals == 0 || foci_notes_add(&table->notes, err, "%zu line%s of totals (from line %ld on) %s left out",
                                         totals, totals == 1 ? "" : "s", first, totals == 1 ? "is" : "are");
}

/* ---- rows of data ---- */

static bool holds_degrees(const foci_text_rows *rows, size_t row) {
    for (size_t c = 0; c < rows->rows[row].cells; c++) {
        const char *text = foci_text_rows_cell(rows, row, c);
        if (strpbrk(text, "\xB0\xBA\x9A"))
            return true;
    }
    return false;
}

/* `number` 0: the header. */
static bool judge(const foci_text_rows *rows, size_t index, size_t columns, const char *file, long number,
                  foci_error *err) {
    const foci_text_row *row = &rows->rows[index];
    const char *where = number ? "" : "the header ";
    if (row->fault == FOCI_ROW_STRAY_QUOTE && holds_degrees(rows, index))
        return foci_fail(err, FOCI_BAD_INPUT, file, number,
                         "%shas a seconds mark inside a cell in quotes; write it twice there, or take the quotes away",
                         where);
    if (row->fault == FOCI_ROW_STRAY_QUOTE)
        return foci_fail(err, FOCI_BAD_INPUT, file, number,
                         "%shas a quote mark inside a cell; write it twice and put the whole cell in quotes, as in "
                         "\"12\"\" deep\", or take it out",
                         where);
    if (row->fault == FOCI_ROW_OPEN_QUOTE)
        return foci_fail(err, FOCI_BAD_INPUT, file, number,
                         "%sbegins a cell in quotes that does not end; close the quotes, or take the mark out", where);
    if (columns > 2 && row->inner == columns)
        return foci_fail(err, FOCI_BAD_INPUT, file, number,
                         "%shas a cell in quotes that holds a whole row of %zu cells; take out the quote mark that "
                         "begins it, or write the cell on one line",
                         where, columns);
    if (columns > 1 && number && row->filled > columns)
        return foci_fail(err, FOCI_BAD_INPUT, file, number,
                         "%zu cells under %zu columns; write numbers with a decimal point, or put quotes around text",
                         row->filled, columns);
    return true;
}

static bool take_cell(foci_cell *cell, const char *text, const char *column, foci_error *err) {
    *cell = (foci_cell){.number = NAN};
    if (!*text)
        return true;
    cell->text = foci_text_encoding_copy(text, err);
    if (!cell->text)
        return false;
    cell->is_number = foci_number_parse(cell->text, &cell->number);
    if (!cell->is_number)
        cell->number = NAN;
    return foci_table_check_letters(cell->text, column, err);
}

/* The caller knows that the row holds something and adds file and row to what is wrong. */
static bool take_row(foci_table *table, const foci_text_rows *rows, size_t index, long number, foci_error *err) {
    const size_t row = table->row_count, columns = table->column_count;
    table->row_numbers[row] = number;
    table->row_count++;
    for (size_t c = 0; c < columns; c++)
        if (!take_cell(&table->cells[row * columns + c], foci_text_rows_cell(rows, index, c), table->columns[c], err))
            return false;
    return true;
}

static bool make_room(foci_table *table, const foci_text_rows *rows, size_t first, size_t end, size_t head,
                      const char *file, foci_error *err) {
    size_t count = 0;
    for (size_t i = first; i < end; i++)
        count += rows->rows[i].filled > 0;
    table->rows_there = count;
    if (count > FOCI_MOST_ROWS && head == SIZE_MAX)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, "has more than %d rows; save one round of one field",
                         FOCI_MOST_ROWS);
    count = count < head ? count : head;
    table->row_numbers = foci_new_array(count, sizeof *table->row_numbers, err);
    if (!table->row_numbers)
        return false;
    table->shapes = foci_new_array(count, sizeof *table->shapes, err);
    if (!table->shapes)
        return false;
    table->cells = foci_new_array(count * table->column_count, sizeof *table->cells, err);
    return table->cells != NULL;
}

static bool take_rows(foci_table *table, const foci_text_rows *rows, size_t first, size_t end, size_t most_cells,
                      const char *file, foci_error *err) {
    const size_t head = foci_table_head(table->column_count, most_cells);
    if (!make_room(table, rows, first, end, head, file, err))
        return false;
    for (size_t i = first; i < end; i++) {
        foci_error inner = {0};
        const long number = (long)(i - first) + 1;
        if (!judge(rows, i, table->column_count, file, number, err))
            return false;
        if (rows->rows[i].filled > 0 && table->row_count < head && !take_row(table, rows, i, number, &inner))
            return foci_fail(err, inner.status, inner.status == FOCI_NO_MEMORY ? NULL : file, number, "%s", inner.text);
    }
    return table->row_count > 0 || foci_fail(err, FOCI_BAD_INPUT, file, 0, "holds no features");
}

bool foci_text_table_make(foci_table *table, foci_text_rows *rows, size_t most_cells, const char *file,
                          foci_error *err) {
    if (!foci_notes_move(&table->notes, &rows->notes, err))
        return false;
    const size_t header = find_header(rows);
    if (header >= rows->count)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, "holds no features");
    const bool nameless = is_nameless(rows, header);
    const size_t first = nameless ? header : header + 1, end = end_of_data(rows, first);
    return (nameless ||
            (judge(rows, header, rows->rows[header].cells, file, 0, err) && check_names(rows, header, file, err))) &&
           name_columns(table, rows, header, nameless, err) && note_header(rows, table, header, nameless, err) &&
           check_totals(rows, first, end, table->column_count, file, err) &&
           take_rows(table, rows, first, end, most_cells, file, err) && note_end(rows, table, end, err);
}
