#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/stops/columns.h"
#include "data/stops/date_column.h"
#include "data/stops/number_column.h"
#include "decide/words/look_sentences.h"
#include "run/look/look_parts.h"
#include "run/look/look_words.h"

/* Columns with such cells that are told of. */
enum { MOST_ODD = 10 };

/* A text of at most FOCI_LOOK_LETTERS bytes, cut between two characters. */
static char *clip(const char *text, foci_error *err) {
    size_t length = 0, size = 1;
    uint32_t code = 0;
    while (text[length]) {
        const size_t taken = foci_text_character(&code, text + length);
        size = taken ? taken : 1;
        if (length + size > FOCI_LOOK_LETTERS)
            return foci_format_text(err, "%.*s...", (int)length, text);
        length += size;
    }
    return foci_copy_text(text, err);
}

static bool is_blank(const foci_cell *cell) {
    return !cell->text || cell->text[strspn(cell->text, " \t\r\n")] == '\0';
}

static const foci_cell *cell_at(const foci_table *table, size_t row, size_t column) {
    return &table->cells[row * table->column_count + column];
}

/* ---- one column ---- */

typedef struct {
    size_t numbers, dates;
    double least, most;
    bool whole;
    char first[11], last[11];
    const foci_date_order *order;
    bool settled; /* how its dates are read */
} column_facts;

static void take_number(column_facts *facts, double number) {
    facts->numbers++;
    facts->least = fmin(facts->least, number);
    facts->most = fmax(facts->most, number);
    facts->whole = facts->whole && number == floor(number);
}

/* Dates of which nobody can tell whether the day or the month comes first are dates all the same. */
static void take_date(column_facts *facts, const char *text) {
    char date[11];
    foci_late_year parts;
    const bool read = facts->settled && foci_date_column_read(text, facts->order, date);
    facts->dates += read || (!facts->settled && (foci_late_year_split(&parts, text) || foci_date_parse(text, date)));
    if (!read)
        return;
    if (!facts->first[0] || strcmp(date, facts->first) < 0)
        memcpy(facts->first, date, sizeof date);
    if (strcmp(date, facts->last) > 0)
        memcpy(facts->last, date, sizeof date);
}

/* The first cell that is text, as it was read; NULL where there is none. */
static const foci_cell *first_text(const foci_table *table, size_t index) {
    for (size_t row = 0; row < table->row_count; row++) {
        const foci_cell *cell = cell_at(table, row, index);
        if (!is_blank(cell) && !cell->is_number)
            return cell;
    }
    return NULL;
}

/* Numbers and dates as people write them, where the column is one of these: how it was read becomes a note. What cannot
 * be told of numbers leaves them text; of dates it is told. */
static bool settle(foci_look *look, column_facts *facts, foci_table *table, size_t index, foci_error *err) {
    foci_error numbers = {0}, dates = {0};
    foci_late_year parts;
    const foci_cell *text = first_text(table, index);
    const bool counts = foci_role_fit(FOCI_ROLE_HITS, table->columns[index]) > 0;
    bool percent = false;
    *facts = (column_facts){.least = INFINITY, .most = -INFINITY, .whole = true, .settled = true};
    if (!text || table->types[index] != FOCI_COLUMN_TEXT)
        return true;
    if (!foci_late_year_split(&parts, text->text))
        return foci_number_column_read(table, look->file, index, counts ? FOCI_NUMBERS_COUNT : FOCI_NUMBERS_SCORE,
                                       &percent, &numbers) ||
               numbers.status != FOCI_NO_MEMORY || foci_fail_again(err, &numbers);
    facts->settled = foci_date_column_settle(&facts->order, table, look->file, index, NULL, &dates);
    if (facts->settled)
        return true;
    return dates.status == FOCI_BAD_INPUT ? foci_sentences_add(&look->notes, err, "\"%.60s\", row %ld: %s",
                                                               table->columns[index], dates.row, dates.text)
                                          : foci_fail_again(err, &dates);
}

static void gather(foci_look_column *column, column_facts *facts, const foci_table *table, size_t index) {
    char text[32];
    for (size_t row = 0; row < table->row_count; row++) {
        const foci_cell *cell = cell_at(table, row, index);
        if (is_blank(cell))
            continue;
        column->filled++;
        const double number = foci_cell_number(cell, text);
        if (isfinite(number))
            take_number(facts, number);
        else
            take_date(facts, cell->text);
    }
}

static bool is_most_of(size_t part, size_t filled) {
    return filled > 0 && part >= filled - filled / 10;
}

static void judge(foci_look_column *column, const column_facts *facts) {
    column->least = column->most = NAN;
    if (is_most_of(facts->numbers, column->filled)) {
        column->kind = "number";
        column->odd = column->filled - facts->numbers;
        column->whole = facts->whole;
        column->least = facts->least;
        column->most = facts->most;
    } else if (is_most_of(facts->dates, column->filled)) {
        column->kind = "date";
        column->odd = column->filled - facts->dates;
        memcpy(column->first, facts->first, sizeof column->first);
        memcpy(column->last, facts->last, sizeof column->last);
    } else {
        column->kind = column->filled ? "text" : "empty";
    }
}

static bool is_told(const foci_look_column *column, const char *sample) {
    for (size_t i = 0; i < column->sample_count; i++)
        if (strcmp(column->samples[i], sample) == 0)
            return true;
    return false;
}

static bool take_samples(foci_look_column *column, const foci_table *table, size_t index, foci_error *err) {
    const char *before = NULL;
    for (size_t row = 0; row < table->row_count && column->sample_count < FOCI_LOOK_SAMPLES; row++) {
        const foci_cell *cell = cell_at(table, row, index);
        if (is_blank(cell) || (before && strcmp(before, cell->text) == 0))
            continue;
        before = cell->text;
        char *sample = clip(cell->text, err);
        if (!sample)
            return false;
        if (is_told(column, sample))
            free(sample);
        else
            column->samples[column->sample_count++] = sample;
    }
    return true;
}

/* ---- cells that are not what their column is ---- */

static bool is_date(const char *text) {
    char date[11];
    foci_late_year parts;
    return foci_date_parse(text, date) || foci_late_year_split(&parts, text);
}

/* The first of them. */
static bool note_odd(foci_look *look, const foci_look_column *column, const foci_table *table, size_t index,
                     foci_error *err) {
    char text[32];
    const bool numbers = strcmp(column->kind, "number") == 0;
    for (size_t row = 0; row < table->row_count; row++) {
        const foci_cell *cell = cell_at(table, row, index);
        if (is_blank(cell) || (numbers ? isfinite(foci_cell_number(cell, text)) : is_date(cell->text)))
            continue;
        return foci_sentences_add(&look->notes, err, FOCI_LOOK_ODD_CELLS, column->name, column->kind, column->odd,
                                  column->filled, column->odd == 1 ? "is" : "are", foci_table_row(table, row),
                                  cell->text);
    }
    return true;
}

/* A stop's name may be anything. */
static bool names_stops(const foci_look *look, size_t column) {
    for (size_t i = 0; i < look->guess_count; i++)
        if (strcmp(look->guesses[i].setting, "id") == 0)
            return strcmp(look->guesses[i].column, look->columns[column].name) == 0;
    return false;
}

bool foci_look_odd_cells(foci_look *look, const foci_table *table, foci_error *err) {
    for (size_t i = 0, told = 0; i < look->column_count && told < MOST_ODD; i++) {
        if (look->columns[i].odd == 0 || names_stops(look, i))
            continue;
        if (!note_odd(look, &look->columns[i], table, i, err))
            return false;
        told++;
    }
    return true;
}

/* ---- all of them ---- */

static bool take_rows(foci_look *look, const foci_table *table, foci_error *err) {
    const size_t rows = table->row_count < FOCI_LOOK_ROWS ? table->row_count : FOCI_LOOK_ROWS;
    look->cells = foci_new_array(rows * look->column_count, sizeof *look->cells, err);
    if (!look->cells)
        return false;
    look->row_count = rows;
    for (size_t row = 0; row < rows; row++)
        for (size_t c = 0; c < look->column_count; c++) {
            const char *text = cell_at(table, row, c)->text;
            char **place = &look->cells[row * look->column_count + c];
            if (text && !(*place = clip(text, err)))
                return false;
        }
    return true;
}

bool foci_look_columns(foci_look *look, foci_table *table, foci_error *err) {
    const size_t count = table->column_count < FOCI_LOOK_COLUMNS ? table->column_count : FOCI_LOOK_COLUMNS;
    look->columns = foci_new_array(count, sizeof *look->columns, err);
    if (!look->columns)
        return false;
    look->columns_more = table->column_count - count;
    for (size_t i = 0; i < count; i++) {
        foci_look_column *column = &look->columns[i];
        column_facts facts;
        column->name = foci_copy_text(table->columns[i], err);
        if (!column->name)
            return false;
        look->column_count++;
        if (!settle(look, &facts, table, i, err))
            return false;
        gather(column, &facts, table, i);
        judge(column, &facts);
        if (!take_samples(column, table, i, err))
            return false;
    }
    return take_rows(look, table, err);
}
