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
        shares[reading]++;
    }
    for (size_t r = 0; r < readings->count; r++) {
        if (shares[r] == 1)
            continue;
        if (stops->kind == FOCI_READING_COUNT)
            readings->values[r] = 100 * readings->hits[r] / readings->checked[r];
        else
            readings->values[r] /= (double)shares[r];
    }
}

static bool allocate(foci_readings *readings, size_t count, foci_error *err) {
    return (readings->places = foci_new_array(count, sizeof *readings->places, err)) &&
           (readings->values = foci_new_array(count, sizeof *readings->values, err)) &&
           (readings->hits = foci_new_array(count, sizeof *readings->hits, err)) &&
           (readings->checked = foci_new_array(count, sizeof *readings->checked, err)) &&
           (readings->stops = foci_new_array(count, sizeof *readings->stops, err));
}

bool foci_readings_make(foci_readings *out, const foci_stops *stops, foci_error *err) {
    foci_readings readings = {.none = stops->least};
    size_t *reading_of = NULL, *shares = NULL;
    bool ok = false;
    reading_of = foci_new_array(stops->count, sizeof *reading_of, err);
    if (!reading_of)
        goto done;
    shares = foci_new_array(stops->count, sizeof *shares, err);
    if (!shares || !allocate(&readings, stops->count, err))
        goto done;
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        if (!stop->used)
            continue;
        size_t r = readings.count++;
        readings.places[r] = stop->place;
        readings.values[r] = stop->value;
        readings.hits[r] = stop->hits;
        readings.checked[r] = stop->checked;
        readings.stops[r] = i;
        reading_of[i] = r;
        shares[r] = 1;
    }
    if (readings.count == 0) {
        foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "no stop can be used; see what the data checks say of each");
        goto done;
    }
    add_pooled(&readings, stops, reading_of, shares);
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
    *readings = (foci_readings){0};
}

/* ---- what they look like together ---- */

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double sorted_median(const double *sorted, size_t count) {
    return count % 2 ? sorted[count / 2] : (sorted[count / 2 - 1] + sorted[count / 2]) / 2;
}

bool foci_readings_spread(foci_spread *out, const foci_readings *readings, foci_error *err) {
    size_t count = readings->count;
    foci_spread spread = {NAN, NAN, NAN, NAN, 0};
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
