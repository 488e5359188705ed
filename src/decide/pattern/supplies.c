#include "decide/pattern/supplies.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

static const double steps = 1e9;       /* of a score's spread */
static const double looked_most = 1e8; /* sum of units looked at: 300 stops of them fit into 64 bits */

static bool is_whole(double x) {
    return x == floor(x);
}

static const char *count_parts(foci_supplies *out, const foci_readings *readings) {
    double hits = 0, checked = 0;
    for (size_t i = 0; i < readings->count; i++) {
        double y = readings->hits[i], n = readings->checked[i];
        if (!(y >= 0 && y <= n && n > 0 && n <= looked_most) || !is_whole(y) || !is_whole(n))
            return "the counts are no whole numbers";
        hits += y;
        checked += n;
    }
    if (!(checked > 0))
        return "there are no stops";
    if (checked > looked_most)
        return "too many units were looked at";
    for (size_t i = 0; i < readings->count; i++)
        out->parts[i] = (int64_t)readings->hits[i] * (int64_t)checked - (int64_t)readings->checked[i] * (int64_t)hits;
    out->unit = 1 / checked;
    return NULL;
}

static const char *score_parts(foci_supplies *out, const foci_readings *readings) {
    double least = INFINITY, most = -INFINITY;
    int64_t total = 0, count = (int64_t)readings->count;
    for (size_t i = 0; i < readings->count; i++) {
        least = fmin(least, readings->values[i]);
        most = fmax(most, readings->values[i]);
    }
    double spread = most - least;
    if (!(spread > 0) || !isfinite(spread))
        return "the readings do not differ";
    for (size_t i = 0; i < readings->count; i++) {
        out->parts[i] = (int64_t)llround((readings->values[i] - least) / spread * steps);
        total += out->parts[i];
    }
    for (size_t i = 0; i < readings->count; i++)
        out->parts[i] = out->parts[i] * count - total;
    out->unit = spread / steps / (double)count;
    return NULL;
}

static bool all_zero(const foci_supplies *supplies, size_t count) {
    for (size_t i = 0; i < count; i++)
        if (supplies->parts[i] != 0)
            return false;
    return true;
}

bool foci_supplies_make(foci_supplies *out, const foci_readings *readings, foci_reading_kind kind, foci_error *err) {
    foci_supplies made = {0};
    if (readings->count > FOCI_SUPPLIES_STOPS_MOST) {
        *out = (foci_supplies){.left_out = "there are more than 300 stops"};
        return true;
    }
    made.parts = foci_new_array(readings->count, sizeof *made.parts, err);
    if (!made.parts)
        return false;
    made.left_out = kind == FOCI_READING_COUNT ? count_parts(&made, readings) : score_parts(&made, readings);
    if (!made.left_out && all_zero(&made, readings->count))
        made.left_out = "the readings do not differ";
    if (made.left_out) {
        free(made.parts);
        made.parts = NULL;
    }
    *out = made;
    return true;
}

void foci_supplies_free(foci_supplies *supplies) {
    free(supplies->parts);
    *supplies = (foci_supplies){0};
}
