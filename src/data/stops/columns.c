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

/* "Hits" of "Hits (per 100 ft)", "Severity" of "Severity, %". */
static size_t bare_length(const char *name) {
    size_t length = strcspn(name, "([,%\xC2"); /* 0xC2 begins the degree sign */
    while (length > 0 && (name[length - 1] == ' ' || name[length - 1] == '_'))
        length--;
    return length;
}

static bool is_bare(const char *column, const char *name) {
    const size_t length = bare_length(column);
    return length > 0 && column[length] && strlen(name) == length && strncasecmp(column, name, length) == 0;
}

/* How many columns have the name: exactly, else in any case, else but for their unit; `*found` is the first. */
static size_t count_named(const foci_table *table, const char *name, size_t *found) {
    size_t counts[3] = {0, 0, 0}, first[3] = {0, 0, 0};
    for (size_t i = table->column_count; i-- > 0;) {
        const char *column = table->columns[i];
        const bool fits[] = {strcmp(column, name) == 0, foci_text_same(column, name), is_bare(column, name)};
        for (int k = 0; k < 3; k++)
            if (fits[k]) {
                counts[k]++;
                first[k] = i;
            }
    }
    for (int k = 0; k < 3; k++)
        if (counts[k]) {
            *found = first[k];
            return counts[k];
        }
    return 0;
}

long foci_column_named(const foci_table *table, const char *name) {
    size_t found = 0;
    return count_named(table, name, &found) == 1 ? (long)found : -1;
}

bool foci_column_find(size_t *out, foci_table *table, const char *file, const char *name, foci_error *err) {
    char list[300] = "";
    size_t found = 0;
    const size_t count = count_named(table, name, &found);
    if (count == 0)
        return no_such_column(table, file, name, err);
    foci_table_list_columns(table, list, sizeof list);
    if (count > 1)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "has %zu columns that \"%.60s\" could mean; give each a name of its own, and write it whole; "
                         "the columns are: %s",
                         count, name, list);
    *out = found;
    return foci_text_same(table->columns[found], name) ||
           foci_notes_add(&table->notes, err, "column \"%.80s\" is the one named \"%.60s\"", table->columns[found],
                          name);
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
            row = (size_t)foci_table_row(table, i);
        }
    }
    if (!*first)
        return true; /* all blank: the checks say so */
    return foci_fail(err, FOCI_BAD_INPUT, file, 0, "column \"%.60s\" holds no number (row %zu: \"%s\"); %s",
                     table->columns[column], row, first,
                     foci_is_decimal_comma(first) ? "use a decimal point in place of the comma"
                                                  : "name a number column");
}

bool foci_column_says_percent(const char *text) {
    static const char *const words[] = {"percent", "per cent", "pct", "%"};
    bool percent = false;
    for (size_t i = 0; !percent && i < sizeof words / sizeof *words; i++)
        percent = strcasestr(text, words[i]) != NULL;
    return percent;
}
