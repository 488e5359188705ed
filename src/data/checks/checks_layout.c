/* How the places lie together, and how well they are known. */
#include "data/checks/check_tools.h"
#include "data/checks/checks.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/edges.h"
#include "base/memory.h"
#include "data/places/projection.h"
#include "data/stops/one_line.h"

/* ---- one walked line ---- */

static bool any_used(const foci_stops *stops) {
    for (size_t i = 0; i < stops->count; i++)
        if (stops->items[i].used)
            return true;
    return false;
}

bool foci_check_one_line(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                         const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat;
    foci_line line;
    bool is = false;
    foci_readings readings = {0};
    if (!any_used(stops))
        return true;
    if (!foci_readings_make(&readings, stops, err))
        return false;
    const bool known = foci_one_line(&line, &is, &readings, field_shape, err);
    foci_readings_free(&readings);
    if (!known || !is)
        return known;
    const char *where = line.ratio < 0.01 ? "on" : "almost on";
    return foci_findings_add(findings, NULL, FOCI_WARNING, NULL, NULL, 0, err,
                             "The stops lie %s one line (%.1f %% as wide as long): the map says nothing to either side "
                             "of it; step across the rows between stops.",
                             where, 100 * line.ratio) &&
           foci_findings_trust(findings, err,
                               "The stops lie %s one line: the map says nothing of the ground to either side of it.",
                               where);
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
        if (!facts.geographic)
            continue;
        if (!foci_findings_add(findings, NULL, decimals < 4 ? FOCI_WARNING : FOCI_NOTE, NULL, NULL, 0, err,
                               "The coordinates in %s have %zu decimal%s of a degree: each place is known to about %s "
                               "at best; set the receiver to 6 decimals.",
                               stops->inputs[i].file, decimals, decimals == 1 ? "" : "s", steps[decimals]) ||
            !foci_findings_trust(findings, err, "Each stop's place is known to about %s at best.", steps[decimals]))
            return false;
    }
    return true;
}

/* ---- a receiver that stood still ---- */

/* Two raters may have stood there on purpose. */
static bool same_place(const foci_stop *a, const foci_stop *b) {
    const char *first = a->rater ? a->rater : "", *second = b->rater ? b->rater : "";
    return a->input == b->input && a->own.x == b->own.x && a->own.y == b->own.y && strcmp(first, second) == 0 &&
           (b->used || b->pooled_into != FOCI_NOT_POOLED);
}

/* Three stops in a row with the very same coordinates are no chance (common practice, no source). */
bool foci_check_repeated_place(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                               const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    foci_stop_list list = {0};
    bool ok = true;
    for (size_t i = 0, next = 0; ok && i < stops->count; i = next) {
        for (next = i + 1; next < stops->count && same_place(&stops->items[i], &stops->items[next]);)
            next++;
        for (size_t k = i; ok && next - i >= 3 && k < next; k++)
            ok = foci_stop_list_add(&list, k, err);
    }
    ok =
        ok && foci_check_say(findings, FOCI_WARNING, stops, &list,
                             "have the very same place as the stops before or behind them: the receiver may have stood "
                             "still; fill in the true coordinates, or leave these stops out.",
                             err);
    foci_stop_list_free(&list);
    return ok;
}

/* ---- nearer than a receiver can tell ---- */

/* Metres. A receiver's error in the open is 3 to 10 m (common practice, no source). */
static const double least_error = 3;

typedef struct {
    foci_point place;
    size_t stop;
} placed;

static int by_x(const void *a, const void *b) {
    const placed *p = a, *q = b;
    if (p->place.x != q->place.x)
        return p->place.x < q->place.x ? -1 : 1;
    return (p->stop > q->stop) - (p->stop < q->stop);
}

/* near[stop]: how many others are that near. Candidates are neighbors in order of x. */
static void count_near(size_t *near, placed *order, size_t count) {
    qsort(order, count, sizeof *order, by_x);
    for (size_t i = 0; i < count; i++)
        for (size_t k = i + 1; k < count && order[k].place.x - order[i].place.x < least_error; k++) {
            const foci_point a = order[i].place, b = order[k].place;
            if (hypot(b.x - a.x, b.y - a.y) >= least_error)
                continue;
            near[order[i].stop]++;
            near[order[k].stop]++;
        }
}

/* Where most stops have several others that near, they were laid out with a tape: a small trial, not a walk. */
static bool list_near(foci_stop_list *list, const size_t *near, size_t count, size_t used, foci_error *err) {
    size_t amid = 0;
    for (size_t i = 0; i < count; i++)
        amid += near[i] >= 2;
    for (size_t i = 0; i < count && 2 * amid <= used; i++)
        if (near[i] > 0 && !foci_stop_list_add(list, i, err))
            return false;
    return true;
}

bool foci_check_close_stops(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                            const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    size_t used = 0;
    foci_stop_list list = {0};
    size_t *near = foci_new_array(stops->count, sizeof *near, err);
    placed *order = near ? foci_new_array(stops->count, sizeof *order, err) : NULL;
    bool ok = order != NULL;
    for (size_t i = 0; ok && i < stops->count; i++) {
        near[i] = 0;
        if (stops->items[i].used)
            order[used++] = (placed){stops->items[i].place, i};
    }
    if (ok)
        count_near(near, order, used);
    ok = ok && list_near(&list, near, stops->count, used, err) &&
         foci_check_say(findings, FOCI_NOTE, stops, &list,
                        "lie within 10 ft (3 m) of another stop, nearer than a receiver can tell: where one place was "
                        "looked at twice, give both the same coordinates, and their readings are put together; pairs "
                        "made on purpose may stay.",
                        err);
    foci_stop_list_free(&list);
    free(order);
    free(near);
    return ok;
}

/* ---- on the headland and the edge rows ---- */

/* Metres, as far as dig-checks stay away (common practice, no source). */
static const double edge_width = 5;

/* Negative outside. */
static double depth_of(const foci_edges *boundary, foci_point place) {
    return (foci_edges_contain(boundary, place) ? 1 : -1) * foci_edges_distance(boundary, place);
}

/* The outermost stops of an even grid stand half a spacing from the edge, and a quarter where they are shifted at
 * random; and in a narrow field nobody can stay far away, a tenth of the way to the deepest stop is enough. */
static bool edge_reach(double *out, const foci_stops *stops, const foci_edges *boundary, foci_error *err) {
    foci_readings readings = {0};
    double deepest = 0;
    if (!foci_readings_make(&readings, stops, err))
        return false;
    for (size_t i = 0; i < readings.count; i++)
        deepest = fmax(deepest, depth_of(boundary, readings.places[i]));
    *out = fmin(edge_width, deepest / 10);
    if (!isnan(readings.spacing))
        *out = fmin(*out, readings.spacing / 4);
    foci_readings_free(&readings);
    return true;
}

bool foci_check_edge(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                     const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat;
    double reach = 0;
    foci_edges boundary = {0};
    foci_stop_list list = {0};
    if (!field_shape || !any_used(stops))
        return true;
    bool ok = foci_edges_make(&boundary, field_shape, err) && edge_reach(&reach, stops, &boundary, err);
    for (size_t i = 0; ok && i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        const double depth = stop->used ? depth_of(&boundary, stop->place) : -1;
        if (depth >= 0 && depth < reach)
            ok = foci_stop_list_add(&list, i, err);
    }
    ok = ok && foci_check_say(findings, FOCI_NOTE, stops, &list,
                              list.count == 1 ? "stands on the field's edge, within 16 ft (5 m) of it: headlands and "
                                                "edge rows say little of the field inside; next time stay 33 ft "
                                                "(10 m) away, or what the field allows."
                                              : "stand on the field's edge, within 16 ft (5 m) of it: headlands and "
                                                "edge rows say little of the field inside; next time stay 33 ft "
                                                "(10 m) away, or what the field allows.",
                              err);
    foci_stop_list_free(&list);
    foci_edges_free(&boundary);
    return ok;
}
