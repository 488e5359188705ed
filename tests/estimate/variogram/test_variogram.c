#include "support/readings.h"

#include "fieldfoci/variogram.h"

static foci_semivariances made(const foci_readings *readings, double lag, double farthest) {
    foci_error err = {0};
    foci_semivariances result = {0};
    assert_done(foci_semivariances_make(&result, readings, lag, farthest, &err), err);
    return result;
}

/* testdata/reference/variogram_log_zinc.csv: default lag and farthest distance. */
static void test_meuse(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(true);
    foci_semivariances result = made(&meuse, 0, 0);
    reference_table table = reference_read("variogram_log_zinc.csv");
    const double *pairs = reference_column(&table, "np"), *distance = reference_column(&table, "dist");
    const double *gamma = reference_column(&table, "gamma");
    assert_int_equal(result.count, table.rows);
    for (size_t k = 0; k < table.rows; k++) {
        assert_int_equal(result.bins[k].pairs, (size_t)pairs[k]);
        assert_near(result.bins[k].distance, distance[k], 1e-10);
        assert_near(result.bins[k].semivariance, gamma[k], 1e-10);
    }
    assert_near(result.lag * 15, result.farthest, 1e-9);
    reference_free(&table);
    foci_semivariances_free(&result);
    foci_semivariances_free(&result);
    support_readings_free(&meuse);
}

static void compare_bins(const foci_semivariances *result, const foci_variogram_bin *wanted, size_t count) {
    assert_int_equal(result->count, count);
    for (size_t k = 0; k < count; k++) {
        assert_int_equal(result->bins[k].pairs, wanted[k].pairs);
        assert_near(result->bins[k].distance, wanted[k].distance, 1e-6);
        assert_near(result->bins[k].semivariance, wanted[k].semivariance, 1e-4);
    }
}

/* The seven samples of Isaaks & Srivastava 1989, chapter 12, averaged independently over distances 0-5, 5-10, 10-15 and
 * 15-20 with the pair that is exactly 15 apart (readings 227 and 791) in the last bin. A lag of 4.999 puts it there
 * too; a lag of 5 puts it into the bin that ends at 15. */
static void test_seven_samples(void **state) {
    (void)state;
    foci_readings seven = support_seven();
    const foci_variogram_bin wanted[] = {
        {3, 2.865081, 42957.8333}, {2, 7.5, 6717.25}, {13, 11.997914, 36329.9615}, {3, 16.591685, 69883.5}};
    foci_semivariances result = made(&seven, 4.999, 19.996);
    compare_bins(&result, wanted, 4);
    foci_semivariances_free(&result);
    const double edge = 0.5 * (791.0 - 227) * (791 - 227);
    const foci_variogram_bin moved[] = {wanted[0],
                                        wanted[1],
                                        {14, (13 * 11.997914 + 15) / 14, (13 * 36329.9615 + edge) / 14},
                                        {2, (3 * 16.591685 - 15) / 2, (3 * 69883.5 - edge) / 2}};
    result = made(&seven, 5, 20);
    compare_bins(&result, moved, 4);
    foci_semivariances_free(&result);
}

/* A pair at a bin's upper edge belongs to it, one at its lower edge to the bin before, whatever the rounding. */
static void test_edges_belong_below(void **state) {
    (void)state;
    for (size_t k = 1; k <= 30; k++) {
        double lag = 0.1;
        foci_point places[] = {{0, 0}, {(double)k * lag, 0}, {0, 300}};
        double values[] = {2.385, 4.385, 9};
        foci_readings pair = support_readings(places, values, 3);
        foci_semivariances result = made(&pair, lag, 3);
        assert_int_equal(result.count, 1);
        assert_near(result.bins[0].distance, (double)k * lag, 1e-15);
        assert_near(result.bins[0].semivariance, 2, 1e-12);
        foci_semivariances_free(&result);
        foci_point three[] = {{0, 0}, {(double)k * lag, 0}, {0, ((double)k - 0.5) * lag}};
        pair = support_readings(three, values, 3);
        result = made(&pair, lag, (double)k * lag);
        assert_int_equal(result.count, 1); /* both pairs with the first stop share the k-th bin */
        assert_int_equal(result.bins[0].pairs, 2);
        foci_semivariances_free(&result);
    }
}

/* Plain twin: a pass over all pairs for each bin. */
static void test_against_plain_twin(void **state) {
    (void)state;
    foci_readings readings = support_random_readings(83, 2385);
    double lag = 17.3, farthest = 260;
    foci_semivariances result = made(&readings, lag, farthest);
    size_t next = 0;
    for (size_t bin = 0; (double)bin * lag < farthest; bin++) {
        double lower = (double)bin * lag;
        size_t pairs = 0;
        double distance = 0, gamma = 0;
        for (size_t i = 0; i < readings.count; i++)
            for (size_t j = i + 1; j < readings.count; j++) {
                double h =
                    hypot(readings.places[i].x - readings.places[j].x, readings.places[i].y - readings.places[j].y);
                if (h <= lower || h > fmin(lower + lag, farthest))
                    continue;
                pairs++;
                distance += h;
                gamma += pow(readings.values[i] - readings.values[j], 2) / 2;
            }
        if (pairs == 0)
            continue;
        assert_true(next < result.count);
        assert_int_equal(result.bins[next].pairs, pairs);
        assert_near(result.bins[next].distance, distance / (double)pairs, 1e-10);
        assert_near(result.bins[next].semivariance, gamma / (double)pairs, 1e-10);
        next++;
    }
    assert_int_equal(next, result.count);
    foci_semivariances_free(&result);
    support_readings_free(&readings);
}

/* More stops than all pairs are taken of, in a square. Near ones: the same pairs as the twin's; all: those of a draw.
 * The readings are independent, with the variance 1/12 of even numbers between 0 and 1: so is every semivariance. */
static void test_many_stops(void **state) {
    (void)state;
    enum { MANY = 10500, BINS = 4 };
    foci_readings readings = support_random_readings(MANY, 2385);
    const double lag = 3, farthest = BINS * lag;
    size_t pairs[BINS] = {0};
    double gamma[BINS] = {0}, side = 1;
    for (size_t i = 0; i < MANY; i++) {
        readings.values[i] = (double)(i * 7919 % MANY) / MANY;
        side = fmax(side, fmax(readings.places[i].x, readings.places[i].y));
    }
    for (size_t i = 0; i < MANY; i++)
        for (size_t j = 0; j < i; j++) {
            double dx = readings.places[i].x - readings.places[j].x, dy = readings.places[i].y - readings.places[j].y;
            double h = sqrt(dx * dx + dy * dy);
            if (h == 0 || h > farthest)
                continue;
            size_t bin = (size_t)ceil(h / lag) - 1;
            pairs[bin]++;
            gamma[bin] += pow(readings.values[i] - readings.values[j], 2) / 2;
        }
    foci_semivariances near = made(&readings, lag, farthest), all = made(&readings, 0, 2 * side);
    assert_int_equal(near.stops, MANY);
    assert_int_equal(near.count, BINS);
    for (size_t k = 0; k < BINS; k++) {
        assert_int_equal(near.bins[k].pairs, pairs[k]);
        assert_near(near.bins[k].semivariance, gamma[k] / (double)pairs[k], 1e-12);
    }
    assert_true(all.stops >= 9990 && all.stops <= 10010);
    for (size_t k = 0; k + 2 < all.count; k++)
        assert_near(all.bins[k].semivariance, 1.0 / 12, 0.004);
    foci_semivariances again = made(&readings, 0, 2 * side);
    assert_memory_equal(again.bins, all.bins, all.count * sizeof *all.bins);
    foci_semivariances_free(&near);
    foci_semivariances_free(&all);
    foci_semivariances_free(&again);
    support_readings_free(&readings);
}

static void test_bad_input(void **state) {
    (void)state;
    foci_error err = {0};
    foci_semivariances result = {0};
    foci_readings seven = support_seven();
    foci_readings one = support_readings(seven.places, seven.values, 1);
    assert_fails(foci_semivariances_make(&result, &one, 0, 0, &err), err, FOCI_BAD_INPUT, "two or more");
    foci_point same[] = {{4, 5}, {4, 5}, {4, 5}};
    foci_readings heap = support_readings(same, seven.values, 3);
    assert_fails(foci_semivariances_make(&result, &heap, 0, 0, &err), err, FOCI_BAD_INPUT, "one place");
    assert_fails(foci_semivariances_make(&result, &seven, 30, 20, &err), err, FOCI_BAD_SETTING,
                 "above the farthest distance");
    assert_string_equal(err.key, "lag");
    assert_fails(foci_semivariances_make(&result, &seven, -1, 20, &err), err, FOCI_BAD_SETTING, "above 0");
    assert_fails(foci_semivariances_make(&result, &seven, 5, -20, &err), err, FOCI_BAD_SETTING, "above 0");
    assert_fails(foci_semivariances_make(&result, &seven, 5, NAN, &err), err, FOCI_BAD_SETTING, "above 0");
    assert_fails(foci_semivariances_make(&result, &seven, 1e-9, 20, &err), err, FOCI_BAD_SETTING, "larger lag");
    assert_null(result.bins);
}

/* Heading 30 degrees, ratio 0.6, worked out with 40 digits from the formula of the header. */
static void test_distance_and_semivariance(void **state) {
    (void)state;
    foci_variogram model = {.kind = foci_correlation_find("spherical"),
                            .nugget = 0.05066,
                            .partial_sill = 0.59061,
                            .range = 897,
                            .heading = 30,
                            .ratio = 0.6};
    foci_point from = {100, 50}, to = {141.7, 26.1};
    assert_near(foci_variogram_distance(&model, from, to), 80.105576425933018, 1e-11);
    assert_near(foci_variogram_at(&model, from, to), 0.12956532240891916, 1e-14);
    assert_near(foci_variogram_at(&model, from, from), 0, 0);
    foci_point along = {100 + 20 * sin(M_PI / 6), 50 + 20 * cos(M_PI / 6)};
    assert_near(foci_variogram_distance(&model, from, along), 20, 1e-11);
    foci_point across = {100 + 12 * cos(M_PI / 6), 50 - 12 * sin(M_PI / 6)};
    assert_near(foci_variogram_distance(&model, from, across), 20, 1e-11);
}

static bool attempt(foci_error *err) {
    foci_semivariances result = {0};
    foci_readings seven = support_seven();
    bool ok = foci_semivariances_make(&result, &seven, 5, 20, err);
    foci_semivariances_free(&result);
    return ok;
}

static void test_each_allocation(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

/* testdata/reference/variogram_log_zinc_directional.csv: 22.5 degrees either side of four headings. */
static void test_directions(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(true);
    reference_table table = reference_read("variogram_log_zinc_directional.csv");
    assert_int_equal(table.rows, 60);
    for (size_t quarter = 0; quarter < 4; quarter++) {
        foci_semivariances result = {0};
        foci_error err = {0};
        double heading = reference_column(&table, "dir_deg_from_north")[15 * quarter];
        assert_near(heading, 45.0 * (double)quarter, 0);
        assert_done(foci_semivariances_toward(&result, &meuse, heading + 180, 22.5, 0, 0, &err), err);
        assert_int_equal(result.count, 15);
        for (size_t k = 0; k < result.count; k++) {
            size_t row = 15 * quarter + k;
            assert_int_equal(result.bins[k].pairs, (size_t)reference_column(&table, "np")[row]);
            assert_near(result.bins[k].distance, reference_column(&table, "dist")[row], 1e-10);
            assert_near(result.bins[k].semivariance, reference_column(&table, "gamma")[row], 1e-10);
        }
        foci_semivariances_free(&result);
    }
    reference_free(&table);
    support_readings_free(&meuse);
}

/* 90 degrees either side is every direction; a pair on the edge of the cone counts. */
static void test_direction_edges(void **state) {
    (void)state;
    foci_readings seven = support_seven();
    foci_semivariances all = made(&seven, 5, 20), wide = {0}, edge = {0};
    foci_error err = {0};
    assert_done(foci_semivariances_toward(&wide, &seven, 37, 90, 5, 20, &err), err);
    compare_bins(&wide, all.bins, all.count);
    foci_point places[] = {{0, 0}, {2.5, 2.5}};
    double values[] = {3, 7.4};
    foci_readings two = support_readings(places, values, 2);
    assert_done(foci_semivariances_toward(&edge, &two, 0, 45, 1, 5, &err), err);
    assert_int_equal(edge.count, 1);
    assert_int_equal(edge.bins[0].pairs, 1);
    foci_semivariances none = {0};
    assert_done(foci_semivariances_toward(&none, &two, 0, 44.9, 1, 5, &err), err);
    assert_int_equal(none.count, 0);
    assert_fails(foci_semivariances_toward(&none, &two, 0, 0, 1, 5, &err), err, FOCI_BAD_SETTING, "above 0");
    assert_fails(foci_semivariances_toward(&none, &two, 0, NAN, 1, 5, &err), err, FOCI_BAD_SETTING, "tolerance");
    foci_semivariances_free(&all);
    foci_semivariances_free(&wide);
    foci_semivariances_free(&edge);
    foci_semivariances_free(&none);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_directions),
        cmocka_unit_test(test_direction_edges),
        cmocka_unit_test(test_meuse),
        cmocka_unit_test(test_seven_samples),
        cmocka_unit_test(test_edges_belong_below),
        cmocka_unit_test(test_against_plain_twin),
        cmocka_unit_test(test_many_stops),
        cmocka_unit_test(test_bad_input),
        cmocka_unit_test(test_distance_and_semivariance),
        cmocka_unit_test(test_each_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
