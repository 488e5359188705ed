#include "data/checks/checks.h"

#include <math.h>
#include <stdlib.h>

#include "base/frame.h"
#include "base/edges.h"
#include "base/longitudes.h"
#include "base/memory.h"
#include "data/checks/check_tools.h"
#include "data/places/projection.h"

/* Metres. A receiver's error in the open is 3 to 10 m (common practice, no source). */
static const double edge_allowance = 10;
/* Metres: exchanged coordinates are believed where they fall this near to the field. */
static const double near_the_field = 1000;
static const double metres_per_degree = 111320;
static const double same_place = 0.01; /* metres */

/* ---- where a stop is ---- */

static bool has_no_place(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)stops, (void)context;
    return isnan(stop->lonlat.x) || isnan(stop->lonlat.y);
}

bool foci_check_no_place(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                         const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    return foci_check_leave_out(findings, stops, FOCI_REASON_NO_PLACE, has_no_place, NULL, err);
}

/* ---- coordinates written the wrong way, judged by the boundary ---- */

static bool is_near(const foci_box *field, foci_point place) {
    const foci_box box = *field;
    double north = near_the_field / metres_per_degree;
    double east = north / fmax(cos(box.north * FOCI_DEGREE), 0.01);
    place.x = foci_longitude_near(place.x, (box.west + box.east) / 2, 5); /* across the 180th meridian */
    return place.x >= box.west - east && place.x <= box.east + east && place.y >= box.south - north &&
           place.y <= box.north + north;
}

/* Far off as it stands, at the field when written the other way. A place near the field is never judged by its mirror
 * image: fields lie across the Greenwich meridian, the equator and the line of equal longitude and latitude, too. */
static bool written_wrong(const foci_box *field, foci_point as_is, foci_point otherwise) {
    return !is_near(field, as_is) && is_near(field, otherwise);
}

static bool is_swapped(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)stops;
    return written_wrong(context, stop->lonlat, (foci_point){stop->lonlat.y, stop->lonlat.x});
}

/* 42.5812 for 42 degrees 58.12 minutes; `seconds`: for 42 degrees 58 minutes 12 seconds. */
static double from_minutes(double written, bool seconds) {
    const double size = fabs(written), degrees = floor(size), minutes = 100 * (size - degrees);
    const double whole = floor(minutes + 1e-9);
    const double value = degrees + (seconds ? whole / 60 + fmax(minutes - whole, 0) / 36 : minutes / 60);
    return minutes < 60 ? copysign(value, written) : NAN;
}

static bool has_minutes(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)stops;
    for (int seconds = 0; seconds < 2; seconds++) {
        const foci_point otherwise = {from_minutes(stop->lonlat.x, seconds), from_minutes(stop->lonlat.y, seconds)};
        if (isfinite(otherwise.x) && isfinite(otherwise.y) && written_wrong(context, stop->lonlat, otherwise))
            return true;
    }
    return false;
}

bool foci_check_minutes(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                        const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_shape;
    if (!field_lonlat)
        return true;
    const foci_box field = foci_multipolygon_box(field_lonlat);
    return foci_check_leave_out(findings, stops, FOCI_REASON_MINUTES, has_minutes, &field, err);
}

static bool lacks_longitude_sign(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)stops;
    return written_wrong(context, stop->lonlat, (foci_point){-stop->lonlat.x, stop->lonlat.y});
}

static bool lacks_latitude_sign(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)stops;
    return written_wrong(context, stop->lonlat, (foci_point){stop->lonlat.x, -stop->lonlat.y});
}

bool foci_check_swapped(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                        const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_shape;
    if (!field_lonlat)
        return true;
    const foci_box field = foci_multipolygon_box(field_lonlat);
    return foci_check_leave_out(findings, stops, FOCI_REASON_SWAPPED, is_swapped, &field, err);
}

bool foci_check_sign(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                     const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_shape;
    if (!field_lonlat)
        return true;
    const foci_box field = foci_multipolygon_box(field_lonlat);
    return foci_check_leave_out(findings, stops, FOCI_REASON_LONGITUDE_SIGN, lacks_longitude_sign, &field, err) &&
           foci_check_leave_out(findings, stops, FOCI_REASON_LATITUDE_SIGN, lacks_latitude_sign, &field, err);
}

static bool has_no_fix(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)stops;
    const foci_multipolygon *field_lonlat = context;
    bool own = stop->own.x == 0 && stop->own.y == 0;
    bool degrees = fabs(stop->lonlat.x) < 1e-6 && fabs(stop->lonlat.y) < 1e-6;
    return (own || degrees) && !(field_lonlat && foci_multipolygon_contains(field_lonlat, stop->lonlat));
}

bool foci_check_no_fix(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                       const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_shape;
    return foci_check_leave_out(findings, stops, FOCI_REASON_NO_FIX, has_no_fix, field_lonlat, err);
}

static bool is_nowhere(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)stops, (void)context;
    return fabs(stop->lonlat.x) > 360 || fabs(stop->lonlat.y) > 90 || !isfinite(stop->place.x) ||
           !isfinite(stop->place.y);
}

bool foci_check_no_such_place(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                              const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    return foci_check_leave_out(findings, stops, FOCI_REASON_NO_SUCH_PLACE, is_nowhere, NULL, err);
}

/* ---- outside the field ---- */

/* 0 inside; else metres to the boundary, a hole's edge included. */
static double distance_outside(const foci_edges *boundary, foci_point place) {
    return foci_edges_contain(boundary, place) ? 0 : foci_edges_distance(boundary, place);
}

static bool is_far_outside(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)stops;
    return distance_outside(context, stop->place) > edge_allowance;
}

/* Of the stops that are left: those outside, and how far the farthest is. */
static bool find_near(foci_stop_list *near, double *farthest, const foci_stops *stops, const foci_edges *boundary,
                      foci_error *err) {
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        double distance = stop->used ? distance_outside(boundary, stop->place) : 0;
        if (distance > 0 && !foci_stop_list_add(near, i, err))
            return false;
        *farthest = fmax(*farthest, distance);
    }
    return true;
}

bool foci_check_outside(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                        const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat;
    foci_edges boundary = {0};
    foci_stop_list near = {0};
    char *tail = NULL;
    bool ok = false;
    double farthest = 0;
    if (!field_shape)
        return true;
    if (!foci_edges_make(&boundary, field_shape, err) ||
        !foci_check_leave_out(findings, stops, FOCI_REASON_OUTSIDE, is_far_outside, &boundary, err) ||
        !find_near(&near, &farthest, stops, &boundary, err))
        goto done;
    tail = foci_format_text(err, "%s %.1f m outside the boundary and %s used all the same.",
                            near.count == 1 ? "lies" : "lie up to", farthest, near.count == 1 ? "is" : "are");
    ok = tail && foci_check_say(findings, FOCI_NOTE, stops, &near, tail, err);
done:
    free(tail);
    foci_stop_list_free(&near);
    foci_edges_free(&boundary);
    return ok;
}

/* ---- stops on one place ---- */

typedef struct {
    double x;
    size_t stop;
} x_order;

static int by_x(const void *a, const void *b) {
    const x_order *p = a, *q = b;
    if (p->x != q->x)
        return p->x < q->x ? -1 : 1;
    return (p->stop > q->stop) - (p->stop < q->stop);
}

static void pool_if_here(foci_stops *stops, size_t carrier, size_t other) {
    const foci_stop *first = &stops->items[carrier];
    foci_stop *stop = &stops->items[other];
    if (other <= carrier || !stop->used ||
        hypot(stop->place.x - first->place.x, stop->place.y - first->place.y) > same_place)
        return;
    foci_stop_leave_out(stop, FOCI_REASON_POOLED);
    stop->pooled_into = carrier;
}

/* In the stops' order, so that the first on a place carries the others; candidates are neighbours in order of x. */
static bool pool(foci_stops *stops, foci_error *err) {
    size_t count = 0;
    x_order *order = NULL;
    size_t *rank = NULL;
    bool ok = false;
    order = foci_new_array(stops->count, sizeof *order, err);
    if (!order)
        goto done;
    rank = foci_new_array(stops->count, sizeof *rank, err);
    if (!rank)
        goto done;
    for (size_t i = 0; i < stops->count; i++)
        if (stops->items[i].used)
            order[count++] = (x_order){stops->items[i].place.x, i};
    qsort(order, count, sizeof *order, by_x);
    for (size_t r = 0; r < count; r++)
        rank[order[r].stop] = r;
    for (size_t i = 0; i < stops->count; i++) {
        if (!stops->items[i].used)
            continue;
        double x = stops->items[i].place.x;
        for (size_t r = rank[i]; r-- > 0 && x - order[r].x <= same_place;)
            pool_if_here(stops, i, order[r].stop);
        for (size_t r = rank[i] + 1; r < count && order[r].x - x <= same_place; r++)
            pool_if_here(stops, i, order[r].stop);
    }
    ok = true;
done:
    free(order);
    free(rank);
    return ok;
}

bool foci_check_shared_place(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                             const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    foci_stop_list pooled = {0};
    bool ok = false;
    if (!pool(stops, err))
        return false;
    for (size_t i = 0; i < stops->count; i++)
        if (stops->items[i].pooled_into != FOCI_NOT_POOLED && !foci_stop_list_add(&pooled, i, err))
            goto done;
    bool counts = stops->kind == FOCI_READING_COUNT, one = pooled.count == 1;
    ok =
        foci_check_say(findings, FOCI_NOTE, stops, &pooled,
                       counts ? (one ? "shares its place with an earlier stop; the counts are summed."
                                     : "share their places with earlier stops; the counts of each place are summed.")
                              : (one ? "shares its place with an earlier stop; the scores are averaged."
                                     : "share their places with earlier stops; the scores of each place are averaged."),
                       err);
done:
    foci_stop_list_free(&pooled);
    return ok;
}
