#include "fieldfoci/gaps.h"

#include <math.h>

#include "data/stops/one_line.h"

/* A stop stands for more ground than its nearest neighbour tells where stops come in pairs or close on lines: on a
 * square net both are alike. The hull is widened by half a spacing all round, as if the stops stood on such a net. */
static bool find_spacing(double *out, const foci_readings *readings, foci_error *err) {
    double hull = 0, nearest = NAN, root = sqrt((double)readings->count);
    *out = NAN;
    if (readings->count < 2)
        return true;
    if (!foci_convex_hull_area(&hull, readings->places, readings->count, err) ||
        !foci_readings_spacing(&nearest, readings, err))
        return false;
    *out = fmax(nearest, sqrt(hull) / (root - 1));
    return true;
}

/* What a stop speaks for: within `straight` meters as the crow flies, and within `range` meters as the model goes. */
typedef struct {
    const foci_variogram *model; /* NULL: no range */
    double straight, range;
} voice;

static voice voice_of(const foci_variogram *model, double spacing) {
    const bool known = model && model->kind && model->partial_sill > 0;
    return (voice){known ? model : NULL, 2 * spacing, known ? foci_variogram_practical_range(model) : INFINITY};
}

/* Meters to the side of a line. */
static double off_line(const foci_line *line, foci_point place) {
    return fabs((place.x - line->middle.x) * line->across.x + (place.y - line->middle.y) * line->across.y);
}

/* Columns or rows that a stop can reach, as first and last; false where there are none. */
static bool span(size_t *first, size_t *last, double from_edge, double reach, double cell, size_t count) {
    double low = ceil((from_edge - reach) / cell - 0.5), high = floor((from_edge + reach) / cell - 0.5);
    if (!(low <= high) || high < 0 || low >= (double)count)
        return false;
    *first = low > 0 ? (size_t)low : 0;
    *last = high < (double)count ? (size_t)high : count - 1;
    return true;
}

static void speak(bool *unspoken, const foci_grid *grid, const voice *v, foci_point stop) {
    size_t west, east, north, south;
    const double reach = fmin(v->straight, v->range);
    if (!span(&west, &east, stop.x - grid->west, reach, grid->cell, grid->columns) ||
        !span(&north, &south, grid->north - stop.y, reach, grid->cell, grid->rows))
        return;
    for (size_t row = north; row <= south; row++)
        for (size_t column = west; column <= east; column++) {
            const size_t cell = row * grid->columns + column;
            const foci_point place = foci_grid_centre(grid, cell);
            if (unspoken[cell] && hypot(place.x - stop.x, place.y - stop.y) <= v->straight &&
                (!v->model || foci_variogram_distance(v->model, stop, place) <= v->range))
                unspoken[cell] = false;
        }
}

/* Takes back what was said of ground off a line that all stops are on. */
static void hold_to_line(bool *unspoken, const foci_grid *grid, const foci_readings *readings, const foci_line *line) {
    double half = 0;
    for (size_t i = 0; i < readings->count; i++)
        half = fmax(half, off_line(line, readings->places[i]));
    half += line->spacing / 2;
    for (size_t i = 0; i < grid->columns * grid->rows; i++)
        if (grid->share[i] > 0 && off_line(line, foci_grid_centre(grid, i)) > half)
            unspoken[i] = true;
}

static double share_of(const bool *unspoken, const foci_grid *grid) {
    double part = 0, whole = 0;
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        whole += grid->share[i];
        part += unspoken[i] ? grid->share[i] : 0;
    }
    return whole > 0 ? part / whole : 0;
}

bool foci_gaps_find(foci_gaps *out, bool *unspoken, const foci_readings *readings, const foci_grid *grid,
                    const foci_multipolygon *field, const foci_variogram *model, foci_error *err) {
    double spacing = NAN;
    foci_line line;
    bool on_line = false;
    if (!find_spacing(&spacing, readings, err) || !foci_one_line(&line, &on_line, readings, field, err))
        return false;
    const voice v = voice_of(model, spacing);
    for (size_t i = 0; i < grid->columns * grid->rows; i++)
        unspoken[i] = !isnan(spacing) && grid->share[i] > 0;
    for (size_t i = 0; i < readings->count; i++)
        speak(unspoken, grid, &v, readings->places[i]);
    if (on_line)
        hold_to_line(unspoken, grid, readings, &line);
    *out = (foci_gaps){.spacing = spacing,
                       .share = share_of(unspoken, grid),
                       .reach = isnan(spacing) ? NAN : fmin(v.straight, v.range),
                       .by_range = v.range < v.straight,
                       .one_line = on_line};
    return true;
}
