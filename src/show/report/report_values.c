/* What the viewer reads off: the layers' numbers on a grid, coarser where there are many cells, each in 16 bits. */
#include "show/report/report_viewer.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "data/places/projection.h"
#include "decide/words/report_words.h"

#define CELLS_MOST 40000.0 /* numbers of a layer on the page ... */
#define ALL_MOST 200000.0  /* ... and of all of them */
#define NONE 0xFFFFu
#define LEVELS 65000.0

static void add_attribute(foci_html *html, const char *name, const char *value) {
    foci_report_add(html, " data-%s=\"", name);
    foci_html_text(html, value);
    foci_html_raw(html, "\"");
}

static void add_number(foci_html *html, const char *name, double number) {
    char text[40];
    snprintf(text, sizeof text, "%.10g", number);
    add_attribute(html, name, text);
}

static void add_indexed(foci_html *html, const char *name, size_t index, const char *value) {
    char whole[40];
    snprintf(whole, sizeof whole, "%s%zu", name, index);
    add_attribute(html, whole, value);
}

static double number_at(const foci_report_value *value, size_t cell) {
    if (!value->codes)
        return value->values[cell];
    return value->codes[cell] < 0 ? NAN : value->codes[cell];
}

/* Every `step`th cell of every `step`th row, from the middle of the first block on: little-endian, 65535 for none. */
static void add_layer(foci_html *html, size_t index, const foci_grid *grid, const foci_report_value *value,
                      size_t step) {
    static const char *const kinds[] = {[FOCI_REPORT_READING] = "reading",
                                        [FOCI_REPORT_CHANCE] = "chance",
                                        [FOCI_REPORT_COUNT] = "count",
                                        [FOCI_REPORT_NAME] = "name"};
    const size_t columns = (grid->columns + step - 1) / step, rows = (grid->rows + step - 1) / step;
    double least = INFINITY, most = -INFINITY;
    if (html->err.status != FOCI_OK)
        return;
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        least = fmin(least, number_at(value, i)); /* without NaN */
        most = fmax(most, number_at(value, i));
    }
    if (value->codes)
        least = 0;
    const double unit = most > least && !value->codes ? (most - least) / LEVELS : 1;
    unsigned char *bytes = foci_new_array(columns * rows, 2, &html->err);
    if (!bytes)
        return;
    for (size_t i = 0; i < columns * rows; i++) {
        const size_t row = i / columns * step + step / 2, column = i % columns * step + step / 2;
        const size_t down = row < grid->rows ? row : grid->rows - 1;
        const size_t right = column < grid->columns ? column : grid->columns - 1;
        const double number = number_at(value, down * grid->columns + right);
        const unsigned code = isnan(number) ? NONE : (unsigned)lround((number - least) / unit);
        bytes[2 * i] = (unsigned char)(code & 0xFF);
        bytes[2 * i + 1] = (unsigned char)(code >> 8);
    }
    foci_report_add(html, " data-value%zu=\"%s %.10g %.10g ", index, kinds[value->kind], least, unit);
    if (html->err.status == FOCI_OK)
        (void)!foci_text_add_base64(&html->text, bytes, 2 * columns * rows, &html->err);
    foci_html_raw(html, "\"");
    free(bytes);
}

/* Degrees at the corners of the grid, north-west, north-east, south-west, south-east: between them they run straight
 * enough for a field. */
static void add_corners(foci_html *html, const foci_grid *grid, const char *work_crs) {
    const double east = grid->west + grid->cell * (double)grid->columns;
    const double south = grid->north - grid->cell * (double)grid->rows;
    foci_point corners[] = {{grid->west, grid->north}, {east, grid->north}, {grid->west, south}, {east, south}};
    foci_projection *projection = NULL;
    if (html->err.status != FOCI_OK || !foci_projection_open(&projection, "EPSG:4326", work_crs, &html->err))
        return;
    const size_t lost = foci_projection_inverse(projection, corners, 4);
    foci_projection_close(projection);
    if (lost > 0)
        return;
    foci_html_raw(html, " data-corners=\"");
    for (size_t i = 0; i < 4; i++)
        foci_report_add(html, "%s%.8f %.8f", i ? " " : "", corners[i].y, corners[i].x);
    foci_html_raw(html, "\"");
}

static void add_grid(foci_html *html, const foci_map_view *view, const foci_grid *grid, size_t step) {
    const size_t columns = (grid->columns + step - 1) / step, rows = (grid->rows + step - 1) / step;
    add_number(html, "scale", view->scale);
    add_number(html, "west", grid->west - view->west);
    add_number(html, "north", view->north - grid->north);
    add_number(html, "cell", grid->cell * (double)step);
    add_number(html, "columns", (double)columns);
    add_number(html, "rows", (double)rows);
    add_number(html, "across", grid->cell * (double)grid->columns);
    add_number(html, "down", grid->cell * (double)grid->rows);
}

void foci_report_values(foci_html *html, const foci_map_view *view, const foci_report_viewer *viewer) {
    const foci_grid *grid = viewer->grid;
    const double cells = (double)grid->columns * (double)grid->rows;
    const double most = fmin(CELLS_MOST, ALL_MOST / (double)viewer->value_count);
    const size_t step = cells > most ? (size_t)ceil(sqrt(cells / most)) : 1;
    add_grid(html, view, grid, step);
    add_corners(html, grid, viewer->work_crs);
    add_attribute(html, "suffix", viewer->suffix);
    add_attribute(html, "outside", foci_report_outside);
    for (size_t i = 0; viewer->names && viewer->names[i]; i++)
        add_indexed(html, "name", i, viewer->names[i]);
    for (size_t i = 0; i < viewer->value_count; i++) {
        const foci_report_value *value = &viewer->values[i];
        add_indexed(html, "before", i, value->before);
        add_indexed(html, "after", i, value->after);
        if (value->ground)
            add_indexed(html, "of", i, value->ground);
        add_layer(html, i, grid, value, step);
    }
}
