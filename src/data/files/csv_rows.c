#include "data/files/csv_rows.h"

#include <string.h>

#include "base/plain_file.h"

typedef enum { AT_START, IN_PLAIN, IN_QUOTES, AT_QUOTE, BEHIND_QUOTES } cell_place;

typedef struct {
    size_t cells, filled; /* how many there are, and the last one (from 1) that is not blank */
    bool stray;           /* a quote mark inside a plain cell, or letters behind a closing one */
    bool degrees;         /* that cell has a degree sign */
    bool open;            /* the file ends inside quotes */
    size_t inner;         /* most cells that one line inside quotes would have */
} csv_row;

typedef struct {
    FILE *stream;
    char delimiter;
} csv_text;

/* Where a letter that is no delimiter or line end outside quotes leads to. */
static cell_place step(cell_place place, int letter, bool *stray) {
    const bool quote = letter == '"', blank = letter == ' ' || letter == '\t';
    switch (place) {
    case AT_START:
        return quote ? IN_QUOTES : blank ? AT_START : IN_PLAIN;
    case IN_PLAIN:
        *stray |= quote;
        return IN_PLAIN;
    case IN_QUOTES:
        return quote ? AT_QUOTE : IN_QUOTES;
    case AT_QUOTE:
        if (quote)
            return IN_QUOTES; /* a doubled one */
        break;
    case BEHIND_QUOTES:
        break;
    }
    *stray |= !blank;
    return BEHIND_QUOTES;
}

/* Lines that lie wholly inside quotes: `*line` counts the cells the present one would have, 0 before the first. */
static void look_inside(csv_row *row, size_t *line, char delimiter, int letter) {
    if (letter == '\n' || letter == '\r') {
        row->inner = *line > row->inner ? *line : row->inner;
        *line = 1;
    } else if (*line > 0 && letter == delimiter) {
        ++*line;
    }
}

/* The next row that is no empty line; false at the end of the file. */
static bool next_row(csv_row *row, csv_text *csv) {
    int letter = EOF;
    bool any = false, degrees = false;
    size_t line = 0;
    cell_place place = AT_START;
    *row = (csv_row){.cells = 1};
    while ((letter = getc(csv->stream)) != EOF) {
        if (place != IN_QUOTES && (letter == '\n' || letter == '\r')) {
            if (any)
                break;
            continue;
        }
        any = true;
        if (place != IN_QUOTES && letter == csv->delimiter) {
            row->cells++;
            place = AT_START;
            degrees = false;
            continue;
        }
        if (letter != '"' && letter != ' ')
            row->filled = row->cells;
        degrees = degrees || letter == 0xB0; /* its byte in Latin-1, and its last one in UTF-8 */
        const bool stray = row->stray;
        place = step(place, letter, &row->stray);
        row->degrees = row->degrees || (row->stray && !stray && degrees);
        if (place == IN_QUOTES)
            look_inside(row, &line, csv->delimiter, letter);
        else if (place != AT_QUOTE)
            line = 0;
    }
    row->open = letter == EOF && place == IN_QUOTES;
    return any;
}

static void to_start(csv_text *csv) {
    static const char mark[] = "\xEF\xBB\xBF"; /* a byte order mark */
    rewind(csv->stream);
    for (size_t i = 0; mark[i]; i++)
        if (getc(csv->stream) != (unsigned char)mark[i]) {
            rewind(csv->stream);
            return;
        }
}

/* The delimiter that gives the header this many columns; the comma where none does. */
static void find_delimiter(csv_text *csv, size_t columns) {
    for (const char *delimiter = ",;\t|"; *delimiter && columns > 1; delimiter++) {
        csv_row header;
        csv->delimiter = *delimiter;
        to_start(csv);
        if (next_row(&header, csv) && !header.stray && header.cells == columns)
            return;
    }
    csv->delimiter = ',';
}

/* A table whose first row is numbers has no header, and its columns are given names. */
static bool has_header(csv_text *csv, const char *first_column) {
    static const char given[] = "field_1";
    bool same = strcmp(first_column, given) == 0;
    to_start(csv);
    int letter = getc(csv->stream);
    if (!same || letter == '"' || letter == given[0])
        return true;
    return letter == csv->delimiter || letter == '\n' || letter == '\r' || letter == EOF;
}

static bool judge(const csv_row *row, size_t columns, const char *file, long number, foci_error *err) {
    const char *where = number ? "" : "the header ";
    if (row->stray && row->degrees)
        return foci_fail(err, FOCI_BAD_INPUT, file, number,
                         "%shas a coordinate in degrees, minutes and seconds; write decimal degrees, as in 42.9751",
                         where);
    if (row->stray)
        return foci_fail(err, FOCI_BAD_INPUT, file, number,
                         "%shas a quote mark inside a cell; write it twice and put the whole cell in quotes, as in "
                         "\"12\"\" deep\", or take it out",
                         where);
    if (row->open)
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

bool foci_csv_rows_count(size_t *out, const char *file, char *const *columns, size_t column_count, foci_error *err) {
    csv_text csv = {.stream = foci_file_open(file, FOCI_MOST_OF_TABLE, err)};
    if (!csv.stream)
        return false;
    bool ok = true;
    csv_row row;
    find_delimiter(&csv, column_count);
    const long first = column_count > 0 && !has_header(&csv, columns[0]);
    long count = first;
    to_start(&csv);
    for (; ok && next_row(&row, &csv); count++)
        ok = judge(&row, column_count, file, count, err);
    fclose(csv.stream);
    if (ok)
        *out = count > 0 ? (size_t)count - 1 : 0;
    return ok;
}
