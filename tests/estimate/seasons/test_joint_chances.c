#include "estimate/joint_cases.h"

#include "base/linear.h"
#include "base/probability.h"
#include "estimate/seasons/joint_chances.h"

static const unsigned char two_groups[] = {0, 2, 1, 3};

/* The vector with known answers (two integrations; no published value), its fit replaced by the parameters of that
 * vector at rho = 0.6. */
static void test_two_seasons_at_a_known_place(void **state) {
    (void)state;
    foci_joint joint = {0};
    foci_error err = {0};
    const foci_point place = {20, 30};
    const double threshold[] = {log(0.1 / 0.9), log(0.1 / 0.9)};
    const foci_joint_question question = {threshold, two_groups, 4};
    double season[2], group[4];
    assert_done(foci_joint_fit(&joint, small, 2, NAN, HOW, &err), err);
    joint.parameters = small_parameters(foci_joint_rho[6]);
    foci_joint_mode_free(&joint.modes[6]);
    joint.modes[6] = mode_at(&joint.data, &joint.parameters);
    pin(&joint, 6);
    assert_done(foci_joint_chances(season, group, &joint, &question, &place, 1, HOW, &err), err);
    assert_near(season[0], .589082, 5.1e-7);
    assert_near(season[1], .729763, 5.1e-7);
    assert_near(group[3], .504075, 5.1e-7);
    assert_near(group[2], .589082 - .504075, 1.1e-6);
    assert_near(group[1], .729763 - .504075, 1.1e-6);
    assert_near(group[0] + group[1] + group[2] + group[3], 1, 1e-12);
    foci_joint_free(&joint);
}

enum { PATTERNS = 8, PLACES = 25, DRAWS = 200000 };

static void fill_places(foci_point *places) {
    for (int k = 0; k < PLACES; k++)
        places[k] = (foci_point){24.0 * (k % 5) + 3, 24.0 * (int)(k / 5) + 7};
}

/* Shares of patterns among many seeded draws, standard error 0.0011 at most. */
static void brute_force(double *share, const double *mean, const double *covariance, const double *threshold) {
    double lower[9];
    foci_error err = {0};
    foci_random draws = foci_random_stream(5, 6);
    memcpy(lower, covariance, sizeof lower);
    assert_done(foci_linear_factor(lower, 3, &err), err);
    for (int p = 0; p < PATTERNS; p++)
        share[p] = 0;
    for (int d = 0; d < DRAWS; d++) {
        double z[3];
        int pattern = 0;
        foci_random_normal(&draws, z, 3);
        for (int s = 0; s < 3; s++) {
            double level = mean[s];
            for (int k = 0; k <= s; k++)
                level += lower[k * 3 + s] * z[k];
            pattern |= (level >= threshold[s]) << s;
        }
        share[pattern] += 1.0 / DRAWS;
    }
}

/* 512 fixed vectors: no pattern's chance is off by more than 0.02, the mean error is below 0.004. */
static void test_three_seasons_are_the_brute_force_ones(void **state) {
    (void)state;
    static const unsigned char group[PATTERNS] = {0, 1, 2, 3, 4, 5, 6, 7};
    static double season[PLACES * 3], chance[PLACES * PATTERNS];
    const double threshold[] = {-0.9, -1.1, -0.7};
    const foci_joint_question question = {threshold, group, PATTERNS};
    field f;
    foci_joint joint = {0};
    foci_error err = {0};
    foci_point places[PLACES];
    double off = 0;
    fill_field(&f, true, false);
    fill_places(places);
    assert_done(foci_joint_fit(&joint, f.seasons, 3, NAN, HOW, &err), err);
    pin(&joint, 7);
    assert_done(foci_joint_chances(season, chance, &joint, &question, places, PLACES, HOW, &err), err);
    for (int k = 0; k < PLACES; k++) {
        double mean[3], c[9], share[PATTERNS], sum = 0;
        predict_one(&joint.modes[7], &joint.data, places[k], mean, c);
        brute_force(share, mean, c, threshold);
        for (int p = 0; p < PATTERNS; p++) {
            assert_near(chance[k * PATTERNS + p], share[p], 0.02);
            off += fabs(chance[k * PATTERNS + p] - share[p]);
            sum += chance[k * PATTERNS + p];
        }
        assert_near(sum, 1, 1e-12);
        for (int s = 0; s < 3; s++)
            assert_near(season[k * 3 + s], foci_normal_cdf((mean[s] - threshold[s]) / sqrt(c[4 * s])), 1e-12);
    }
    assert_true(off / (PLACES * PATTERNS) < 0.004);
    foci_joint_free(&joint);
}

/* Averages over rho: what each rho says by itself, weighted; threads change nothing. */
static void test_chances_are_averaged_over_rho(void **state) {
    (void)state;
    static double season[PLACES * 2], group[PLACES * 4], own[PLACES * 2], part[PLACES * 4], sum[PLACES * 4],
        threaded[PLACES * 4];
    const double threshold[] = {-0.9, -1.1};
    foci_joint_question question = {threshold, two_groups, 4};
    field f;
    foci_joint joint = {0};
    foci_error err = {0};
    foci_point places[PLACES];
    fill_field(&f, true, false);
    fill_places(places);
    assert_done(foci_joint_fit(&joint, f.seasons, 2, NAN, HOW, &err), err);
    assert_done(foci_joint_chances(season, group, &joint, &question, places, PLACES, HOW, &err), err);
    support_threads = 3;
    assert_done(foci_joint_chances(season, threaded, &joint, &question, places, PLACES, HOW, &err), err);
    support_threads = 1;
    assert_memory_equal(group, threaded, sizeof group);
    double weight[FOCI_JOINT_RHOS];
    memcpy(weight, joint.weight, sizeof weight);
    for (size_t r = 0; r < FOCI_JOINT_RHOS; r++) {
        pin(&joint, r);
        assert_done(foci_joint_chances(own, part, &joint, &question, places, PLACES, HOW, &err), err);
        for (int i = 0; i < PLACES * 4; i++)
            sum[i] += weight[r] * part[i];
    }
    for (int i = 0; i < PLACES * 4; i++)
        assert_near(group[i], sum[i], 1e-3); /* rhos of little weight are left out */
    foci_joint_free(&joint);
}

static bool attempt(foci_error *err) {
    static foci_joint joint;
    static bool fitted;
    const double threshold[] = {-2, -2};
    const foci_joint_question question = {threshold, two_groups, 4};
    const foci_point place = {20, 30};
    double season[2], group[4];
    foci_error own = {0};
    if (!fitted) {
        foci_memory_fail_after(-1);
        fitted = foci_joint_fit(&joint, small, 2, NAN, HOW, &own);
        foci_memory_fail_after(0);
    }
    bool ok = foci_joint_chances(season, group, &joint, &question, &place, 1, HOW, err);
    if (ok)
        foci_joint_free(&joint);
    return ok;
}

static void test_each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_two_seasons_at_a_known_place),
        cmocka_unit_test(test_three_seasons_are_the_brute_force_ones),
        cmocka_unit_test(test_chances_are_averaged_over_rho),
        cmocka_unit_test(test_each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
