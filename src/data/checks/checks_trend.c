/* Whether readings rise from one edge of the field to the other. */
#include "data/checks/checks.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/probability.h"

/* The plane must hold this share of the ranks' variation, and more than chance gives (our choice, no source). */
static const double share_least = 0.3, chance_most = 0.01;

/* Squared: below, the stops are as good as one line, and a slope across it cannot be told. */
static const double line_ratio = 0.01;

static const double pi = 3.141592653589793;

typedef struct {
    double value;
    size_t reading;
} ranked;

static int by_value(const void *a, const void *b) {
    const ranked *p = a, *q = b;
    if (p->value != q->value)
        return p->value < q->value ? -1 : 1;
    return (p->reading > q->reading) - (p->reading < q->reading);
}

/* Less their mean; equal readings share the mean of their ranks. `order` is scratch of as many. */
static void rank_readings(double *ranks, ranked *order, const foci_readings *readings) {
    const size_t n = readings->count;
    for (size_t i = 0; i < n; i++)
        order[i] = (ranked){readings->values[i], i};
    qsort(order, n, sizeof *order, by_value);
    for (size_t i = 0, next = 0; i < n; i = next) {
        for (next = i + 1; next < n && order[next].value == order[i].value;)
            next++;
        for (size_t k = i; k < next; k++)
            ranks[order[k].reading] = ((double)(i + next - 1) - (double)(n - 1)) / 2;
    }
}

typedef struct {
    double share;   /* of the ranks' variation that lies in the plane; 0 where there is no plane */
    double chance;  /* of that much or more without any trend */
    double heading; /* degrees clockwise from north, toward which it rises */
} plane;

/* Least squares along the principal axes of the places, where the sums part. */
static plane plane_make(const foci_point *places, const double *ranks, size_t n) {
    double x = 0, y = 0, xx = 0, xy = 0, yy = 0, xr = 0, yr = 0, rr = 0;
    for (size_t i = 0; i < n; i++) {
        x += places[i].x / (double)n;
        y += places[i].y / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        const double east = places[i].x - x, north = places[i].y - y;
        xx += east * east;
        xy += east * north;
        yy += north * north;
        xr += east * ranks[i];
        yr += north * ranks[i];
        rr += ranks[i] * ranks[i];
    }
    const double half = hypot((xx - yy) / 2, xy), along = (xx + yy) / 2 + half, across = (xx + yy) / 2 - half;
    if (!(rr > 0) || !(along > 0))
        return (plane){.chance = 1};
    const double turn = atan2(2 * xy, xx - yy) / 2, c = cos(turn), s = sin(turn);
    const bool flat = across < line_ratio * along;
    const double terms = flat ? 1 : 2, u = (c * xr + s * yr) / along, v = flat ? 0 : (c * yr - s * xr) / across;
    const double share = fmin(1, (u * u * along + v * v * across) / rr);
    return (plane){.share = share,
                   .chance = foci_beta_below(((double)n - terms - 1) / 2, terms / 2, 1 - share),
                   .heading = atan2(c * u - s * v, s * u + c * v) * 180 / pi};
}

static const char *compass(double heading) {
    static const char *const points[] = {"north", "northeast", "east", "southeast",
                                         "south", "southwest", "west", "northwest"};
    return points[(size_t)lround(heading / 45 + 8) % 8];
}

static bool say(foci_findings *findings, const plane *found, bool counts, foci_error *err) {
    if (found->share < share_least || found->chance > chance_most)
        return true;
    return foci_findings_add(findings, NULL, FOCI_NOTE, NULL, NULL, 0, err,
                             "The readings rise from one edge of the field to the other, toward the %s: how far a stop "
                             "lies that way tells %.0f %% of how they rank; look for what changes that way (soil, "
                             "water, the neighbor's field); %s--trend 1 lets the map follow it.",
                             compass(found->heading), 100 * found->share, counts ? "--surface kriging " : "");
}

bool foci_check_trend(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                      const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    size_t used = 0;
    foci_readings readings = {0};
    for (size_t i = 0; i < stops->count; i++)
        used += stops->items[i].used;
    if (used < (size_t)FOCI_STOPS_FOR_MAP)
        return true;
    if (!foci_readings_make(&readings, stops, err))
        return false;
    double *ranks = foci_new_array(readings.count, sizeof *ranks, err);
    ranked *order = ranks ? foci_new_array(readings.count, sizeof *order, err) : NULL;
    bool ok = order != NULL;
    if (ok) {
        rank_readings(ranks, order, &readings);
        const plane found = plane_make(readings.places, ranks, readings.count);
        ok = say(findings, &found, stops->kind == FOCI_READING_COUNT, err);
    }
    free(order);
    free(ranks);
    foci_readings_free(&readings);
    return ok;
}
