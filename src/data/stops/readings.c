#include "fieldfoci/stops.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

/* ---- the used stops ---- */

static void add_pooled(foci_readings *readings, const foci_stops *stops, const size_t *reading_of, size_t *shares) {
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        if (stop->pooled_into == FOCI_NOT_POOLED || !stops->items[stop->pooled_into].used)
            continue;
        size_t reading = reading_of[stop->pooled_into];
        readings->hits[reading] += stop->hits;
        readings->checked[reading] += stop->checked;
        readings->values[reading] += stop->value;
        if (readings->low) {
            readings->low[reading] += stop->low;
            readings->high[reading] += stop->high;
        }
        shares[reading]++;
    }
    for (size_t r = 0; r < readings->count; r++) {
        if (shares[r] == 1)
            continue;
        if (stops->kind == FOCI_READING_COUNT)
            readings->values[r] = 100 * readings->hits[r] / readings->checked[r];
        else
            readings->values[r] /= (double)shares[r];
        if (readings->low) {
            readings->low[r] /= (double)shares[r];
            readings->high[r] /= (double)shares[r];
        }
    }
}

static bool allocate(foci_readings *readings, size_t count, foci_error *err) {
    return (readings->places = foci_new_array(count, sizeof *readings->places, err)) &&
           (readings->values = foci_new_array(count, sizeof *readings->values, err)) &&
           (readings->hits = foci_new_array(count, sizeof *readings->hits, err)) &&
           (readings->checked = foci_new_array(count, sizeof *readings->checked, err)) &&
           (readings->stops = foci_new_array(count, sizeof *readings->stops, err));
}

static bool allocate_limits(foci_readings *readings, size_t count, foci_error *err) {
    return (readings->low = foci_new_array(count, sizeof *readings->low, err)) &&
           (readings->high = foci_new_array(count, sizeof *readings->high, err));
}

static void take_stop(foci_readings *readings, const foci_stop *stop, size_t index) {
    const size_t r = readings->count++;
    readings->places[r] = stop->place;
    readings->values[r] = stop->value;
    readings->hits[r] = stop->hits;
    readings->checked[r] = stop->checked;
    readings->stops[r] = index;
    if (readings->low) {
        readings->low[r] = stop->low;
        readings->high[r] = stop->high;
    }
}

bool foci_readings_make(foci_readings *out, const foci_stops *stops, foci_error *err) {
    foci_readings readings = {.none = stops->least};
    size_t *reading_of = NULL, *shares = NULL;
    bool ok = false;
    reading_of = foci_new_array(stops->count, sizeof *reading_of, err);
    if (!reading_of)
        goto done;
    shares = foci_new_array(stops->count, sizeof *shares, err);
    if (!shares || !allocate(&readings, stops->count, err) ||
        (stops->scale.count > 0 && !stops->index && !allocate_limits(&readings, stops->count, err)))
        goto done;
    for (size_t i = 0; i < stops->count; i++) {
        if (!stops->items[i].used)
            continue;
        reading_of[i] = readings.count;
        shares[readings.count] = 1;
        take_stop(&readings, &stops->items[i], i);
    }
    if (readings.count == 0) {
        foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "no stop can be used; see what the data checks say of each");
        goto done;
    }
    add_pooled(&readings, stops, reading_of, shares);
    if (!foci_readings_measure(&readings, err))
        goto done;
    *out = readings;
    readings = (foci_readings){0};
    ok = true;
done:
    free(reading_of);
    free(shares);
    foci_readings_free(&readings);
    return ok;
}

void foci_readings_free(foci_readings *readings) {
    free(readings->places);
    free(readings->values);
    free(readings->hits);
    free(readings->checked);
    free(readings->stops);
    free(readings->low);
    free(readings->high);
    *readings = (foci_readings){0};
}

bool foci_readings_copy(foci_readings *out, const foci_readings *readings, foci_error *err) {
    foci_readings copy = {
        .count = readings->count, .none = readings->none, .spread = readings->spread, .spacing = readings->spacing};
    if (!allocate(&copy, readings->count, err) || (readings->low && !allocate_limits(&copy, readings->count, err))) {
        foci_readings_free(&copy);
        return false;
    }
    for (size_t i = 0; i < readings->count; i++) {
        copy.places[i] = readings->places[i];
        copy.values[i] = readings->values ? readings->values[i] : NAN;
        copy.hits[i] = readings->hits ? readings->hits[i] : NAN;
        copy.checked[i] = readings->checked ? readings->checked[i] : NAN;
        copy.stops[i] = readings->stops ? readings->stops[i] : i;
        if (readings->low) {
            copy.low[i] = readings->low[i];
            copy.high[i] = readings->high[i];
        }
    }
    *out = copy;
    return true;
}

/* ---- from plain arrays ---- */

static bool check_count(size_t row, double hits, double checked, foci_error *err) {
    if (!(checked >= 1 && checked <= FOCI_CHECKED_MOST) || checked != floor(checked))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)row + 1, "%g units looked at is no whole number from 1 to %g",
                         checked, FOCI_CHECKED_MOST);
    if (!(hits >= 0 && hits <= checked) || hits != floor(hits))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)row + 1,
                         "%g infected is no whole number from 0 to the %g "
                         "looked at",
                         hits, checked);
    return true;
}

typedef struct {
    foci_point at;
    size_t row;
} numbered_place;

static int by_place(const void *a, const void *b) {
    const foci_point *p = &((const numbered_place *)a)->at, *q = &((const numbered_place *)b)->at;
    if (p->x != q->x)
        return p->x < q->x ? -1 : 1;
    return (p->y > q->y) - (p->y < q->y);
}

static bool check_places(const foci_point *places, size_t count, foci_error *err) {
    bool ok = true;
    numbered_place *order = foci_new_array(count, sizeof *order, err);
    if (!order)
        return false;
    for (size_t i = 0; ok && i < count; i++) {
        order[i] = (numbered_place){places[i], i};
        ok = (isfinite(places[i].x) && isfinite(places[i].y)) ||
             foci_fail(err, FOCI_BAD_INPUT, NULL, (long)i + 1, "the place is no place; give meters, east and north");
    }
    if (ok)
        qsort(order, count, sizeof *order, by_place);
    for (size_t i = 1; ok && i < count; i++)
        ok =
            by_place(&order[i - 1], &order[i]) != 0 || foci_fail(err, FOCI_BAD_INPUT, NULL, (long)order[i].row + 1,
                                                                 "the place is given twice; put its readings together");
    free(order);
    return ok;
}

/* All of the arrays but what was read. */
static bool begin(foci_readings *out, const foci_point *places, size_t count, foci_error *err) {
    if (count == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "there are no readings; give some");
    if (!check_places(places, count, err))
        return false;
    if (!allocate(out, count, err)) {
        foci_readings_free(out);
        return false;
    }
    out->count = count;
    for (size_t i = 0; i < count; i++) {
        out->places[i] = places[i];
        out->hits[i] = out->checked[i] = NAN;
        out->stops[i] = i;
    }
    return true;
}

static bool finish(foci_readings *out, foci_readings *readings, bool ok, foci_error *err) {
    ok = ok && foci_readings_measure(readings, err);
    if (ok)
        *out = *readings;
    else
        foci_readings_free(readings);
    return ok;
}

bool foci_readings_of_counts(foci_readings *out, const foci_point *places, const double *hits, const double *checked,
                             size_t count, foci_error *err) {
    foci_readings readings = {0};
    bool ok = begin(&readings, places, count, err);
    for (size_t i = 0; ok && i < count; i++) {
        ok = check_count(i, hits[i], checked[i], err);
        readings.hits[i] = hits[i];
        readings.checked[i] = checked[i];
        readings.values[i] = ok ? 100 * hits[i] / checked[i] : NAN;
    }
    return finish(out, &readings, ok, err);
}

bool foci_readings_of_scores(foci_readings *out, const foci_point *places, const double *scores, double none,
                             size_t count, foci_error *err) {
    foci_readings readings = {.none = none};
    bool ok = begin(&readings, places, count, err);
    for (size_t i = 0; ok && i < count; i++) {
        ok = (isfinite(scores[i]) && scores[i] >= none) ||
             foci_fail(err, FOCI_BAD_INPUT, NULL, (long)i + 1, "%g is no score of %g and up", scores[i], none);
        readings.values[i] = scores[i];
    }
    return finish(out, &readings, ok, err);
}

/* ---- what they look like together ---- */

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double sorted_median(const double *sorted, size_t count) {
    return count % 2 ? sorted[count / 2] : (sorted[count / 2 - 1] + sorted[count / 2]) / 2;
}

bool foci_readings_find_range(foci_reading_range *out, const foci_readings *readings, foci_error *err) {
    size_t count = readings->count;
    foci_reading_range spread = {NAN, NAN, NAN, NAN, 0};
    double *sorted = foci_new_array(count, sizeof *sorted, err);
    if (!sorted)
        return false;
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        sorted[i] = readings->values[i];
        sum += sorted[i];
        spread.zeros += sorted[i] == readings->none;
    }
    qsort(sorted, count, sizeof *sorted, by_size);
    if (count) {
        spread.min = sorted[0];
        spread.max = sorted[count - 1];
        spread.mean = sum / (double)count;
        spread.median = sorted_median(sorted, count);
    }
    free(sorted);
    *out = spread;
    return true;
}

static int by_x(const void *a, const void *b) {
    const foci_point *p = a, *q = b;
    if (p->x != q->x)
        return p->x < q->x ? -1 : 1;
    return (p->y > q->y) - (p->y < q->y);
}

/* Places are in order of x: beyond the best distance in x nothing can be nearer. */
static double nearest_distance(const foci_point *places, size_t count, size_t i) {
    double best = INFINITY;
    for (size_t j = i; j-- > 0 && places[i].x - places[j].x < best;)
        best = fmin(best, hypot(places[i].x - places[j].x, places[i].y - places[j].y));
    for (size_t j = i + 1; j < count && places[j].x - places[i].x < best; j++)
        best = fmin(best, hypot(places[i].x - places[j].x, places[i].y - places[j].y));
    return best;
}

bool foci_readings_spacing(double *out, const foci_readings *readings, foci_error *err) {
    size_t count = readings->count;
    *out = NAN;
    if (count < 2)
        return true;
    foci_point *places = foci_new_array(count, sizeof *places, err);
    double *distances = places ? foci_new_array(count, sizeof *distances, err) : NULL;
    if (distances) {
        for (size_t i = 0; i < count; i++)
            places[i] = readings->places[i];
        qsort(places, count, sizeof *places, by_x);
        for (size_t i = 0; i < count; i++)
            distances[i] = nearest_distance(places, count, i);
        qsort(distances, count, sizeof *distances, by_size);
        *out = sorted_median(distances, count);
    }
    free(places);
    free(distances);
    return distances != NULL;
}

bool foci_readings_measure(foci_readings *readings, foci_error *err) {
    return foci_readings_find_range(&readings->spread, readings, err) &&
           foci_readings_spacing(&readings->spacing, readings, err);
}
