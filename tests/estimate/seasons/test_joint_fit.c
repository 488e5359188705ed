#include "estimate/joint_cases.h"

#include "base/optimum.h"

/* Slopes against central differences, away from the optimum. */
static void check_slope(bool scores) {
    field f;
    foci_joint joint = {0};
    foci_error err = {0};
    double modes[2 * STOPS] = {0}, slope[FOCI_JOINT_NUMBERS_MOST], point[FOCI_JOINT_NUMBERS_MOST], cost = 0;
    fill_field(&f, true, scores);
    assert_done(foci_joint_fit(&joint, f.seasons, 2, 25, HOW, &err), err);
    size_t count = joint.space.count;
    assert_int_equal(count, scores ? 8 : 6);
    for (size_t i = 0; i < count; i++)
        point[i] = 0.5 * joint.point[i] + 0.17 + 0.03 * (double)i + (i == count - 2 ? 1.7 : 0);
    assert_done(foci_joint_cost(&cost, slope, modes, &joint.data, &joint.space, point, &err), err);
    for (size_t i = 0; i < count; i++) {
        const double step = 1e-4;
        double above = 0, below = 0, here = point[i];
        point[i] = here + step;
        assert_done(foci_joint_cost(&above, NULL, modes, &joint.data, &joint.space, point, &err), err);
        point[i] = here - step;
        assert_done(foci_joint_cost(&below, NULL, modes, &joint.data, &joint.space, point, &err), err);
        point[i] = here;
        assert_true(fabs(slope[i]) > 0.01);
        assert_near(slope[i], (above - below) / (2 * step), 1e-5 * (1 + fabs(slope[i])));
    }
    foci_joint_free(&joint);
}

/* Scores: the cost is the likelihood less the log of a normal prior, by its formula. */
static void test_scores_have_a_prior(void **state) {
    (void)state;
    field f;
    foci_joint joint = {0};
    foci_error err = {0};
    double modes[2 * STOPS] = {0}, cost = 0, prior = 0;
    fill_field(&f, true, true);
    assert_done(foci_joint_fit(&joint, f.seasons, 2, NAN, HOW, &err), err);
    assert_done(foci_joint_cost(&cost, NULL, modes, &joint.data, &joint.space, joint.point, &err), err);
    for (int s = 0; s < 2; s++) {
        double sigma = joint.parameters.sigma[s], noise = joint.parameters.noise[s];
        prior += 0.5 * (pow(log(sigma * sigma / 0.65), 2) + pow(log(noise * noise / 0.35), 2));
    }
    assert_true(prior > 0.05);
    assert_near(cost, prior - joint.modes[0].log_likelihood, 1e-9);
    foci_joint_free(&joint);
}

static void test_slopes_are_the_differences(void **state) {
    (void)state;
    check_slope(false);
    check_slope(true);
}

/* Any row of the catalog can be named: those with a slope of their own and those without, in the middle of the bounds.
 */
static void test_slopes_of_each_family_are_the_differences(void **state) {
    (void)state;
    for (const foci_correlation *row = foci_correlations; row->name; row++)
        for (int scores = 0; scores < 2; scores++) {
            const double step = 1e-4;
            field f;
            foci_error err = {0};
            foci_joint_space space = {0};
            double modes[2 * STOPS] = {0}, slope[FOCI_JOINT_NUMBERS_MOST], point[FOCI_JOINT_NUMBERS_MOST], cost = 0;
            const foci_correlation_family family = support_family(row->name);
            fill_field(&f, true, scores);
            foci_observations data = observed(f.seasons, 2, 25);
            assert_done(foci_joint_space_make(&space, &data, true, &family, &err), err);
            for (size_t i = 0; i < space.count; i++)
                point[i] = 0.53 * space.lower[i] + 0.47 * space.upper[i];
            assert_done(foci_joint_cost(&cost, slope, modes, &data, &space, point, &err), err);
            for (size_t i = 0; i < space.count; i++) {
                double above = 0, below = 0, here = point[i];
                point[i] = here + step;
                assert_done(foci_joint_cost(&above, NULL, modes, &data, &space, point, &err), err);
                point[i] = here - step;
                assert_done(foci_joint_cost(&below, NULL, modes, &data, &space, point, &err), err);
                point[i] = here;
                assert_near(slope[i], (above - below) / (2 * step), 1e-5 * (1 + fabs(slope[i])));
            }
            foci_observations_free(&data);
        }
}

typedef struct {
    const foci_joint *joint;
    double modes[2 * STOPS];
} tight;

static double tight_cost(const double *point, size_t count, void *context) {
    tight *t = context;
    foci_error err = {0};
    double cost = INFINITY;
    (void)count;
    return foci_joint_cost(&cost, NULL, t->modes, &t->joint->data, &t->joint->space, point, &err) ? cost : INFINITY;
}

/* A search of thousands of evaluations without slopes finds nothing better than a millionth. */
static void check_optimum(bool same_places, bool scores, double heading) {
    field f;
    foci_joint joint = {0};
    foci_error err = {0};
    double point[FOCI_JOINT_NUMBERS_MOST], least = 0;
    fill_field(&f, same_places, scores);
    assert_done(foci_joint_fit(&joint, f.seasons, 2, heading, HOW, &err), err);
    memcpy(point, joint.point, sizeof point);
    for (size_t i = 0; i < joint.space.count; i++) /* from elsewhere */
        point[i] += i % 2 ? 0.21 : -0.34;
    tight t = {.joint = &joint};
    assert_done(
        foci_minimise(point, joint.space.count, joint.space.lower, joint.space.upper, tight_cost, &t, &least, &err),
        err);
    double reached = tight_cost(joint.point, joint.space.count, &t);
    assert_near(reached, least, 1e-6);
    if (!scores)
        assert_near(-joint.modes[0].log_likelihood, least, 1e-6);
    for (size_t i = 0; i < joint.space.count; i++)
        assert_near(joint.point[i], point[i], 2e-3);
    foci_joint_free(&joint);
}

static void test_the_fast_search_ends_where_the_tight_one_does(void **state) {
    (void)state;
    check_optimum(true, false, 25);
    check_optimum(false, false, NAN);
    check_optimum(true, true, 25);
}

static void test_foci_that_come_back_are_told_from_those_that_do_not(void **state) {
    (void)state;
    for (int scores = 0; scores < 2; scores++) {
        field f;
        foci_joint same = {0}, other = {0};
        foci_error err = {0};
        fill_field(&f, true, scores);
        assert_done(foci_joint_fit(&same, f.seasons, 2, 30, HOW, &err), err);
        assert_true(same.verdict.p < 0.01);
        assert_true(same.verdict.mean_rho > 0.7);
        assert_near(same.parameters.range, same.parameters.family.practical * exp(same.point[scores ? 6 : 4]), 1e-9);
        fill_field(&f, false, scores);
        assert_done(foci_joint_fit(&other, f.seasons, 2, NAN, HOW, &err), err);
        assert_near(other.parameters.stretch, 1, 0);
        assert_true(other.verdict.p > 0.2);
        foci_joint_free(&same);
        foci_joint_free(&other);
    }
}

static void check_same(const foci_joint *a, const foci_joint *b, double tolerance) {
    for (size_t i = 0; i < a->space.count; i++)
        assert_near(b->point[i], a->point[i], tolerance);
    assert_near(b->verdict.ratio, a->verdict.ratio, tolerance);
    assert_near(b->verdict.mean_rho, a->verdict.mean_rho, tolerance);
}

/* The search ends within about 1e-6 of where it should, whatever the last digits of the places. */
static void test_shifted_turned_or_swapped_seasons_fit_the_same(void **state) {
    (void)state;
    for (int scores = 0; scores < 2; scores++) {
        field f, moved;
        foci_joint here = {0}, there = {0}, swapped = {0};
        foci_error err = {0};
        fill_field(&f, true, scores);
        fill_field(&moved, true, scores);
        const double turn = 0.83;
        for (int s = 0; s < 2; s++)
            for (int i = 0; i < STOPS; i++) {
                foci_point p = f.places[s][i];
                moved.places[s][i] = (foci_point){512345.7 + p.x * cos(turn) + p.y * sin(turn),
                                                  4612345.1 - p.x * sin(turn) + p.y * cos(turn)};
            }
        assert_done(foci_joint_fit(&here, f.seasons, 2, 20, HOW, &err), err);
        assert_done(foci_joint_fit(&there, moved.seasons, 2, 20 + turn * 180 / acos(-1), HOW, &err), err);
        check_same(&here, &there, 2e-5);
        const foci_season_readings turned[] = {f.seasons[1], f.seasons[0]};
        assert_done(foci_joint_fit(&swapped, turned, 2, 20, HOW, &err), err);
        assert_near(swapped.verdict.ratio, here.verdict.ratio, 2e-5);
        assert_near(swapped.parameters.mean[0], here.parameters.mean[1], 2e-5);
        foci_joint_free(&here);
        foci_joint_free(&there);
        foci_joint_free(&swapped);
    }
}

static void test_seasons_at_the_edge_can_be_read(void **state) {
    (void)state;
    foci_error err = {0};
    foci_joint joint = {0};
    const double zeros[3] = {0};
    const foci_point line[] = {{0, 0}, {10, 10}, {25, 25}};
    const foci_season_readings cases[][2] = {
        {small[0], small[1]},
        {small[0], {second_places, zeros, second_checked, 3}},                              /* nothing found */
        {{first_places, zeros, first_checked, 3}, {first_places, zeros, first_checked, 3}}, /* nor at the same places */
        {{line, first_hits, first_checked, 3}, {line, second_hits, second_checked, 3}},
        {small[0], {second_places, second_checked, second_checked, 3}}, /* every unit infected */
        {small[0], {second_places, second_hits, second_checked, 1}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        for (int rows = 0; rows < 2; rows++) {
            assert_done(foci_joint_fit(&joint, cases[i], 2, rows ? 45 : NAN, HOW, &err), err);
            double sum = 0;
            for (int r = 0; r < FOCI_JOINT_RHOS; r++) {
                assert_true(isfinite(joint.modes[r].log_likelihood));
                sum += joint.weight[r];
            }
            assert_near(sum, 1, 1e-12);
            assert_true(joint.verdict.p > 0 && joint.verdict.p <= 1);
            foci_joint_free(&joint);
        }
}

static void test_what_cannot_be_fitted_is_refused(void **state) {
    (void)state;
    foci_joint joint = {0};
    foci_error err = {0};
    assert_fails(foci_joint_fit(&joint, small, 1, NAN, HOW, &err), err, FOCI_BAD_SETTING, "two seasons");
    const foci_season_readings empty[] = {small[0], {second_places, second_hits, second_checked, 0}};
    assert_fails(foci_joint_fit(&joint, empty, 2, NAN, HOW, &err), err, FOCI_BAD_INPUT, "no stops");
    const foci_point one_place[] = {{5, 5}, {5, 5}, {5, 5}};
    const foci_season_readings heap[] = {{one_place, first_hits, first_checked, 3},
                                         {one_place, first_hits, first_checked, 3}};
    assert_fails(foci_joint_fit(&joint, heap, 2, NAN, HOW, &err), err, FOCI_NO_FIT, "share their places");
}

static void test_allocations_may_fail(void **state) {
    (void)state;
    bool ok = false;
    for (long n = 0; !ok; n += n < 60 ? 1 : 17) { /* hundreds are made within the search */
        foci_joint joint = {0};
        foci_error err = {0};
        foci_memory_fail_after(n);
        ok = foci_joint_fit(&joint, small, 2, 15, HOW, &err);
        foci_memory_fail_after(-1);
        assert_true(ok || err.status == FOCI_NO_MEMORY);
        foci_joint_free(&joint);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_scores_have_a_prior),
        cmocka_unit_test(test_slopes_are_the_differences),
        cmocka_unit_test(test_slopes_of_each_family_are_the_differences),
        cmocka_unit_test(test_the_fast_search_ends_where_the_tight_one_does),
        cmocka_unit_test(test_foci_that_come_back_are_told_from_those_that_do_not),
        cmocka_unit_test(test_shifted_turned_or_swapped_seasons_fit_the_same),
        cmocka_unit_test(test_seasons_at_the_edge_can_be_read),
        cmocka_unit_test(test_what_cannot_be_fitted_is_refused),
        cmocka_unit_test(test_allocations_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
