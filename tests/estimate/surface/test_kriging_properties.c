/* What kriging must keep whatever the numbers: shifts, order of stops, threads, leaving out, and how it gives up. */
#include "support/kriging_twin.h"

#include "support/surface_model.h"

enum { ASKED = 700 };

static foci_variogram spherical(void) {
    return (foci_variogram){.kind = foci_correlation_find("spherical"),
                            .nugget = 7,
                            .partial_sill = 41,
                            .range = 183,
                            .heading = 30,
                            .ratio = 0.6};
}

static void run(double *estimate, double *variance, const foci_readings *stops, const foci_point *asked,
                size_t neighbours, int threads) {
    support_threads = threads;
    foci_variogram model = spherical();
    foci_error err = {0};
    foci_surface_options options = {.variogram = &model, .neighbours = neighbours};
    assert_done(support_at(estimate, variance, stops, &options, asked, ASKED, &err), err);
    support_threads = 1;
}

static void test_threads_agree_bit_for_bit(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(90, 3), asked = support_random_readings(ASKED, 4);
    for (size_t neighbours = 0; neighbours <= 16; neighbours += 16) {
        double one[ASKED], two[ASKED], one_variance[ASKED], two_variance[ASKED];
        run(one, one_variance, &stops, asked.places, neighbours, 1);
        run(two, two_variance, &stops, asked.places, neighbours, 2);
        assert_memory_equal(one, two, sizeof one);
        assert_memory_equal(one_variance, two_variance, sizeof one);
        run(two, NULL, &stops, asked.places, neighbours, 0);
        assert_memory_equal(one, two, sizeof one);
    }
    support_readings_free(&stops);
    support_readings_free(&asked);
}

/* Coordinates of millions (a false origin) and another order of the stops change rounding only. Places lie on
 * sixteenths of a metre, which the shift keeps exactly. */
static void test_shift_and_order(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(90, 3), asked = support_random_readings(ASKED, 4);
    foci_readings moved = support_random_readings(90, 3);
    foci_point *there = calloc(ASKED, sizeof *there);
    for (size_t i = 0; i < ASKED; i++) {
        asked.places[i] = (foci_point){round(asked.places[i].x * 16) / 16, round(asked.places[i].y * 16) / 16};
        there[i] = (foci_point){asked.places[i].x + 3280000, asked.places[i].y - 5235000};
    }
    for (size_t i = 0; i < 90; i++) {
        stops.places[i] = (foci_point){round(stops.places[i].x * 16) / 16, round(stops.places[i].y * 16) / 16};
        size_t other = (i * 37) % 90;
        moved.places[other] = (foci_point){stops.places[i].x + 3280000, stops.places[i].y - 5235000};
        moved.values[other] = stops.values[i];
    }
    for (size_t neighbours = 0; neighbours <= 16; neighbours += 16) {
        double here[ASKED], far[ASKED], here_variance[ASKED], far_variance[ASKED];
        run(here, here_variance, &stops, asked.places, neighbours, 1);
        run(far, far_variance, &moved, there, neighbours, 1);
        for (size_t i = 0; i < ASKED; i++) {
            assert_near(far[i], here[i], 1e-9);
            assert_near(far_variance[i], here_variance[i], 1e-9);
        }
    }
    free(there);
    support_readings_free(&stops);
    support_readings_free(&asked);
    support_readings_free(&moved);
}

/* More neighbours than stops are all stops; 90 of 91 are not. */
static void test_many_neighbours_are_all_stops(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(90, 3), asked = support_random_readings(ASKED, 4);
    double all[ASKED], many[ASKED], variance[ASKED];
    run(all, variance, &stops, asked.places, 0, 1);
    run(many, variance, &stops, asked.places, 90, 1);
    assert_memory_equal(all, many, sizeof all);
    run(many, variance, &stops, asked.places, 89, 1);
    for (size_t i = 0; i < ASKED; i++)
        assert_near(many[i], all[i], 0.5);
    assert_memory_not_equal(all, many, sizeof all);
    support_readings_free(&stops);
    support_readings_free(&asked);
}

/* Plain twin of leaving out: the twin solver on the others. */
static void test_left_out_is_an_estimate_from_the_others(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(45, 2385);
    for (const foci_correlation *kind = foci_correlations; kind->name; kind++)
        for (size_t neighbours = 0; neighbours <= 8; neighbours += 8) {
            foci_variogram model = spherical();
            model.kind = kind;
            model.smoothness = 1.5;
            double left[45], left_variance[45], estimate = 0, variance = 0;
            foci_error err = {0};
            foci_surface_options options = {.variogram = &model, .neighbours = neighbours};
            assert_done(support_leave_one_out(left, left_variance, &stops, &options, &err), err);
            for (size_t i = 0; i < 45; i++) {
                foci_readings others = support_random_readings(45, 2385);
                others.places[i] = others.places[44];
                others.values[i] = others.values[44];
                others.count = 44;
                twin_krige(&estimate, &variance, &others, &model, stops.places[i], neighbours);
                assert_near(left[i], estimate, 1e-8);
                assert_near(left_variance[i], variance, 1e-8);
                support_readings_free(&others);
            }
        }
    support_readings_free(&stops);
}

static void test_constant_readings(void **state) {
    (void)state;
    foci_readings seven = support_seven();
    double equal[SEVEN], estimate[SEVEN], variance[SEVEN];
    for (size_t i = 0; i < SEVEN; i++)
        equal[i] = 2.385;
    foci_readings constant = support_readings(seven.places, equal, SEVEN);
    foci_variogram model = {.kind = foci_correlations, .range = 10, .ratio = 1, .fit = "constant"};
    foci_surface_options options = {.variogram = &model};
    foci_error err = {0};
    assert_done(support_at(estimate, variance, &constant, &options, &seven_target, 1, &err), err);
    assert_near(estimate[0], 2.385, 0);
    assert_near(variance[0], 0, 0);
    assert_done(support_leave_one_out(estimate, variance, &constant, &options, &err), err);
    for (size_t i = 0; i < SEVEN; i++)
        assert_near(estimate[i], 2.385, 0);
    assert_fails(support_at(estimate, variance, &seven, &options, &seven_target, 1, &err), err, FOCI_NO_FIT,
                 "{surface} idw");
}

static void test_one_and_two_stops(void **state) {
    (void)state;
    foci_readings few = support_seven();
    foci_variogram model = spherical();
    foci_surface_options options = {.variogram = &model};
    double estimate[2] = {0}, variance[2] = {0};
    foci_error err = {0};
    few.count = 1;
    assert_done(support_at(estimate, variance, &few, &options, &seven_target, 1, &err), err);
    assert_near(estimate[0], 477, 1e-9);
    assert_near(variance[0], 2 * foci_variogram_at(&model, few.places[0], seven_target), 1e-9);
    assert_fails(support_leave_one_out(estimate, variance, &few, &options, &err), err, FOCI_BAD_INPUT, "more stops");
    few.count = 2;
    assert_done(support_leave_one_out(estimate, variance, &few, &options, &err), err);
    assert_near(estimate[0], 696, 1e-9);
    assert_near(variance[1], 2 * foci_variogram_at(&model, few.places[0], few.places[1]), 1e-9);
    few.count = 0;
    assert_fails(support_at(estimate, variance, &few, &options, &seven_target, 1, &err), err, FOCI_BAD_INPUT,
                 "no stops");
}

/* A Gaussian model without nugget over close stops, and two stops at one place. */
static void test_singular_says_what_to_do(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(90, 3);
    foci_variogram model = {.kind = foci_correlation_find("gaussian"), .partial_sill = 41, .range = 900, .ratio = 1};
    double estimate[90], variance[90];
    foci_error err = {0};
    for (size_t neighbours = 0; neighbours <= 40; neighbours += 40) {
        foci_surface_options options = {.variogram = &model, .neighbours = neighbours};
        assert_fails(support_at(estimate, variance, &stops, &options, stops.places, 90, &err), err, FOCI_NO_FIT,
                     "give the model a nugget, or pool stops that lie close together");
        assert_fails(support_leave_one_out(estimate, variance, &stops, &options, &err), err, FOCI_NO_FIT,
                     "give the model a nugget");
    }
    model = spherical();
    model.nugget = 0;
    stops.places[4] = stops.places[5];
    foci_surface_options options = {.variogram = &model};
    assert_fails(support_at(estimate, variance, &stops, &options, &seven_target, 1, &err), err, FOCI_NO_FIT,
                 "pool stops");
    support_readings_free(&stops);
}

typedef struct {
    size_t calls, stop_at;
    double last;
} watch;

static bool watch_progress(void *context, double share) {
    watch *w = context;
    assert_true(share > w->last && share <= 1);
    w->last = share;
    return ++w->calls != w->stop_at;
}

static void test_progress_and_stopping(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(20, 3), asked = support_random_readings(ASKED, 4);
    foci_variogram variogram = spherical();
    watch w = {0};
    double estimate[ASKED];
    foci_error err = {0};
    foci_surface_model model = {0};
    const foci_surface_options options = support_options(&(foci_surface_options){.variogram = &variogram});
    const foci_execution how = {.threads = 1, .progress = {.tell = watch_progress, .context = &w}};
    const foci_prediction out = {.estimate = estimate};
    assert_done(foci_surface_fit(&model, &stops, NULL, &options, HOW, &err), err);
    assert_done(foci_surface_at(&model, asked.places, ASKED, &out, &how, &err), err);
    assert_int_equal(w.calls, 3); /* tiles of 256 places */
    assert_near(w.last, 1, 0);
    w = (watch){.stop_at = 2};
    assert_fails(foci_surface_at(&model, asked.places, ASKED, &out, &how, &err), err, FOCI_STOPPED, "stopped");
    assert_int_equal(w.calls, 2);
    foci_surface_model_free(&model);
    support_readings_free(&stops);
    support_readings_free(&asked);
}

static bool attempt_all(foci_error *err) {
    foci_readings seven = support_seven();
    foci_variogram model = spherical();
    foci_surface_options options = {.variogram = &model};
    double estimate = 0, variance = 0;
    return support_at(&estimate, &variance, &seven, &options, &seven_target, 1, err);
}

static bool attempt_nearest(foci_error *err) {
    foci_readings seven = support_seven();
    foci_variogram model = spherical();
    foci_surface_options options = {.variogram = &model, .neighbours = 4};
    double estimate[SEVEN], variance[SEVEN];
    return support_leave_one_out(estimate, variance, &seven, &options, err);
}

static void test_each_allocation(void **state) {
    (void)state;
    support_fail_each_allocation(attempt_all);
    support_fail_each_allocation(attempt_nearest);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_threads_agree_bit_for_bit),
        cmocka_unit_test(test_shift_and_order),
        cmocka_unit_test(test_many_neighbours_are_all_stops),
        cmocka_unit_test(test_left_out_is_an_estimate_from_the_others),
        cmocka_unit_test(test_constant_readings),
        cmocka_unit_test(test_one_and_two_stops),
        cmocka_unit_test(test_singular_says_what_to_do),
        cmocka_unit_test(test_progress_and_stopping),
        cmocka_unit_test(test_each_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
