/* How the places lie together, and how well they are known. */
#include "data/checks.h"

#include <math.h>

#include "data/projection.h"

/* ---- one walked line ---- */

/* The used places along their principal axes. */
typedef struct {
    foci_point across; /* unit vector of the second axis */
    double ratio;      /* spread across over spread along */
    double width;      /* meters across, of an even spread with that deviation */
} place_spread;

static bool measure_spread(place_spread *out, const foci_stops *stops) {
    double n = 0, mean_x = 0, mean_y = 0, xx = 0, xy = 0, yy = 0;
    for (size_t i = 0; i < stops->count; i++) {
        if (!stops->items[i].used)
            continue;
        n++;
        mean_x += (stops->items[i].place.x - mean_x) / n;
        mean_y += (stops->items[i].place.y - mean_y) / n;
    }
    for (size_t i = 0; i < stops->count; i++) {
        if (!stops->items[i].used)
            continue;
        double x = stops->items[i].place.x - mean_x, y = stops->items[i].place.y - mean_y;
        xx += x * x;
        xy += x * y;
        yy += y * y;
    }
    double middle = (xx + yy) / 2, radius = hypot((xx - yy) / 2, xy), along = atan2(2 * xy, xx - yy) / 2;
    if (n < 3 || middle + radius <= 0)
        return false;
    double least = fmax(middle - radius, 0);
    *out = (place_spread){
        .across = {-sin(along), cos(along)}, .ratio = sqrt(least / (middle + radius)), .width = sqrt(12 * least / n)};
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
static bool leaves_ground_aside(const place_spread *spread, double spacing, const foci_multipolygon *field_shape) {
    if (!field_shape)
        return spread->width < 2 * spacing;
    double field = extent_across(field_shape, spread->across);
    return spread->width < field / 2 && field - spread->width > spacing;
}

bool foci_check_one_line(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                         const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat;
    place_spread spread;
    foci_readings readings = {0};
    if (!measure_spread(&spread, stops) || spread.ratio >= 0.1)
        return true;
    if (!foci_readings_make(&readings, stops, err))
        return false;
    double spacing = foci_readings_spacing(&readings);
    foci_readings_free(&readings);
    if (!leaves_ground_aside(&spread, spacing, field_shape))
        return true;
    return foci_findings_add(findings, NULL, FOCI_WARNING, NULL, NULL, 0, err,
                             "The stops lie %s one line (%.1f %% as wide as long): the map says nothing to either side "
                             "of it; step across the rows between stops.",
                             spread.ratio < 0.01 ? "on" : "almost on", 100 * spread.ratio);
}

/* ---- how well a place is known ---- */

/* The step of a coordinate's last decimal on the ground, by the number of decimals; 111.3 km for a degree. */
static const char *const steps[] = {"69 miles (111 km)", "7 miles (11 km)", "3,650 ft (1,110 m)", "365 ft (111 m)",
                                    "36 ft (11 m)"};

#define FINE_DECIMALS (sizeof steps / sizeof *steps)

static bool has_decimals(double degrees, size_t decimals) {
    double scaled = degrees * pow(10, (double)decimals);
    return fabs(scaled - round(scaled)) < 1e-6;
}

/* How many decimals the input's coordinates have between them; FINE_DECIMALS for that many and more, or no stop. */
static size_t decimals_of(const foci_stops *stops, size_t input) {
    size_t decimals = 0, seen = 0;
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        if (stop->input != input || !stop->used)
            continue;
        while (decimals < FINE_DECIMALS &&
               !(has_decimals(stop->own.x, decimals) && has_decimals(stop->own.y, decimals)))
            decimals++;
        seen++;
    }
    return seen ? decimals : FINE_DECIMALS;
}

bool foci_check_coarse_place(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                             const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    for (size_t i = 0; i < stops->input_count; i++) {
        const size_t decimals = decimals_of(stops, i);
        foci_crs_facts facts = {0};
        if (decimals >= FINE_DECIMALS)
            continue;
        if (!foci_crs_describe(&facts, stops->inputs[i].crs, stops->inputs[i].file, err))
            return false;
        if (facts.geographic &&
            !foci_findings_add(findings, NULL, decimals < 4 ? FOCI_WARNING : FOCI_NOTE, NULL, NULL, 0, err,
                               "The coordinates in %s have %zu decimal%s of a degree: each place is known to about %s "
                               "at best; set the receiver to 6 decimals.",
                               stops->inputs[i].file, decimals, decimals == 1 ? "" : "s", steps[decimals]))
            return false;
    }
    return true;
}
