#include "decide/pattern/transport.h"

#include "base/random.h"
#include "decide/pattern/supplies.h"
#include "support/support.h"

static foci_transport *opened(const foci_point *places, size_t count) {
    foci_error err = {0};
    foci_transport *work = NULL;
    assert_done(foci_transport_open(&work, places, count, &err), err);
    return work;
}

static foci_supplies supplied(double *hits, double *checked, size_t count) {
    foci_error err = {0};
    foci_supplies supplies = {0};
    foci_readings readings = {.count = count, .hits = hits, .checked = checked};
    assert_done(foci_supplies_make(&supplies, &readings, FOCI_READING_COUNT, &err), err);
    assert_null(supplies.left_out);
    return supplies;
}

/* The next order of what the stops hold, in rising lexical order; false after the last. */
static bool next_order(int64_t *parts, size_t count) {
    size_t i = count - 1;
    while (i > 0 && parts[i - 1] >= parts[i])
        i--;
    if (i == 0)
        return false;
    size_t j = count - 1;
    while (parts[j] <= parts[i - 1])
        j--;
    int64_t kept = parts[j];
    parts[j] = parts[i - 1];
    parts[i - 1] = kept;
    for (j = count - 1; i < j; i++, j--) {
        kept = parts[i];
        parts[i] = parts[j];
        parts[j] = kept;
    }
    return true;
}

static int by_parts(const void *a, const void *b) {
    const int64_t *x = a, *y = b;
    return (*x > *y) - (*x < *y);
}

typedef struct {
    double distance, expected, index, p;
    int orders;
} exact;

/* Over every different order of what the stops hold. */
static exact over_all_orders(const foci_point *places, double *hits, double *checked, size_t count) {
    foci_transport *work = opened(places, count);
    foci_supplies supplies = supplied(hits, checked, count);
    exact e = {.distance = foci_transport_cost(work, supplies.parts, NULL) * supplies.unit};
    double sum = 0;
    int reached = 0;
    qsort(supplies.parts, count, sizeof *supplies.parts, by_parts);
    do {
        double distance = foci_transport_cost(work, supplies.parts, NULL) * supplies.unit;
        sum += distance;
        reached += distance >= e.distance * (1 - 1e-9);
        e.orders++;
    } while (next_order(supplies.parts, count));
    e.expected = sum / e.orders;
    e.index = e.distance / e.expected;
    e.p = (double)reached / e.orders;
    foci_supplies_free(&supplies);
    foci_transport_close(work);
    return e;
}

/* By a linear-programming solver over all orders; no published value. */
static void test_small_boards(void **state) {
    (void)state;
    struct {
        size_t count, columns;
        double held[9];
        double distance;
        int orders;
        double expected, index, p;
    } rows[] = {
        {9, 3, {5, 3, 0, 1, 0, 0, 0, 0, 0}, 10.892922, 504, 8.250683, 1.320245, 0.015873},
        {9, 3, {5, 0, 0, 0, 0, 3, 1, 0, 0}, 7.650282, 504, 8.250683, 0.927230, 0.722222},
        {9, 3, {3, 3, 3, 0, 0, 0, 0, 0, 0}, 9.000000, 84, 7.218951, 1.246718, 0.095238},
        {9, 3, {3, 0, 0, 0, 3, 0, 0, 0, 3}, 6.828427, 84, 7.218951, 0.945903, 0.738095},
        {5, 5, {5, 0, 0, 0, 0}, 10, 5, 8, 1.25, 0.4},
        {5, 5, {3, 2, 0, 0, 0}, 8, 20, 4.8, 1.666667, 0.1},
        {5, 5, {1, 0, 3, 0, 1}, 2, 30, 4, 0.5, 1},
    };
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        foci_point places[9];
        double checked[9];
        for (size_t i = 0; i < rows[r].count; i++) {
            size_t row = i / rows[r].columns;
            places[i] = (foci_point){(double)(i % rows[r].columns), (double)row};
            checked[i] = 5;
        }
        exact e = over_all_orders(places, rows[r].held, checked, rows[r].count);
        assert_int_equal(e.orders, rows[r].orders);
        assert_near(e.distance, rows[r].distance, 5e-7);
        assert_near(e.expected, rows[r].expected, 5e-7);
        assert_near(e.index, rows[r].index, 5e-7);
        assert_near(e.p, rows[r].p, 5e-7);
    }
}

/* By exact enumeration with another solver: parts 430 250 -220 -20 -220 -220. Three stops hold the same, so that the
 * 720 orders are 120 different ones, each six times. */
static void test_unequal_effort(void **state) {
    (void)state;
    static const foci_point places[6] = {{0, 0}, {30, 0}, {60, 0}, {0, 30}, {30, 30}, {60, 30}};
    static const int64_t parts[6] = {430, 250, -220, -20, -220, -220};
    double hits[6] = {6, 4, 0, 1, 0, 0}, checked[6] = {10, 10, 20, 10, 20, 20};
    foci_supplies supplies = supplied(hits, checked, 6);
    assert_memory_equal(supplies.parts, parts, sizeof parts);
    foci_supplies_free(&supplies);
    exact e = over_all_orders(places, hits, checked, 6);
    assert_int_equal(e.orders, 120);
    assert_near(e.distance, 339.468769, 5e-7);
    assert_near(e.expected, 271.910920, 5e-7);
    assert_near(e.index, 1.248456, 5e-7);
    assert_near(e.p, 0.1, 1e-12);
}

/* The plain twin: unit after unit along the shortest way in the network of what may still be moved (Bellman-Ford). */
static double twin_cost(const foci_point *places, const int64_t *parts, size_t n) {
    int64_t *flow = calloc(n * n + 1, sizeof *flow), *left = calloc(n + 1, sizeof *left);
    double *away = calloc(n + 1, sizeof *away), sum = 0;
    size_t *from = calloc(n + 1, sizeof *from);
    memcpy(left, parts, n * sizeof *left);
    for (size_t s = 0; s < n; s++)
        while (left[s] > 0) {
            for (size_t i = 0; i < n; i++)
                away[i] = i == s ? 0 : INFINITY;
            for (bool changed = true; changed;) {
                changed = false;
                for (size_t i = 0; i < n; i++)
                    for (size_t j = 0; j < n; j++) {
                        double d = hypot(places[i].x - places[j].x, places[i].y - places[j].y);
                        double step = flow[j * n + i] > 0 ? -d : d;
                        if (i != j && away[i] + step < away[j] - 1e-9) {
                            away[j] = away[i] + step;
                            from[j] = i;
                            changed = true;
                        }
                    }
            }
            size_t nearest = s;
            for (size_t t = 0; t < n; t++)
                if (left[t] < 0 && (nearest == s || away[t] < away[nearest]))
                    nearest = t;
            int64_t amount = left[s] < -left[nearest] ? left[s] : -left[nearest];
            for (size_t j = nearest; j != s; j = from[j])
                if (flow[j * n + from[j]] > 0 && flow[j * n + from[j]] < amount)
                    amount = flow[j * n + from[j]];
            for (size_t j = nearest; j != s; j = from[j])
                if (flow[j * n + from[j]] > 0)
                    flow[j * n + from[j]] -= amount;
                else
                    flow[from[j] * n + j] += amount;
            left[s] -= amount;
            left[nearest] += amount;
        }
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            sum += (double)flow[i * n + j] * hypot(places[i].x - places[j].x, places[i].y - places[j].y);
    free(flow);
    free(left);
    free(away);
    free(from);
    return sum;
}

/* Grids, whose many ties are hard on the simplex, and scattered stops; much held by few, and little by many. */
static void test_against_the_twin(void **state) {
    (void)state;
    enum { MOST = 40 };
    foci_point places[MOST];
    double hits[MOST], checked[MOST];
    for (uint64_t k = 0; k < 300; k++) {
        foci_random draws = foci_random_stream(11, k);
        size_t count = 4 + foci_random_below(&draws, MOST - 4), hot = foci_random_below(&draws, count);
        for (size_t i = 0; i < count; i++) {
            size_t row = i / 6;
            places[i] = k % 2 ? (foci_point){30 * (double)(i % 6), 30 * (double)row}
                              : (foci_point){700 * foci_random_share(&draws), 400 * foci_random_share(&draws)};
            checked[i] = k % 3 ? 10 : 5 + (double)foci_random_below(&draws, 20);
            hits[i] = k % 5 ? (double)foci_random_below(&draws, 4) : 0;
        }
        hits[hot] = 5;
        foci_supplies supplies = supplied(hits, checked, count);
        foci_transport *work = opened(places, count);
        double expected = twin_cost(places, supplies.parts, count);
        assert_near(foci_transport_cost(work, supplies.parts, NULL), expected, 1e-9 * expected);
        size_t order[MOST];
        int64_t moved[MOST];
        foci_random_order(&draws, order, count);
        for (size_t i = 0; i < count; i++)
            moved[i] = supplies.parts[order[i]];
        expected = twin_cost(places, moved, count);
        assert_near(foci_transport_cost(work, supplies.parts, order), expected, 1e-9 * expected);
        foci_transport_close(work);
        foci_supplies_free(&supplies);
    }
}

/* Readings that rise along x alone are evened out along x alone: the cost is what each stop has too much times its x.
 */
static void test_three_hundred_stops(void **state) {
    (void)state;
    enum { COUNT = FOCI_SUPPLIES_STOPS_MOST };
    static foci_point places[COUNT];
    static double values[COUNT];
    foci_error err = {0};
    for (size_t i = 0; i < COUNT; i++) {
        size_t row = i / 20;
        places[i] = (foci_point){1e6 + 20 * (double)(i % 20), 4e6 + 20 * (double)row};
        values[i] = places[i].x; /* evened out along x alone */
    }
    foci_readings readings = {.count = COUNT, .places = places, .values = values};
    foci_supplies supplies = {0};
    assert_done(foci_supplies_make(&supplies, &readings, FOCI_READING_VALUE, &err), err);
    foci_transport *work = opened(places, COUNT);
    double expected = 0;
    for (size_t i = 0; i < COUNT; i++)
        expected += (double)supplies.parts[i] * 20 * (double)(i % 20);
    assert_near(foci_transport_cost(work, supplies.parts, NULL), expected, 1e-9 * expected);
    foci_transport_close(work);
    foci_supplies_free(&supplies);
}

static void assert_leave_one_out(const foci_readings *readings, foci_reading_kind kind, const char *words) {
    foci_error err = {0};
    foci_supplies supplies = {0};
    assert_done(foci_supplies_make(&supplies, readings, kind, &err), err);
    assert_null(supplies.parts);
    assert_non_null(supplies.left_out);
    assert_non_null(strstr(supplies.left_out, words));
    foci_supplies_free(&supplies);
    foci_supplies_free(&supplies);
}

static void test_what_is_left_out(void **state) {
    (void)state;
    double equal[3] = {0.4, 0.4, 0.4}, zeros[3] = {0, 0, 0}, ten[3] = {10, 10, 10}, part[3] = {0, 1.5, 2};
    double many[3] = {9e7, 9e7, 10}, far[3] = {0, INFINITY, 2};
    foci_readings readings = {.count = 3, .values = equal};
    assert_leave_one_out(&readings, FOCI_READING_VALUE, "do not differ");
    readings.values = far;
    assert_leave_one_out(&readings, FOCI_READING_VALUE, "do not differ");
    readings = (foci_readings){.count = 3, .hits = zeros, .checked = ten};
    assert_leave_one_out(&readings, FOCI_READING_COUNT, "do not differ");
    readings.hits = part;
    assert_leave_one_out(&readings, FOCI_READING_COUNT, "whole");
    readings = (foci_readings){.count = 3, .hits = zeros, .checked = many};
    assert_leave_one_out(&readings, FOCI_READING_COUNT, "too many");
    readings = (foci_readings){.count = 301};
    assert_leave_one_out(&readings, FOCI_READING_COUNT, "300 stops");
    readings = (foci_readings){0};
    assert_leave_one_out(&readings, FOCI_READING_VALUE, "do not differ");
    assert_leave_one_out(&readings, FOCI_READING_COUNT, "no stops");
}

/* Scores: the distance is in the reading's unit; the index does not hang on it. */
static void test_scores(void **state) {
    (void)state;
    static const foci_point line[3] = {{0, 0}, {10, 0}, {20, 0}};
    double values[3] = {7.5, 1.5, 0};
    foci_readings readings = {.count = 3, .values = values};
    foci_error err = {0};
    foci_supplies supplies = {0};
    assert_done(foci_supplies_make(&supplies, &readings, FOCI_READING_VALUE, &err), err);
    foci_transport *work = opened(line, 3);
    /* the mean is 3: 1.5 go 10 m and 3 go 20 m */
    assert_near(foci_transport_cost(work, supplies.parts, NULL) * supplies.unit, 75, 1e-9);
    foci_transport_close(work);
    foci_supplies_free(&supplies);
}

static bool attempt(foci_error *err) {
    static const foci_point line[3] = {{0, 0}, {10, 0}, {20, 0}};
    double values[3] = {7.5, 1.5, 0};
    foci_readings readings = {.count = 3, .values = values};
    foci_supplies supplies = {0};
    foci_transport *work = NULL;
    bool ok =
        foci_transport_open(&work, line, 3, err) && foci_supplies_make(&supplies, &readings, FOCI_READING_VALUE, err);
    foci_transport_close(work);
    foci_supplies_free(&supplies);
    return ok;
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_small_boards),     cmocka_unit_test(test_unequal_effort),
        cmocka_unit_test(test_against_the_twin), cmocka_unit_test(test_three_hundred_stops),
        cmocka_unit_test(test_what_is_left_out), cmocka_unit_test(test_scores),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
