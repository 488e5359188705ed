#include "support/support.h"

#include "estimate/fit/box_cox.h"

static foci_box_cox made(double lambda, const double *values, size_t count, double most) {
    foci_box_cox scale = {0};
    foci_error err = {0};
    assert_done(foci_box_cox_make(&scale, lambda, values, count, -INFINITY, most, &err), err);
    return scale;
}

/* By the formula: (4.41^0.5 - 1) / 0.5 = 2.2, log(4.41), 4.41^-0.5 ... */
static void test_known_values(void **state) {
    (void)state;
    const double values[] = {4.41, 2.5};
    foci_box_cox root = made(0.5, values, 2, INFINITY), logarithm = made(0, values, 2, INFINITY);
    foci_box_cox inverse = made(-0.5, values, 2, 100);
    assert_near(foci_box_cox_forward(&root, 4.41), 2.2, 1e-14);
    assert_near(foci_box_cox_forward(&logarithm, 4.41), 1.4838746894587547, 1e-14);
    assert_near(foci_box_cox_forward(&inverse, 4.41), 2 - 2 / 2.1, 1e-14);
    assert_near(foci_box_cox_forward(&(foci_box_cox){0}, 4.41), 4.41, 0);
    assert_near(foci_box_cox_back(&(foci_box_cox){0}, -3.2), -3.2, 0);
}

/* There and back, continuous in lambda at 0, and the slope by finite differences. */
static void test_round_trip(void **state) {
    (void)state;
    const double values[] = {0, 0.31, 2.385, 47.1};
    for (int quarter = -2; quarter <= 6; quarter++) {
        foci_box_cox scale = made(0.25 * quarter, values, 4, INFINITY);
        assert_near(scale.shift, 0.155, 1e-15);
        for (size_t i = 0; i < 4; i++) {
            double z = foci_box_cox_forward(&scale, values[i]), step = 1e-6;
            assert_near(foci_box_cox_back(&scale, z), values[i], 1e-11);
            double slope =
                (foci_box_cox_forward(&scale, values[i] + step) - foci_box_cox_forward(&scale, values[i] - step)) /
                (2 * step);
            assert_near(foci_box_cox_log_slope(&scale, values[i]), log(slope), 1e-6);
        }
    }
    foci_box_cox near = made(1e-9, values, 4, INFINITY), logarithm = made(0, values, 4, INFINITY);
    assert_near(foci_box_cox_forward(&near, 2.385), foci_box_cox_forward(&logarithm, 2.385), 1e-8);
}

static void test_limits(void **state) {
    (void)state;
    const double values[] = {12.5, 30, 61};
    foci_box_cox root = made(0.5, values, 3, 100), inverse = made(-0.5, values, 3, INFINITY);
    assert_near(foci_box_cox_back(&root, -2.5), 0, 0);   /* below the end of the scale, -1 / lambda */
    assert_near(foci_box_cox_back(&root, 19), 100, 0);   /* (1 + 19 / 2)^2 = 110.25 */
    assert_near(foci_box_cox_back(&inverse, 2), 610, 0); /* the end of the scale: ten times the largest reading */
    assert_near(inverse.most, 610, 0);
    assert_near(inverse.highest, 61, 0);
    assert_near(root.highest, 61, 0);
    foci_box_cox one_to_ten = {0};
    foci_error err = {0};
    const double scores[] = {1, 3, 10};
    assert_done(foci_box_cox_make(&one_to_ten, 0.5, scores, 3, 1, 10, &err), err);
    assert_near(foci_box_cox_back(&one_to_ten, -1.9), 1, 0);
    assert_near(foci_box_cox_back(&one_to_ten, 50), 10, 0);
}

static void test_refused(void **state) {
    (void)state;
    foci_error err = {0};
    foci_box_cox scale = {0};
    double shift = 0;
    const double below[] = {3, -0.5}, zeros[] = {0, 0, 0};
    assert_fails(foci_box_cox_shift(&shift, below, 2, &err), err, FOCI_BAD_INPUT, "below 0");
    assert_fails(foci_box_cox_make(&scale, 0.5, zeros, 3, 0, 100, &err), err, FOCI_BAD_INPUT, "no reading is above 0");
    assert_false(scale.transformed);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_known_values),
        cmocka_unit_test(test_round_trip),
        cmocka_unit_test(test_limits),
        cmocka_unit_test(test_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
