#include "data/files/sheet_rows.h"

#include <cpl_conv.h>
#include <ogr_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/files/vector_guard.h"
#include "data/files/zip_members.h"

/* Bytes of one part of a workbook; the whole is held to the same by foci_vector_guard. */
#define MOST_OF_PART (64L << 20)

static const char *const as_plain_cells[][2] = {{"OGR_XLSX_HEADERS", "DISABLE"},
                                                {"OGR_XLSX_FIELD_TYPES", "STRING"},
                                                {"OGR_ODS_HEADERS", "DISABLE"},
                                                {"OGR_ODS_FIELD_TYPES", "STRING"}};

void foci_sheet_begin(void) {
    for (size_t i = 0; i < sizeof as_plain_cells / sizeof *as_plain_cells; i++)
        CPLSetThreadLocalConfigOption(as_plain_cells[i][0], as_plain_cells[i][1]);
}

void foci_sheet_end(void) {
    for (size_t i = 0; i < sizeof as_plain_cells / sizeof *as_plain_cells; i++)
        CPLSetThreadLocalConfigOption(as_plain_cells[i][0], NULL);
}

/* ---- rows ---- */

static bool add_row(foci_text_rows *rows, OGRFeatureH feature, const char **cells, size_t columns, foci_error *err) {
    size_t filled = 0;
    for (size_t c = 0; c < columns; c++) {
        const bool set = OGR_F_IsFieldSetAndNotNull(feature, (int)c);
        cells[c] = set ? OGR_F_GetFieldAsString(feature, (int)c) : NULL;
        if (set && *cells[c])
            filled = c + 1;
    }
    return foci_text_rows_add(rows, cells, filled, (long)OGR_F_GetFID(feature), err);
}

bool foci_sheet_rows_read(foci_text_rows *out, void *layer, const char *file, foci_error *err) {
    foci_text_rows rows = {.is_sheet = true};
    OGRFeatureH feature = NULL;
    bool ok = true;
    const size_t columns = (size_t)OGR_FD_GetFieldCount(OGR_L_GetLayerDefn(layer));
    const char **cells = foci_new_array(columns, sizeof *cells, err);
    if (!cells)
        return false;
    OGR_L_ResetReading(layer);
    while (ok && (feature = OGR_L_GetNextFeature(layer)) != NULL) {
        if (rows.count > FOCI_MOST_ROWS)
            ok = foci_fail(err, FOCI_BAD_INPUT, file, 0, "has more than %d rows; save one round of one field",
                           FOCI_MOST_ROWS);
        ok = ok && add_row(&rows, feature, cells, columns, err);
        OGR_F_Destroy(feature);
    }
    free(cells);
    if (ok)
        *out = rows;
    else
        foci_text_rows_free(&rows);
    return ok;
}

/* ---- percent ---- */

#define PERCENT_REMEDY                                                                                                 \
    "which a workbook keeps as shares (4 %% as 0.04); give the cells a plain number format with the values as you "    \
    "mean them, or save the sheet as CSV"

/* The number behind `name="` in an XML element that ends before `end`; -1 where it has none. */
static long attribute(const char *element, const char *end, const char *name) {
    const char *at = strstr(element, name);
    return at && at < end ? strtol(at + strlen(name), NULL, 10) : -1;
}

/* Whether a number format (ECMA-376 part 1, 18.8.30: 9 and 10 are percent, from 164 on they are the file's own) shows
 * percent. */
static bool shows_percent(const char *styles, long format) {
    char name[40];
    if (format == 9 || format == 10)
        return true;
    snprintf(name, sizeof name, "numFmtId=\"%ld\"", format);
    for (const char *at = strstr(styles, "<numFmt "); at; at = strstr(at + 1, "<numFmt ")) {
        const char *end = strchr(at, '>'), *id = strstr(at, name), *sign = strchr(at, '%');
        if (end && id && id < end && sign && sign < end)
            return true;
    }
    return false;
}

/* The first cell of the sheet's text that has this style and a value, as "E4". */
static bool find_styled(char cell[16], const char *sheet, long style) {
    char name[24];
    snprintf(name, sizeof name, " s=\"%ld\"", style);
    for (const char *at = strstr(sheet, "<c "); at; at = strstr(at + 1, "<c ")) {
        const char *end = strchr(at, '>'), *own = strstr(at, name), *place = strstr(at, " r=\"");
        if (!end || !own || own > end || end[-1] == '/' || strncmp(end, "></c>", 5) == 0)
            continue;
        cell[0] = '\0';
        if (place && place < end)
            snprintf(cell, 16, "%.*s", (int)strcspn(place + 4, "\""), place + 4);
        return true;
    }
    return false;
}

static bool check_sheet(const char *file, const char *styles, const char *sheet, foci_error *err) {
    const char *formats = strstr(styles, "<cellXfs"), *end = formats ? strstr(formats, "</cellXfs>") : NULL;
    char cell[16];
    long style = 0;
    for (const char *at = formats ? strstr(formats, "<xf ") : NULL; at && end && at < end;
         at = strstr(at + 1, "<xf "), style++) {
        const char *close = strchr(at, '>');
        const long format = close ? attribute(at, close, "numFmtId=\"") : -1;
        if (format > 0 && shows_percent(styles, format) && find_styled(cell, sheet, style))
            return foci_fail(err, FOCI_BAD_INPUT, file, 0, "cell %s and others are shown as percent, " PERCENT_REMEDY,
                             cell);
    }
    return true;
}

static bool check_xlsx(const char *file, foci_error *err) {
    char name[64];
    bool ok = true, more = true;
    char *styles = foci_zip_member_read(file, "xl/styles.xml", MOST_OF_PART, err);
    if (!styles)
        return false;
    for (int i = 1; ok && more && *styles; i++) {
        snprintf(name, sizeof name, "xl/worksheets/sheet%d.xml", i);
        char *sheet = foci_zip_member_read(file, name, MOST_OF_PART, err);
        more = sheet && *sheet;
        ok = sheet && (!more || check_sheet(file, styles, sheet, err));
        free(sheet);
    }
    free(styles);
    return ok;
}

static bool check_ods(const char *file, foci_error *err) {
    char *content = foci_zip_member_read(file, "content.xml", MOST_OF_PART, err);
    bool ok = content != NULL;
    if (ok && strstr(content, "office:value-type=\"percentage\""))
        ok = foci_fail(err, FOCI_BAD_INPUT, file, 0, "has cells that are shown as percent, " PERCENT_REMEDY);
    free(content);
    return ok;
}

static bool ends_with(const char *name, const char *ending) {
    const size_t length = strlen(name), tail = strlen(ending);
    return length > tail && foci_text_same(name + length - tail, ending);
}

bool foci_sheet_check(const char *file, foci_error *err) {
    return ends_with(file, ".ods") ? check_ods(file, err) : check_xlsx(file, err);
}

const char *foci_sheet_remedy(const char *file) {
    if (ends_with(file, ".xlsx") || ends_with(file, ".xlsm") || ends_with(file, ".ods"))
        return "is a workbook that cannot be read here; save the sheet as CSV";
    if (ends_with(file, ".xls") || ends_with(file, ".xlsb") || ends_with(file, ".numbers"))
        return "is a workbook of a kind that is not read; save it as .xlsx, .ods or CSV";
    return ends_with(file, ".zip") ? "is an archive without a shapefile; unpack it, and name the file to read" : NULL;
}
