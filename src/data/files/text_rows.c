#include "data/files/text_rows.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/plain_file.h"
#include "data/files/text_encoding.h"

/* How many rows tell what stands between the cells. */
#define LOOKED_AT 100

/* ---- building ---- */

const char *foci_text_rows_cell(const foci_text_rows *rows, size_t row, size_t cell) {
    const foci_text_row *of = &rows->rows[row];
    return cell < of->cells ? rows->letters + rows->cells[of->first + cell] : "";
}

void foci_text_rows_free(foci_text_rows *rows) {
    free(rows->rows);
    free(rows->cells);
    free(rows->letters);
    foci_notes_free(&rows->notes);
    *rows = (foci_text_rows){0};
}

static bool begin_row(foci_text_rows *rows, long line, foci_error *err) {
    if (!foci_grow_array((void **)&rows->rows, &rows->capacity, rows->count + 1, sizeof *rows->rows, err))
        return false;
    rows->rows[rows->count++] = (foci_text_row){.first = rows->cell_count, .line = line};
    return true;
}

static bool is_blank(char letter) {
    return letter == ' ' || letter == '\t';
}

/* `length` letters become the last row's next cell; `bare` ones lose the blanks around them. */
static bool add_cell(foci_text_rows *rows, const char *text, size_t length, bool bare, foci_error *err) {
    foci_text_row *row = &rows->rows[rows->count - 1];
    while (bare && length > 0 && is_blank(*text)) {
        text++;
        length--;
    }
    while (bare && length > 0 && is_blank(text[length - 1]))
        length--;
    if (!foci_grow_array((void **)&rows->cells, &rows->cell_capacity, rows->cell_count + 1, sizeof *rows->cells, err) ||
        !foci_grow_array((void **)&rows->letters, &rows->letter_capacity, rows->length + length + 1, 1, err))
        return false;
    rows->cells[rows->cell_count++] = rows->length;
    if (length > 0)
        memcpy(rows->letters + rows->length, text, length);
    rows->letters[rows->length + length] = '\0';
    rows->length += length + 1;
    row->cells++;
    if (strspn(text, " \t\r\n") < length)
        row->filled = row->cells;
    return true;
}

bool foci_text_rows_add(foci_text_rows *rows, const char *const *cells, size_t count, long line, foci_error *err) {
    bool ok = begin_row(rows, line, err);
    for (size_t i = 0; ok && i < count; i++)
        ok = add_cell(rows, cells[i] ? cells[i] : "", cells[i] ? strlen(cells[i]) : 0, true, err);
    return ok;
}

/* ---- one row of text ---- */

typedef struct {
    const char *at;
    char delimiter;
    long line;
    char *cell; /* room for the longest cell */
} text_reader;

static bool ends_row(char letter) {
    return letter == '\n' || letter == '\r' || letter == '\0';
}

/* One line end, of whatever kind. */
static const char *behind_line_end(const char *at) {
    return at + (at[0] == '\r' && at[1] == '\n' ? 2 : 1);
}

/* The degree sign, or what people write for it, in UTF-8 or Latin-1. */
static bool holds_degrees(const char *from, const char *to) {
    for (; from < to; from++)
        if ((unsigned char)*from == 0xB0 || (unsigned char)*from == 0xBA || (unsigned char)*from == 0x9A)
            return true;
    return false;
}

/* A plain cell; `*stray` where a quote mark stands in it that is no seconds mark. */
static size_t plain_cell(text_reader *from, bool *stray) {
    const char *start = from->at;
    for (; !ends_row(*from->at) && *from->at != from->delimiter; from->at++)
        *stray = *stray || (*from->at == '"' && !holds_degrees(start, from->at));
    memcpy(from->cell, start, (size_t)(from->at - start));
    return (size_t)(from->at - start);
}

/* Lines that lie wholly inside quotes: `*cells` counts those the present one would have, 0 before the first. */
static void look_inside(foci_text_row *row, size_t *cells, const text_reader *from) {
    if (*from->at == '\n' || *from->at == '\r') {
        row->inner = *cells > row->inner ? *cells : row->inner;
        *cells = 1;
    } else if (*cells > 0 && *from->at == from->delimiter) {
        ++*cells;
    }
}

/* From behind the opening quote mark to behind the closing one and the blanks after it. */
static size_t quoted_cell(text_reader *from, foci_text_row *row) {
    size_t length = 0, inner = 0;
    for (; *from->at && (*from->at != '"' || from->at[1] == '"'); from->at++) {
        look_inside(row, &inner, from);
        from->at += *from->at == '"';
        from->line += *from->at == '\n' || (*from->at == '\r' && from->at[1] != '\n');
        from->cell[length++] = *from->at;
    }
    if (!*from->at) {
        row->fault = FOCI_ROW_OPEN_QUOTE;
        return length;
    }
    from->at++;
    while (is_blank(*from->at) && *from->at != from->delimiter)
        from->at++;
    if (!ends_row(*from->at) && *from->at != from->delimiter) {
        row->fault = FOCI_ROW_STRAY_QUOTE;
        while (!ends_row(*from->at) && *from->at != from->delimiter)
            from->at++;
    }
    return length;
}

/* Adds the row that begins at `from` and moves on behind its line end. */
static bool read_row(foci_text_rows *rows, text_reader *from, foci_error *err) {
    if (!begin_row(rows, from->line, err))
        return false;
    for (bool more = true; more;) {
        foci_text_row *row = &rows->rows[rows->count - 1];
        const char *start = from->at;
        bool stray = false;
        while (is_blank(*start) && *start != from->delimiter)
            start++;
        const bool quoted = *start == '"';
        if (quoted)
            from->at = start + 1;
        const size_t length = quoted ? quoted_cell(from, row) : plain_cell(from, &stray);
        if (stray)
            row->fault = FOCI_ROW_STRAY_QUOTE;
        if (!add_cell(rows, from->cell, length, !quoted, err))
            return false;
        more = *from->at == from->delimiter && *from->at;
        from->at += more;
    }
    if (*from->at) {
        from->at = behind_line_end(from->at);
        from->line++;
    }
    return true;
}

static void skip_empty_lines(text_reader *from) {
    while (*from->at == '\n' || *from->at == '\r') {
        from->at = behind_line_end(from->at);
        from->line++;
    }
}

/* The first `most` rows. */
static bool split(foci_text_rows *rows, text_reader from, size_t most, foci_error *err) {
    for (skip_empty_lines(&from); *from.at && rows->count < most; skip_empty_lines(&from))
        if (!read_row(rows, &from, err))
            return false;
    return true;
}

/* ---- what stands between the cells ---- */

static const struct {
    char sign;
    const char *name;
} delimiters[] = {{',', "commas"}, {';', "semicolons"}, {'\t', "tabs"}, {'|', "upright lines"}, {0}};

/* How many rows have as many cells as the most frequent number of two or more; `*cells` is that number. */
static size_t like_each_other(const foci_text_rows *rows, size_t *cells) {
    size_t most = 0;
    *cells = 0;
    for (size_t i = 0; i < rows->count; i++) {
        size_t same = 0;
        for (size_t k = 0; k < rows->count; k++)
            same += rows->rows[k].cells == rows->rows[i].cells;
        if (rows->rows[i].cells > 1 && (same > most || (same == most && rows->rows[i].cells > *cells))) {
            most = same;
            *cells = rows->rows[i].cells;
        }
    }
    return most;
}

/* The one that makes the most rows alike, and of those the one with most cells in the first row that it splits; '\0'
 * where no row has two cells. */
static bool find_delimiter(char *out, const text_reader *start, foci_error *err) {
    size_t best_first = 0, best_alike = 0;
    *out = '\0';
    for (size_t i = 0; delimiters[i].sign; i++) {
        foci_text_rows rows = {0};
        text_reader from = *start;
        size_t cells = 0;
        from.delimiter = delimiters[i].sign;
        if (!split(&rows, from, LOOKED_AT, err)) {
            foci_text_rows_free(&rows);
            return false;
        }
        const size_t alike = like_each_other(&rows, &cells), first = rows.count ? rows.rows[0].cells : 0;
        foci_text_rows_free(&rows);
        if (alike > best_alike || (alike == best_alike && alike > 0 && first > best_first)) {
            best_alike = alike;
            best_first = first;
            *out = delimiters[i].sign;
        }
    }
    return true;
}

/* A first line "sep=;", as spreadsheets take it for a word on the delimiter. */
static bool told_delimiter(text_reader *from) {
    if (strncasecmp(from->at, "sep=", 4) != 0 || !from->at[4] || !ends_row(from->at[5]))
        return false;
    from->delimiter = from->at[4];
    from->at += 5;
    return true;
}

static bool note_delimiter(foci_text_rows *rows, char delimiter, foci_error *err) {
    for (size_t i = 1; delimiters[i].sign; i++)
        if (delimiters[i].sign == delimiter)
            return foci_notes_add(&rows->notes, err, "%s stand between the cells", delimiters[i].name);
    return true;
}

bool foci_text_rows_read(foci_text_rows *out, bool *is_table, const char *file, foci_error *err) {
    foci_text_rows rows = {0};
    text_reader from = {.line = 1};
    size_t size = 0;
    bool ok = false;
    char *text = foci_text_encoding_read(file, &size, &rows.latin, &rows.notes, err);
    if (!text)
        goto done;
    from.at = text;
    from.cell = foci_new_array(size + 1, 1, err);
    if (!from.cell || (!told_delimiter(&from) && !find_delimiter(&from.delimiter, &from, err)))
        goto done;
    *is_table = from.delimiter != '\0';
    if (!from.delimiter)
        from.delimiter = ',';
    ok = split(&rows, from, (size_t)-1, err) && note_delimiter(&rows, from.delimiter, err);
done:
    free(text);
    free(from.cell);
    if (ok)
        *out = rows;
    else
        foci_text_rows_free(&rows);
    return ok;
}
