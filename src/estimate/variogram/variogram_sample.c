#include "estimate/variogram/variogram_sample.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/random.h"

#define SEED 1

typedef struct {
    foci_point place;
    double value, checked;
} reading;

static int by_place(const void *a, const void *b) {
    const reading *p = a, *q = b;
    if (p->place.x != q->place.x)
        return p->place.x < q->place.x ? -1 : 1;
    return (p->place.y > q->place.y) - (p->place.y < q->place.y);
}

/* Pairs no farther apart in x than `farthest`, of readings in order of x. */
static double pairs_near(const reading *items, size_t count, double farthest) {
    double pairs = 0;
    for (size_t i = 0, first = 0; i < count; i++) {
        while (items[i].place.x - items[first].place.x > farthest)
            first++;
        pairs += (double)(i - first);
    }
    return pairs;
}

/* Moves `wanted` of the items, drawn at random, to the front, in their order. */
static bool draw(reading *items, size_t count, size_t wanted, foci_error *err) {
    foci_random draws = foci_random_stream(SEED, count);
    size_t *order = foci_new_array(count, sizeof *order, err);
    bool *taken = order ? foci_new_array(count, sizeof *taken, err) : NULL;
    size_t kept = 0;
    if (taken) {
        foci_random_order(&draws, order, count);
        for (size_t i = 0; i < wanted; i++)
            taken[order[i]] = true;
        for (size_t i = 0; i < count; i++)
            if (taken[i])
                items[kept++] = items[i];
    }
    free(order);
    free(taken);
    return kept == wanted;
}

static bool hand_out(foci_readings *out, const reading *items, size_t count, foci_error *err) {
    foci_readings made = {.count = count};
    bool ok = (made.places = foci_new_array(count, sizeof *made.places, err)) &&
              (made.values = foci_new_array(count, sizeof *made.values, err)) &&
              (made.checked = foci_new_array(count, sizeof *made.checked, err));
    for (size_t i = 0; ok && i < count; i++) {
        made.places[i] = items[i].place;
        made.values[i] = items[i].value;
        made.checked[i] = items[i].checked;
    }
    if (ok)
        *out = made;
    else
        foci_readings_free(&made);
    return ok;
}

bool foci_variogram_sample(foci_readings *out, const foci_readings *readings, double farthest, foci_error *err) {
    size_t count = readings->count;
    reading *items = foci_new_array(count, sizeof *items, err);
    if (!items)
        return false;
    for (size_t i = 0; i < count; i++)
        items[i] = (reading){readings->places[i], readings->values[i], readings->checked ? readings->checked[i] : NAN};
    qsort(items, count, sizeof *items, by_place);
    const double most = FOCI_SEMIVARIANCE_STOPS * (FOCI_SEMIVARIANCE_STOPS - 1) / 2.0,
                 share = sqrt(most / fmax(pairs_near(items, count, farthest), most));
    const size_t wanted = (size_t)(share * (double)count);
    bool ok = (wanted == count || draw(items, count, wanted, err)) && hand_out(out, items, wanted, err);
    free(items);
    return ok;
}
