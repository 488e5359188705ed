#include "decide/pattern/likeness.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/frame.h"
#include "base/memory.h"
#include "base/parallel.h"
#include "base/random.h"

#define RATIO_OF_ROWS 2.5
/* The stops that are looked at, along and across the rows in units of the distance between evenly spread stops. */
typedef struct {
    size_t count;
    double *along, *across, *z;
} sample;

static void sample_free(sample *s) {
    free(s->along);
    free(s->across);
    free(s->z);
}

/* ---- readings ---- */

typedef struct {
    double value;
    size_t index;
} ranked;

static int by_value(const void *a, const void *b) {
    const ranked *x = a, *y = b;
    return x->value != y->value ? (x->value > y->value) - (x->value < y->value)
                                : (x->index > y->index) - (x->index < y->index);
}

/* Equal values share the mean of their ranks. */
static bool put_ranks(double *z, size_t count, foci_error *err) {
    ranked *items = foci_new_array(count, sizeof *items, err);
    if (!items)
        return false;
    for (size_t i = 0; i < count; i++)
        items[i] = (ranked){z[i], i};
    qsort(items, count, sizeof *items, by_value);
    for (size_t first = 0, end; first < count; first = end) {
        for (end = first + 1; end < count && items[end].value == items[first].value;)
            end++;
        for (size_t i = first; i < end; i++)
            z[items[i].index] = (double)(first + end - 1) / 2;
    }
    free(items);
    return true;
}

/* Less their mean; false where they do not differ. */
static bool centre(double *z, size_t count) {
    double mean = 0, least = INFINITY, most = -INFINITY;
    for (size_t i = 0; i < count; i++) {
        mean += z[i] / (double)count;
        least = fmin(least, z[i]);
        most = fmax(most, z[i]);
    }
    for (size_t i = 0; i < count; i++)
        z[i] -= mean;
    return most - least > 1e-12 * (fabs(most) + fabs(least));
}

/* ---- which stops, and where ---- */

/* All of them, or FOCI_LIKENESS_STOPS of them by lot, in the readings' order. */
static bool choose(size_t **out, size_t *count, size_t all, uint64_t seed, foci_error *err) {
    size_t *order = foci_new_array(all, sizeof *order, err);
    bool *taken = foci_new_array(all, sizeof *taken, err);
    *out = order;
    *count = 0;
    if (order && taken) {
        foci_random draws = foci_random_stream(seed, 0);
        foci_random_order(&draws, order, all);
        for (size_t i = 0; i < all; i++)
            taken[order[i]] = i < FOCI_LIKENESS_STOPS;
        for (size_t i = 0; i < all; i++)
            if (taken[i])
                order[(*count)++] = i;
    }
    free(taken);
    return order && *count > 0;
}

static bool scale_places(sample *s, const foci_point *places, const size_t *chosen, double heading, foci_error *err) {
    double area = 0;
    foci_point *own = foci_new_array(s->count, sizeof *own, err);
    if (!own)
        return false;
    for (size_t i = 0; i < s->count; i++)
        own[i] = places[chosen[i]];
    bool ok = foci_convex_hull_area(&area, own, s->count, err);
    double root = sqrt((double)s->count), spacing = sqrt(area) / (root - 1);
    if (!(spacing > 0)) { /* on one line: from end to end */
        double reach = 0;
        for (size_t i = 1; i < s->count; i++)
            reach = fmax(reach, hypot(own[i].x - own[0].x, own[i].y - own[0].y));
        spacing = reach > 0 ? reach / (double)s->count : 1;
    }
    const foci_frame rows = foci_frame_make(own, s->count, heading);
    foci_frame_turn(&rows, own, s->count, s->along, s->across);
    for (size_t i = 0; i < s->count; i++) {
        s->along[i] /= spacing;
        s->across[i] /= spacing;
    }
    free(own);
    return ok;
}

/* An empirical logit, or the score. */
static double reading_of(const foci_readings *readings, foci_reading_kind kind, size_t stop) {
    if (kind != FOCI_READING_COUNT)
        return readings->values[stop];
    double y = readings->hits[stop], n = readings->checked[stop];
    return log((y + 0.5) / (n - y + 0.5));
}

static bool sample_make(sample *s, bool *differ, const foci_readings *readings, foci_reading_kind kind,
                        const foci_likeness_options *options, foci_error *err) {
    size_t *chosen = NULL;
    bool ok = choose(&chosen, &s->count, readings->count, options->seed, err);
    if (!ok)
        goto done;
    s->along = foci_new_array(s->count, sizeof *s->along, err);
    s->across = foci_new_array(s->count, sizeof *s->across, err);
    s->z = foci_new_array(s->count, sizeof *s->z, err);
    ok = s->along && s->across && s->z;
    for (size_t i = 0; ok && i < s->count; i++)
        s->z[i] = reading_of(readings, kind, chosen[i]);
    ok = ok && (kind == FOCI_READING_COUNT || put_ranks(s->z, s->count, err)) &&
         scale_places(s, readings->places, chosen, options->row_heading, err);
    *differ = ok && centre(s->z, s->count);
done:
    free(chosen);
    return ok;
}

/* ---- kernels and orders ---- */

/* The lower triangle, row after row. */
static void fill_kernel(double *kernel, const sample *s, size_t which) {
    const double reach = 0.5 * (double)(1U << (which % FOCI_LIKENESS_RANGES));
    const double ratio = which < FOCI_LIKENESS_RANGES ? 1 : RATIO_OF_ROWS;
    for (size_t i = 1; i < s->count; i++)
        for (size_t j = 0; j < i; j++)
            *kernel++ = exp(-hypot(s->along[i] - s->along[j], ratio * (s->across[i] - s->across[j])) / reach);
}

static double likeness_of(const double *kernel, const double *z, size_t count) {
    double sum = 0;
    for (size_t i = 1; i < count; i++) {
        double row = 0;
        for (size_t j = 0; j < i; j++)
            row += kernel[j] * z[j];
        kernel += i;
        sum += row * z[i];
    }
    return sum;
}

typedef struct {
    double *likeness; /* of each order, the own one first */
    const double *kernel;
    const sample *s;
    double *z;     /* one row of readings a thread */
    size_t *order; /* one row of places a thread */
    uint64_t seed;
} measuring;

static bool measure(void *context, size_t thread, size_t k, foci_error *err) {
    const measuring *m = context;
    const sample *s = m->s;
    double *mine = m->z + thread * s->count;
    size_t *places = m->order + thread * s->count;
    (void)err;
    foci_random draws = foci_random_stream(m->seed, k);
    foci_random_order(&draws, places, s->count);
    for (size_t i = 0; i < s->count; i++)
        mine[i] = s->z[k ? places[i] : i];
    m->likeness[k] = likeness_of(m->kernel, mine, s->count);
    return true;
}

/* The largest so far of what each order is in deviations from the mean of all. */
static void raise(double *largest, double *likeness, size_t orders) {
    double mean = 0, squares = 0;
    for (size_t k = 0; k < orders; k++)
        mean += likeness[k] / (double)orders;
    for (size_t k = 0; k < orders; k++)
        squares += (likeness[k] - mean) * (likeness[k] - mean);
    const double deviation = sqrt(squares / (double)orders);
    /* places all the same distance apart: what differs is rounding */
    for (size_t k = 0; k < orders && deviation > 1e-9 * fabs(mean); k++)
        largest[k] = fmax(largest[k], (likeness[k] - mean) / deviation);
}

static bool permute(double *p, const sample *s, const foci_likeness_options *options, const foci_execution *how,
                    foci_error *err) {
    const size_t orders = options->permutations + 1, pairs = s->count * (s->count - 1) / 2;
    const size_t kernels = isnan(options->row_heading) ? FOCI_LIKENESS_RANGES : 2 * FOCI_LIKENESS_RANGES;
    const size_t threads = foci_parallel_threads(how, orders);
    double *kernel = foci_new_array(pairs, sizeof *kernel, err);
    double *likeness = foci_new_array(2 * orders, sizeof *likeness, err), *largest = likeness + orders;
    double *z = foci_new_array(threads * s->count, sizeof *z, err);
    size_t *order = foci_new_array(threads * s->count, sizeof *order, err);
    const measuring m = {likeness, kernel, s, z, order, options->seed};
    bool ok = kernel && likeness && z && order;
    for (size_t k = 0; ok && k < orders; k++)
        largest[k] = -INFINITY;
    for (size_t which = 0; ok && which < kernels; which++) {
        const foci_execution part =
            foci_execution_part(how, (double)which / (double)kernels, (double)(which + 1) / (double)kernels);
        fill_kernel(kernel, s, which);
        ok = foci_parallel(orders, &part, measure, (void *)&m, err);
        if (ok)
            raise(largest, likeness, orders);
    }
    size_t reached = 0;
    for (size_t k = 0; ok && k < orders; k++) /* the tolerance keeps equal orders equal */
        reached += largest[k] >= largest[0] - 1e-9 * fabs(largest[0]) - 1e-15;
    *p = (double)reached / (double)orders;
    free(order);
    free(z);
    free(likeness);
    free(kernel);
    return ok;
}

bool foci_likeness_test(double *p, const foci_readings *readings, foci_reading_kind kind,
                        const foci_likeness_options *options, const foci_execution *how, foci_error *err) {
    sample s = {0};
    bool differ = false;
    *p = NAN;
    if (readings->count < 3)
        return true;
    bool ok = sample_make(&s, &differ, readings, kind, options, err);
    if (ok && differ)
        ok = permute(p, &s, options, how, err);
    sample_free(&s);
    return ok;
}
