#include "data/files/text_file.h"

#include <gdal.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/files/fingerprint.h"
#include "data/files/text_encoding.h"
#include "data/files/text_table.h"
#include "data/files/vector_guard.h"

static const char *base_of(const char *file) {
    const char *slash = strrchr(file, '/');
    return slash ? slash + 1 : file;
}

static bool ends_as_text(const char *file) {
    static const char *const endings[] = {".csv", ".tsv", ".tab", ".psv", ".txt", NULL};
    const char *dot = strrchr(base_of(file), '.');
    for (const char *const *ending = endings; dot && *ending; ending++)
        if (foci_text_same(dot, *ending))
            return true;
    return false;
}

bool foci_text_file_is(bool *is, const char *file, const char *const *drivers, foci_error *err) {
    *is = false;
    if (!ends_as_text(file))
        return true;
    if (!foci_vector_guard(file, drivers, err))
        return false;
    *is = GDALIdentifyDriverEx(file, GDAL_OF_VECTOR, drivers, NULL) == NULL;
    return true;
}

static char *name_layer(const char *file, foci_error *err) {
    const char *base = base_of(file), *dot = strrchr(base, '.');
    char *stem = foci_format_text(err, "%.*s", (int)(dot ? dot - base : (long)strlen(base)), base);
    char *name = stem ? foci_text_encoding_copy(stem, err) : NULL;
    free(stem);
    return name;
}

/* Everything of the table but its rows. */
static bool describe(foci_table *table, const char *file, const char *layer, foci_error *err) {
    table->layer = name_layer(file, err);
    table->driver = table->layer ? foci_copy_text("CSV", err) : NULL;
    table->crs = table->driver ? foci_copy_text("", err) : NULL;
    if (!table->crs || !foci_fingerprint_files(table->sha256, &file, 1, err))
        return false;
    return !layer || foci_text_same(layer, table->layer) ||
           foci_fail(err, FOCI_BAD_INPUT, file, 0, "has no layer '%.100s'; those with features are: \"%.100s\"", layer,
                     table->layer);
}

bool foci_text_file_read(foci_table *out, const char *file, const char *layer, size_t most_cells, foci_error *err) {
    foci_table table = {0};
    foci_text_rows rows = {0};
    bool is_table = false;
    bool ok = describe(&table, file, layer, err) && foci_text_rows_read(&rows, &is_table, file, err);
    if (ok && !is_table && foci_text_same(strrchr(file, '.'), ".txt"))
        ok = foci_fail(err, FOCI_NO_FILE, file, 0,
                       "not a vector file that can be read: no line of it holds two cells; save the table as CSV");
    ok = ok && foci_text_table_make(&table, &rows, most_cells, file, err);
    foci_text_rows_free(&rows);
    if (ok)
        *out = table;
    else
        foci_table_free(&table);
    return ok;
}
