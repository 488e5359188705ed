#include "data/stops/one_line.h"

#include <math.h>

#define LEAST_RATIO 0.1

/* Along the places' principal axes. False for fewer than three, or all at one place. `*width`: meters across, of an
 * even spread with that deviation. The spacing is left to the caller. */
static bool measure(foci_line *out, double *width, const foci_readings *readings) {
    const double n = (double)readings->count;
    double mean_x = 0, mean_y = 0, xx = 0, xy = 0, yy = 0;
    for (size_t i = 0; i < readings->count; i++) {
        mean_x += (readings->places[i].x - mean_x) / (double)(i + 1);
        mean_y += (readings->places[i].y - mean_y) / (double)(i + 1);
    }
    for (size_t i = 0; i < readings->count; i++) {
        double x = readings->places[i].x - mean_x, y = readings->places[i].y - mean_y;
        xx += x * x;
        xy += x * y;
        yy += y * y;
    }
    double middle = (xx + yy) / 2, radius = hypot((xx - yy) / 2, xy), along = atan2(2 * xy, xx - yy) / 2;
    if (n < 3 || middle + radius <= 0)
        return false;
    double least = fmax(middle - radius, 0);
    *width = sqrt(12 * least / n);
    *out = (foci_line){
        .middle = {mean_x, mean_y}, .across = {-sin(along), cos(along)}, .ratio = sqrt(least / (middle + radius))};
    return true;
}

static double extent_across(const foci_multipolygon *shape, foci_point across) {
    double least = INFINITY, most = -INFINITY;
    for (size_t p = 0; p < shape->count; p++)
        for (size_t i = 0; i < shape->polygons[p].rings[0].count; i++) {
            foci_point corner = shape->polygons[p].rings[0].points[i];
            double place = corner.x * across.x + corner.y * across.y;
            least = fmin(least, place);
            most = fmax(most, place);
        }
    return most - least;
}

/* A long strip is covered by stops that lie in a long strip: what counts is the ground left to either side. Without a
 * boundary stops are believed to lie more than one deep where they spread over two of their spacings. */
static bool leaves_ground_aside(const foci_line *line, double width, const foci_multipolygon *field) {
    if (!field)
        return width < 2 * line->spacing;
    double extent = extent_across(field, line->across);
    return width < extent / 2 && extent - width > line->spacing;
}

bool foci_one_line(foci_line *out, bool *is, const foci_readings *readings, const foci_multipolygon *field,
                   foci_error *err) {
    foci_line line;
    double width = 0;
    *is = false;
    if (!measure(&line, &width, readings) || line.ratio >= LEAST_RATIO)
        return true;
    if (!foci_readings_spacing(&line.spacing, readings, err))
        return false;
    *is = leaves_ground_aside(&line, width, field);
    if (*is)
        *out = line;
    return true;
}
