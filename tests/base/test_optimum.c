#include "support/support.h"

#include "base/optimum.h"

/* 1.75 + (1-x)^2 + 100 (y-x^2)^2: Rosenbrock 1960, Computer Journal 3:175-184, raised so that relative gains show. */
static double rosenbrock(const double *p, size_t count, void *context) {
    (void)count;
    ++*(int *)context;
    return 1.75 + (1 - p[0]) * (1 - p[0]) + 100 * (p[1] - p[0] * p[0]) * (p[1] - p[0] * p[0]);
}

static void test_curved_valley(void **state) {
    (void)state;
    foci_error err = {0};
    int calls = 0;
    double point[] = {-1.2, 1}, least = 0;
    const double lower[] = {-3, -3}, upper[] = {3, 3};
    assert_done(foci_minimise(point, 2, lower, upper, rosenbrock, &calls, &least, &err), err);
    assert_near(least, 1.75, 1.75e-12);
    assert_near(point[0], 1, 1e-5);
    assert_near(point[1], 1, 1e-5);
    assert_in_range(calls, 10, 20000);
}

/* With x <= 0.6 the least is at x = 0.6, y = 0.36: 1.75 + 0.16. */
static void test_valley_cut_by_a_bound(void **state) {
    (void)state;
    foci_error err = {0};
    int calls = 0;
    double point[] = {-1.2, 2.9}, least = 0;
    const double lower[] = {-3, -3}, upper[] = {0.6, 3};
    assert_done(foci_minimise(point, 2, lower, upper, rosenbrock, &calls, &least, &err), err);
    assert_near(least, 1.91, 1.91e-9);
    assert_near(point[0], 0.6, 1e-9);
    assert_near(point[1], 0.36, 1e-5);
}

/* A tilted bowl with axes of very different length, as nugget, sill and range are. */
static double bowl(const double *p, size_t count, void *context) {
    (void)count;
    (void)context;
    double a = p[0] - 0.0417, b = p[1] - 0.59, c = (p[2] - 897) / 1000;
    return -7.25 + 900 * a * a + 4 * b * b + c * c + 20 * a * b + 1.5 * b * c;
}

static void test_three_parameters_of_different_size(void **state) {
    (void)state;
    foci_error err = {0};
    double point[] = {0.5, 0.01, 30}, least = 0;
    const double lower[] = {0, 0, 1}, upper[] = {5, 5, 20000};
    assert_done(foci_minimise(point, 3, lower, upper, bowl, NULL, &least, &err), err);
    assert_near(least, -7.25, 7.25e-12);
    assert_near(point[0], 0.0417, 1e-5);
    assert_near(point[1], 0.59, 1e-5);
    assert_near(point[2], 897, 1e-2);
}

/* The same where two of the three bounds bind: a scan of the face that is left is the plain twin. */
static void test_minimum_in_a_corner(void **state) {
    (void)state;
    foci_error err = {0};
    double point[] = {0.5, 2, 1000}, least = 0, plain = INFINITY;
    const double lower[] = {0.06, 0.75, 1}, upper[] = {5, 5, 20000};
    assert_done(foci_minimise(point, 3, lower, upper, bowl, NULL, &least, &err), err);
    for (int i = 0; i < 20000; i++)
        plain = fmin(plain, bowl((double[]){0.06, 0.75, 700 + i / 100.0}, 3, NULL));
    assert_near(least, plain, 1e-9);
    assert_near(point[0], 0.06, 1e-9);
    assert_near(point[1], 0.75, 1e-9);
}

static double one_dip(const double *p, size_t count, void *context) {
    (void)count;
    (void)context;
    return cosh(p[0] - 2.385) + 0.5;
}

static void test_one_parameter(void **state) {
    (void)state;
    foci_error err = {0};
    double point = 9, lower = -10, upper = 10, least = 0;
    assert_done(foci_minimise(&point, 1, &lower, &upper, one_dip, NULL, &least, &err), err);
    assert_near(least, 1.5, 1e-13);
    assert_near(point, 2.385, 1e-6);
    point = 99; /* outside: taken from the bound */
    lower = 4;
    assert_done(foci_minimise(&point, 1, &lower, &upper, one_dip, NULL, &least, &err), err);
    assert_near(point, 4, 1e-12);
    assert_near(least, cosh(4 - 2.385) + 0.5, 1e-12);
}

/* A parameter whose bounds meet is held. */
static void test_held_parameter(void **state) {
    (void)state;
    foci_error err = {0};
    double point[] = {0.1, 0.7, 500}, least = 0;
    const double lower[] = {0, 0.7, 1}, upper[] = {5, 0.7, 20000};
    assert_done(foci_minimise(point, 3, lower, upper, bowl, NULL, &least, &err), err);
    assert_true(point[1] == 0.7);
    /* b = 0.11: a = -20 b / 1800, c = -0.75 b (set to zero the derivatives by a and by c) */
    double a = -20 * 0.11 / 1800, c = -0.75 * 0.11;
    assert_near(least, bowl((double[]){0.0417 + a, 0.7, 897 + 1000 * c}, 3, NULL), 1e-10);
    const double here[] = {0.1, 0.7, 500};
    memcpy(point, here, sizeof point);
    assert_done(foci_minimise(point, 3, here, here, bowl, NULL, &least, &err), err);
    assert_true(least == bowl(here, 3, NULL));
}

static double no_value(const double *p, size_t count, void *context) {
    (void)p;
    (void)count;
    (void)context;
    return NAN;
}

static double half_a_value(const double *p, size_t count, void *context) {
    return p[0] < 1.5 ? (p[0] < 1 ? NAN : INFINITY) : one_dip(p, count, context);
}

static void test_values_that_are_no_numbers(void **state) {
    (void)state;
    foci_error err = {0};
    double point = 0.4, lower = -1, upper = 10, least = 77;
    assert_fails(foci_minimise(&point, 1, &lower, &upper, no_value, NULL, &least, &err), err, FOCI_NO_FIT, "finite");
    assert_true(point == 0.4 && least == 77);
    err = (foci_error){0};
    point = 8;
    assert_done(foci_minimise(&point, 1, &lower, &upper, half_a_value, NULL, &least, &err), err);
    assert_near(least, 1.5, 1e-12);
}

static double restless(const double *p, size_t count, void *context) {
    (void)count;
    unsigned *seed = context;
    *seed = *seed * 1664525u + 1013904223u;
    return p[0] * p[0] - (double)*seed;
}

static double counted(const double *p, size_t count, void *context) {
    (void)count;
    ++((unsigned *)context)[1];
    return restless(p, count, context);
}

static void test_search_ends(void **state) {
    (void)state;
    foci_error err = {0};
    unsigned seed_and_calls[2] = {1, 0};
    double point = 3, lower = -10, upper = 10, least = 0;
    assert_done(foci_minimise(&point, 1, &lower, &upper, counted, seed_and_calls, &least, &err), err);
    assert_in_range(seed_and_calls[1], 1, 20001);
}

static bool search_bowl(foci_error *err) {
    double point[] = {0.5, 2, 1000}, least = 0;
    const double lower[] = {0, 0, 1}, upper[] = {5, 5, 20000};
    return foci_minimise(point, 3, lower, upper, bowl, NULL, &least, err);
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    support_fail_each_allocation(search_bowl);
}

static double sloped_rosenbrock(const double *p, double *slope, size_t count, void *context) {
    if (slope) {
        slope[0] = -2 * (1 - p[0]) - 400 * p[0] * (p[1] - p[0] * p[0]);
        slope[1] = 200 * (p[1] - p[0] * p[0]);
    }
    return rosenbrock(p, count, context);
}

static void test_curved_valley_by_its_slope(void **state) {
    (void)state;
    foci_error err = {0};
    int calls = 0;
    double point[] = {-1.2, 1}, least = 0;
    const double lower[] = {-3, -3}, upper[] = {3, 3};
    assert_done(foci_minimise_sloped(point, 2, lower, upper, sloped_rosenbrock, &calls, &least, &err), err);
    assert_near(least, 1.75, 1e-9);
    assert_near(point[0], 1, 1e-4);
    assert_near(point[1], 1, 1e-4);
    assert_in_range(calls, 10, 150);
    point[0] = -1.2;
    point[1] = 2.9;
    assert_done(
        foci_minimise_sloped(point, 2, lower, (const double[]){0.6, 3}, sloped_rosenbrock, &calls, &least, &err), err);
    assert_near(least, 1.91, 1e-8);
    assert_near(point[0], 0.6, 1e-8);
}

static double sloped_wall(const double *p, double *slope, size_t count, void *context) {
    bool beyond = p[0] > 1.9;
    if (slope)
        slope[0] = beyond ? 0 : 2 * (p[0] - 1.5);
    (void)count;
    (void)context;
    return beyond ? INFINITY : (p[0] - 1.5) * (p[0] - 1.5) - 0.75;
}

static double sloped_nothing(const double *p, double *slope, size_t count, void *context) {
    if (slope)
        slope[0] = 0;
    return no_value(p, count, context);
}

static void test_slope_beside_values_that_are_no_numbers(void **state) {
    (void)state;
    foci_error err = {0};
    double point = -7.2, lower = -10, upper = 10, least = 77;
    assert_done(foci_minimise_sloped(&point, 1, &lower, &upper, sloped_wall, NULL, &least, &err), err);
    assert_near(point, 1.5, 1e-6);
    assert_near(least, -0.75, 1e-9);
    point = 0.4;
    least = 77;
    assert_fails(foci_minimise_sloped(&point, 1, &lower, &upper, sloped_nothing, NULL, &least, &err), err, FOCI_NO_FIT,
                 "finite");
    assert_true(point == 0.4 && least == 77);
}

static bool search_sloped(foci_error *err) {
    int calls = 0;
    double point[] = {-1.2, 1}, least = 0;
    const double lower[] = {-3, -3}, upper[] = {3, 3};
    return foci_minimise_sloped(point, 2, lower, upper, sloped_rosenbrock, &calls, &least, err);
}

static void test_each_allocation_of_a_sloped_search_can_fail(void **state) {
    (void)state;
    support_fail_each_allocation(search_sloped);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_curved_valley),
        cmocka_unit_test(test_valley_cut_by_a_bound),
        cmocka_unit_test(test_three_parameters_of_different_size),
        cmocka_unit_test(test_minimum_in_a_corner),
        cmocka_unit_test(test_one_parameter),
        cmocka_unit_test(test_held_parameter),
        cmocka_unit_test(test_values_that_are_no_numbers),
        cmocka_unit_test(test_search_ends),
        cmocka_unit_test(test_each_allocation_can_fail),
        cmocka_unit_test(test_curved_valley_by_its_slope),
        cmocka_unit_test(test_slope_beside_values_that_are_no_numbers),
        cmocka_unit_test(test_each_allocation_of_a_sloped_search_can_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
