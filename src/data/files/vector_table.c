#include "data/files/vector_table.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

size_t foci_table_head(size_t column_count, size_t most_cells) {
    const size_t rows = most_cells / (column_count + 1);
    return most_cells == 0 ? SIZE_MAX : rows > FOCI_HEAD_ROWS ? rows : FOCI_HEAD_ROWS;
}

void foci_table_free(foci_table *table) {
    for (size_t i = 0; table->columns && i < table->column_count; i++)
        free(table->columns[i]);
    for (size_t i = 0; i < table->row_count; i++)
        foci_shape_free(&table->shapes[i]);
    for (size_t i = 0; i < table->row_count * table->column_count; i++)
        free(table->cells[i].text);
    free(table->layer);
    free(table->driver);
    free(table->crs);
    free(table->columns);
    free(table->types);
    free(table->shapes);
    free(table->cells);
    free(table->row_numbers);
    foci_notes_free(&table->notes);
    *table = (foci_table){0};
}

long foci_table_row(const foci_table *table, size_t row) {
    return table->row_numbers ? table->row_numbers[row] : (long)row + 1;
}

bool foci_table_check_letters(const char *text, const char *column, foci_error *err) {
    const uint32_t code = text ? foci_text_noncharacter(text) : 0;
    return !code || foci_fail(err, FOCI_BAD_INPUT, NULL, 0,
                              "column \"%.60s\" holds U+%04X, which is no letter and cannot be printed; take it out",
                              column, code);
}

long foci_table_column(const foci_table *table, const char *name) {
    for (size_t i = 0; i < table->column_count; i++)
        if (strcmp(table->columns[i], name) == 0)
            return (long)i;
    for (size_t i = 0; i < table->column_count; i++)
        if (foci_text_same(table->columns[i], name))
            return (long)i;
    return -1;
}

void foci_table_list_columns(const foci_table *table, char *list, size_t size) {
    size_t used = 0;
    list[0] = '\0';
    for (size_t i = 0; i < table->column_count && used < size; i++)
        used += (size_t)snprintf(list + used, size - used, "%s%s", i ? ", " : "", table->columns[i]);
}
