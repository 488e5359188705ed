/* A small reader for the comma-separated tables of testdata/reference: a header line, then numbers; other text is NaN.
 */
#ifndef FOCI_TESTS_REFERENCE_TABLE_H
#define FOCI_TESTS_REFERENCE_TABLE_H

#include "support/support.h"

enum { REFERENCE_COLUMNS = 20, REFERENCE_ROWS = 4000 };

typedef struct {
    size_t rows, columns;
    char names[REFERENCE_COLUMNS][40];
    double *cells[REFERENCE_COLUMNS]; /* one array per column; owned */
} reference_table;

static inline double reference_number(const char *text) {
    char *end = NULL;
    double number = strtod(text, &end);
    return end != text && *end == '\0' ? number : NAN;
}

/* The next comma-separated field of *line, or NULL; cuts the line. Fields may be empty. */
static inline char *reference_field(char **line) {
    char *field = *line;
    if (!field)
        return NULL;
    char *comma = strchr(field, ',');
    if (comma)
        *comma = '\0';
    *line = comma ? comma + 1 : NULL;
    return field;
}

static inline void reference_read_row(reference_table *table, char *line) {
    for (size_t k = 0; k < table->columns; k++) {
        const char *field = reference_field(&line);
        assert_non_null(field);
        table->cells[k][table->rows] = reference_number(field);
    }
    table->rows++;
}

/* A table below testdata/reference; fails the test where it is not there. */
static inline reference_table reference_read(const char *name) {
    reference_table table = {0};
    char path[2048], line[1024];
    snprintf(path, sizeof path, "%s/%s", support_testdata("reference"), name);
    FILE *file = fopen(path, "r");
    if (!file)
        fail_msg("%s is missing", path);
    while (fgets(line, sizeof line, file)) {
        line[strcspn(line, "\r\n")] = '\0';
        char *rest = line;
        if (table.columns > 0) {
            assert_true(table.rows < REFERENCE_ROWS);
            reference_read_row(&table, line);
            continue;
        }
        for (const char *field = NULL; (field = reference_field(&rest));) {
            assert_true(table.columns < REFERENCE_COLUMNS);
            assert_true(strlen(field) < sizeof table.names[0]);
            memcpy(table.names[table.columns], field, strlen(field) + 1);
            table.cells[table.columns++] = calloc(REFERENCE_ROWS, sizeof(double));
        }
    }
    fclose(file);
    assert_true(table.rows > 0);
    return table;
}

static inline void reference_free(reference_table *table) {
    for (size_t k = 0; k < table->columns; k++)
        free(table->cells[k]);
    *table = (reference_table){0};
}

/* The column of this name, table->rows numbers; fails the test where there is none. */
static inline const double *reference_column(const reference_table *table, const char *name) {
    for (size_t k = 0; k < table->columns; k++)
        if (strcmp(table->names[k], name) == 0)
            return table->cells[k];
    fail_msg("no column %s", name);
    return NULL;
}

#endif
