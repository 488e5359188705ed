/* What the viewer reads off: the layers' numbers on a grid, coarser where there are many cells, each in 16 bits. */
#include "show/report/report_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "data/places/projection.h"
#include "show/map/map_words.h"

#define CELLS_MOST 40000.0 /* numbers of a layer on the page */
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

/* Every `step`th cell of every `step`th row, from the middle of the first block on: little-endian, 65535 for none. */
static void add_layer(foci_html *html, const char *name, const foci_grid *grid, const double *layer, size_t step) {
    const size_t columns = (grid->columns + step - 1) / step, rows = (grid->rows + step - 1) / step;
    double least = INFINITY, most = -INFINITY;
    if (!layer || html->err.status != FOCI_OK)
        return;
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        least = fmin(least, layer[i]); /* without NaN */
        most = fmax(most, layer[i]);
    }
    const double unit = most > least ? (most - least) / LEVELS : 1;
    unsigned char *bytes = foci_new_array(columns * rows, 2, &html->err);
    if (!bytes)
        return;
    for (size_t i = 0; i < columns * rows; i++) {
        const size_t row = i / columns * step + step / 2, column = i % columns * step + step / 2;
        const size_t down = row < grid->rows ? row : grid->rows - 1;
        const size_t right = column < grid->columns ? column : grid->columns - 1;
        const double value = layer[down * grid->columns + right];
        const unsigned code = isnan(value) ? NONE : (unsigned)lround((value - least) / unit);
        bytes[2 * i] = (unsigned char)(code & 0xFF);
        bytes[2 * i + 1] = (unsigned char)(code >> 8);
    }
    foci_report_add(html, " data-%s=\"%.10g %.10g ", name, least, unit);
    if (html->err.status == FOCI_OK)
        (void)!foci_text_add_base64(&html->text, bytes, 2 * columns * rows, &html->err);
    foci_html_raw(html, "\"");
    free(bytes);
}

/* Degrees at the corners of the grid, north-west, north-east, south-west, south-east: between them they run straight
 * enough for a field. */
static void add_corners(foci_html *html, const foci_survey *round) {
    const foci_grid *grid = &round->grid;
    const double east = grid->west + grid->cell * (double)grid->columns;
    const double south = grid->north - grid->cell * (double)grid->rows;
    foci_point corners[] = {{grid->west, grid->north}, {east, grid->north}, {grid->west, south}, {east, south}};
    foci_projection *projection = NULL;
    if (html->err.status != FOCI_OK || !foci_projection_open(&projection, "EPSG:4326", round->work_crs, &html->err))
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

void foci_report_values(foci_html *html, const foci_map_view *view, const foci_survey *round) {
    const foci_grid *grid = &round->grid;
    const double cells = (double)grid->columns * (double)grid->rows;
    const size_t step = cells > CELLS_MOST ? (size_t)ceil(sqrt(cells / CELLS_MOST)) : 1;
    const size_t columns = (grid->columns + step - 1) / step, rows = (grid->rows + step - 1) / step;
    char threshold[FOCI_WORDS_SIZE], passed[2 * FOCI_WORDS_SIZE];
    foci_words_reading(threshold, round, round->threshold);
    snprintf(passed, sizeof passed, "chance of %s or more", threshold);
    add_number(html, "scale", view->scale);
    add_number(html, "west", grid->west - view->west);
    add_number(html, "north", view->north - grid->north);
    add_number(html, "cell", grid->cell * (double)step);
    add_number(html, "columns", (double)columns);
    add_number(html, "rows", (double)rows);
    add_number(html, "across", grid->cell * (double)grid->columns);
    add_number(html, "down", grid->cell * (double)grid->rows);
    add_corners(html, round);
    add_attribute(html, "suffix", foci_words_suffix(round));
    add_attribute(html, "measured", foci_words_measured(round));
    add_attribute(html, "bounds", "90 % bounds");
    add_attribute(html, "passed", passed);
    add_attribute(html, "outside", "Outside the field.");
    add_layer(html, "estimate", grid, round->surface.estimate, step);
    add_layer(html, "low", grid, round->surface.low, step);
    add_layer(html, "high", grid, round->surface.high, step);
    add_layer(html, "chance", grid, round->surface.chance, step);
}
