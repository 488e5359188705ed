#include "estimate/gaussian/counts_stops.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

static bool check_stop(foci_point place, double hits, double checked, size_t number, foci_error *err) {
    if (!isfinite(place.x) || !isfinite(place.y))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)number, "the stop has no place; leave it out");
    if (!isfinite(checked) || !(checked > 0))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)number,
                         "%g units looked at; a stop needs at least one, leave it out", checked);
    if (checked > FOCI_COUNTS_UNITS)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)number,
                         "%.0f units looked at at one place are more than a surface of counts can be made of, %.0f; "
                         "correct the counts",
                         checked, FOCI_COUNTS_UNITS);
    if (!(hits >= 0 && hits <= checked))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)number,
                         "%g infected of %g looked at is impossible; correct the counts", hits, checked);
    return true;
}

static bool new_stops(foci_counts_stops *out, size_t count, foci_error *err) {
    double *block = foci_new_array(count, 5 * sizeof *block, err);
    if (!block)
        return false;
    *out = (foci_counts_stops){.count = count,
                               .u = block,
                               .v = block + count,
                               .hits = block + 2 * count,
                               .checked = block + 3 * count,
                               .log_choose = block + 4 * count};
    return true;
}

bool foci_counts_stops_make(foci_counts_stops *out, const foci_frame *frame, const foci_point *places,
                            const double *hits, const double *checked, size_t count, foci_error *err) {
    foci_counts_stops stops = {0};
    for (size_t i = 0; i < count; i++)
        if (!check_stop(places[i], hits[i], checked[i], i + 1, err))
            return false;
    if (!new_stops(&stops, count, err))
        return false;
    foci_frame_turn(frame, places, count, stops.u, stops.v);
    for (size_t i = 0; i < count; i++) {
        stops.hits[i] = hits[i];
        stops.checked[i] = checked[i];
        stops.log_choose[i] = lgamma(checked[i] + 1) - lgamma(hits[i] + 1) - lgamma(checked[i] - hits[i] + 1);
    }
    *out = stops;
    return true;
}

static void copy_stop(foci_counts_stops *to, size_t i, const foci_counts_stops *from, size_t j) {
    to->u[i] = from->u[j];
    to->v[i] = from->v[j];
    to->hits[i] = from->hits[j];
    to->checked[i] = from->checked[j];
    to->log_choose[i] = from->log_choose[j];
}

bool foci_counts_stops_pick(foci_counts_stops *out, const foci_counts_stops *from, const size_t *which, size_t count,
                            foci_error *err) {
    foci_counts_stops stops = {0};
    if (!new_stops(&stops, count, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        copy_stop(&stops, i, from, which[i]);
        stops.earlier += which[i] >= from->count - from->earlier;
    }
    *out = stops;
    return true;
}

bool foci_counts_stops_join(foci_counts_stops *out, const foci_counts_stops *own, const foci_counts_stops *earlier,
                            foci_error *err) {
    foci_counts_stops stops = {0};
    if (!new_stops(&stops, own->count + earlier->count, err))
        return false;
    stops.earlier = earlier->count;
    for (size_t i = 0; i < stops.count; i++)
        if (i < own->count)
            copy_stop(&stops, i, own, i);
        else
            copy_stop(&stops, i, earlier, i - own->count);
    *out = stops;
    return true;
}

void foci_counts_stops_free(foci_counts_stops *stops) {
    free(stops->u);
    *stops = (foci_counts_stops){0};
}
