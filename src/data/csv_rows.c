#include "data/csv_rows.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    size_t cells, filled; /* how many there are, and the last one (from 1) that is not blank */
} csv_row;

/* The next row that is no empty line; false at the end of the file. */
static bool next_row(csv_row *row, FILE *stream, char delimiter) {
    int letter = EOF;
    bool quoted = false, any = false;
    *row = (csv_row){.cells = 1};
    while ((letter = getc(stream)) != EOF) {
        if (letter == '"')
            quoted = !quoted; /* a doubled one turns it twice */
        if (!quoted && (letter == '\n' || letter == '\r')) {
            if (any)
                break;
            continue;
        }
        any = true;
        if (!quoted && letter == delimiter)
            row->cells++;
        else if (letter != '"' && letter != ' ')
            row->filled = row->cells;
    }
    return any;
}

/* The delimiter that gives the header this many columns, or 0. */
static char find_delimiter(FILE *stream, size_t columns) {
    for (const char *delimiter = ",;\t|"; *delimiter; delimiter++) {
        csv_row header;
        rewind(stream);
        if (next_row(&header, stream, *delimiter) && header.cells == columns)
            return *delimiter;
    }
    return 0;
}

bool foci_csv_rows_fit(const char *file, size_t columns, foci_error *err) {
    FILE *stream = fopen(file, "rb");
    if (!stream)
        return foci_fail(err, FOCI_NO_FILE, file, 0, "cannot be opened: %s", strerror(errno));
    bool ok = true;
    char delimiter = columns > 1 ? find_delimiter(stream, columns) : 0;
    csv_row row;
    for (long number = 1; ok && delimiter && next_row(&row, stream, delimiter); number++)
        if (row.filled > columns)
            ok = foci_fail(err, FOCI_BAD_INPUT, file, number,
                           "%zu cells under %zu columns; write numbers with a decimal point, or put quotes around text",
                           row.filled, columns);
    fclose(stream);
    return ok;
}
