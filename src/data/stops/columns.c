#include "data/stops/columns.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"

static bool no_such_column(const foci_table *table, const char *file, const char *name, foci_error *err) {
    char list[300] = "";
    const char **names = foci_new_array(table->column_count + 1, sizeof *names, err);
    if (!names)
        return false;
    for (size_t i = 0; i < table->column_count; i++)
        names[i] = table->columns[i];
    const char *nearest = foci_text_nearest(name, names);
    foci_table_list_columns(table, list, sizeof list);
    if (nearest)
        foci_fail(err, FOCI_BAD_INPUT, file, 0, "no column \"%.60s\"; did you mean \"%.60s\"? The columns are: %s",
                  name, nearest, list);
    else
        foci_fail(err, FOCI_BAD_INPUT, file, 0, "no column \"%.60s\"; the columns are: %s", name,
                  *list ? list : "none");
    free(names);
    return false;
}

bool foci_column_find(size_t *out, const foci_table *table, const char *file, const char *name, foci_error *err) {
    long found = foci_table_column(table, name);
    if (found < 0)
        return no_such_column(table, file, name, err);
    *out = (size_t)found;
    return true;
}

static const char *skip_sign(const char *text) {
    return *text == '-' || *text == '+' ? text + 1 : text;
}

bool foci_is_nan_word(const char *text) {
    return foci_text_same(skip_sign(text), "nan");
}

static bool is_infinity_word(const char *text) {
    return foci_text_same(skip_sign(text), "inf") || foci_text_same(skip_sign(text), "infinity");
}

double foci_cell_number(const foci_cell *cell, char text[32]) {
    text[0] = '\0';
    if (cell->is_number) {
        if (isnan(cell->number))
            snprintf(text, 32, "nan");
        return cell->number;
    }
    if (!cell->text || cell->text[strspn(cell->text, " \t\r\n")] == '\0')
        return NAN;
    if (is_infinity_word(cell->text))
        return *cell->text == '-' ? -INFINITY : INFINITY;
    snprintf(text, 32, "%s", cell->text);
    return NAN;
}

bool foci_is_decimal_comma(const char *text) {
    char copy[32];
    double number = 0;
    const char *comma = strchr(text, ',');
    if (!comma || strchr(comma + 1, ',') || strlen(text) >= sizeof copy)
        return false;
    snprintf(copy, sizeof copy, "%s", text);
    copy[comma - text] = '.';
    return foci_number_parse(copy, &number);
}

bool foci_column_holds_numbers(const foci_table *table, const char *file, size_t column, foci_error *err) {
    char text[32], first[32] = "";
    size_t row = 0;
    for (size_t i = 0; i < table->row_count; i++) {
        double number = foci_cell_number(&table->cells[i * table->column_count + column], text);
        if (!isnan(number) || foci_is_nan_word(text))
            return true;
        if (*text && !*first) {
            memcpy(first, text, sizeof first);
            row = i + 1;
        }
    }
    if (!*first)
        return true; /* all blank: the checks say so */
    return foci_fail(err, FOCI_BAD_INPUT, file, 0, "column \"%.60s\" holds no number (row %zu: \"%s\"); %s",
                     table->columns[column], row, first,
                     foci_is_decimal_comma(first) ? "use a decimal point in place of the comma"
                                                  : "name a number column");
}
