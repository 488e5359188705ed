#include "data/checks/checks.h"

#include <math.h>

#include "data/checks/reasons.h"
#include "data/places/projection.h"

const foci_check foci_check_table[] = {
    {FOCI_HOW_READ, "choices that were made in reading the files", foci_check_how_read},
    {"no place", "stops without coordinates", foci_check_no_place},
    {"swapped coordinates", "longitude and latitude exchanged, judged by the boundary", foci_check_swapped},
    {"minutes as decimals", "degrees and minutes written as decimal degrees, judged by the boundary",
     foci_check_minutes},
    {"wrong sign", "longitude or latitude without its minus sign, judged by the boundary", foci_check_sign},
    {"no fix", "coordinates (0, 0): the receiver knew no place", foci_check_no_fix},
    {"no such place", "coordinates that are nowhere on earth or cannot be projected", foci_check_no_such_place},
    {"outside the field", "stops beyond the boundary: used up to 10 m, left out farther away", foci_check_outside},
    {"ordinal scale", "scores read as the percents of their classes, and scores that are no class", foci_check_ordinal},
    {"blank reading", "stops without a reading: blank is not zero", foci_check_blank},
    {"text for a number", "stops whose reading is no number", foci_check_text},
    {"impossible reading",
     "beyond what it can be, not finite, more infected than looked at, none or too many looked at",
     foci_check_impossible},
    {"no date", "dates that cannot be read", foci_check_date},
    {"shared place", "stops within 1 cm of each other, pooled into one reading", foci_check_shared_place},
    {"repeated place", "three stops and more at one place: a receiver that stood still", foci_check_repeated_place},
    {"close stops", "stops within 3 m of another one: nearer than a receiver can tell", foci_check_close_stops},
    {"on the edge", "stops within 5 m of the field's edge, or of a hole's", foci_check_edge},
    {"one line", "stops along one line, in a field that is wider than they are", foci_check_one_line},
    {"uneven effort", "units looked at differ more than twofold", foci_check_uneven_effort},
    {"few stops", "fewer than 20 usable stops", foci_check_few_stops},
    {"days apart", "dates more than 7 days apart", foci_check_days_apart},
    {"raters", "stops rated by more than one person", foci_check_raters},
    {"looks like a scale", "amounts that are whole or half numbers of 0 to 11, as classes of a scale are",
     foci_check_like_scale},
    {"all zero", "no disease at any stop", foci_check_all_zero},
    {"all equal", "the same reading at every stop", foci_check_all_equal},
    {"mostly zero", "more than 70 % of the readings are zero", foci_check_mostly_zero},
    {"one stop dominates", "one stop holds more than half of the total", foci_check_one_stop_dominates},
    {"trend", "readings that rise from one edge of the field to the other", foci_check_trend},
    {"coarse coordinates", "degrees with 4 or fewer decimals", foci_check_coarse_place},
    {0},
};

/* Geodesic, so that it holds even where the work system no longer does. */
static double nearest_km(const foci_stops *stops, const foci_multipolygon *field_lonlat) {
    foci_point centre = foci_multipolygon_centroid(field_lonlat);
    double nearest = INFINITY;
    for (size_t i = 0; i < stops->count; i++) {
        foci_point place = stops->items[i].lonlat;
        if (fabs(place.y) <= 90)
            nearest = fmin(nearest, foci_geodesic_distance(place, centre));
    }
    return nearest / 1000;
}

static bool none_left(const foci_stops *stops, const foci_multipolygon *field_lonlat, foci_error *err) {
    size_t most = 0, most_count = 0;
    for (size_t kind = 0; kind < FOCI_REASON_END; kind++) {
        size_t count = 0;
        for (size_t i = 0; i < stops->count; i++)
            count += stops->items[i].why == foci_reasons[kind].why;
        if (count > most_count) {
            most = kind;
            most_count = count;
        }
    }
    const foci_reason *reason = &foci_reasons[most];
    const char *file = stops->input_count == 1 ? stops->inputs[0].file : NULL;
    if (most == FOCI_REASON_OUTSIDE && field_lonlat)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "no stop can be used: %zu of %zu %s (the nearest is %.3g km from the field's middle); %s",
                         most_count, stops->count, most_count == 1 ? reason->why : reason->why_of,
                         nearest_km(stops, field_lonlat), reason->remedy);
    return foci_fail(err, FOCI_BAD_INPUT, file, 0, "no stop can be used: %zu of %zu %s; %s", most_count, stops->count,
                     most_count == 1 ? reason->why : reason->why_of, reason->remedy);
}

static bool any_used(const foci_stops *stops) {
    for (size_t i = 0; i < stops->count; i++)
        if (stops->items[i].used)
            return true;
    return false;
}

bool foci_checks_make(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                      const foci_multipolygon *field_shape, foci_error *err) {
    for (size_t i = 0; i < stops->count; i++) {
        stops->items[i].used = true;
        stops->items[i].why = "";
        stops->items[i].pooled_into = FOCI_NOT_POOLED;
    }
    for (const foci_check *check = foci_check_table; check->name; check++) {
        size_t before = findings->count;
        bool ok = check->make(findings, stops, field_lonlat, field_shape, err);
        for (size_t i = before; i < findings->count; i++)
            findings->items[i].what = check->name;
        if (!ok)
            return false;
    }
    return any_used(stops) || none_left(stops, field_lonlat, err);
}
