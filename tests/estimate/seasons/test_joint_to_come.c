/* A season to come beside those that have stops. */
#include "estimate/joint_cases.h"

static const foci_point asked[] = {{20, 30}, {5, 40}, {35, 10}};

/* Two seasons at parameters that are known, as a fit holds them. */
static void hold(foci_joint *joint, size_t rho) {
    foci_error err = {0};
    foci_latent work = {0};
    const foci_parameters parameters = small_parameters(foci_joint_rho[rho]);
    *joint = (foci_joint){0};
    assert_done(foci_observations_make(&joint->data, foci_response_binomial, small, 2, NULL, NAN, &err), err);
    assert_done(foci_latent_make(&work, joint->data.count, &err), err);
    foci_latent_take(&work, &joint->data);
    assert_done(foci_joint_mode_make(&joint->modes[rho], &work, &parameters, NULL, &err), err);
    foci_latent_free(&work);
}

/* The same as reading three seasons together, of which the last has no stops. */
static void it_is_a_season_without_stops(void **state) {
    (void)state;
    enum { RHO = 6, PLACES = 3 };
    foci_error err = {0};
    foci_joint joint;
    double mean[PLACES], covariance[PLACES * PLACES];
    hold(&joint, RHO);
    assert_done(foci_joint_to_come(mean, covariance, &joint, RHO, asked, PLACES, &err), err);

    const foci_season_readings three[] = {small[0], small[1], {first_places, first_hits, first_checked, 0}};
    foci_parameters parameters = small_parameters(foci_joint_rho[RHO]);
    parameters.mean[2] = (-2 - 1.8) / 2;
    parameters.sigma[2] = sqrt((1 + 0.8) / 2);
    foci_observations data = {0};
    foci_latent work = {0};
    foci_joint_mode mode = {0};
    foci_joint_places places = {0};
    assert_done(foci_observations_make(&data, foci_response_binomial, three, 3, NULL, NAN, &err), err);
    assert_done(foci_latent_make(&work, data.count, &err), err);
    foci_latent_take(&work, &data);
    assert_done(foci_joint_mode_make(&mode, &work, &parameters, NULL, &err), err);
    assert_done(foci_joint_places_make(&places, &data, asked, PLACES, &err), err);
    assert_done(foci_joint_mode_at(&places, &mode, &err), err);
    for (size_t i = 0; i < PLACES; i++) {
        assert_near(mean[i], places.mean[3 * i + 2], 1e-12);
        assert_near(covariance[i * PLACES + i], places.covariance[9 * i + 8], 1e-12);
        assert_true(covariance[i * PLACES + i] < 0.9 && covariance[i * PLACES + i] > 0.2);
    }
    foci_joint_places_free(&places);
    foci_joint_mode_free(&mode);
    foci_latent_free(&work);
    foci_observations_free(&data);
    foci_joint_free(&joint);
}

/* At rho 0 nothing is known but the means: K = sigma^2 R. */
static void unrelated_seasons_tell_nothing(void **state) {
    (void)state;
    foci_error err = {0};
    foci_joint joint;
    double mean[3], covariance[9];
    hold(&joint, 0);
    assert_done(foci_joint_to_come(mean, covariance, &joint, 0, asked, 3, &err), err);
    for (size_t i = 0; i < 3; i++) {
        assert_near(mean[i], -1.9, 1e-12);
        for (size_t k = 0; k < 3; k++)
            assert_near(covariance[3 * i + k], 0.9 * exp(-hypot(asked[i].x - asked[k].x, asked[i].y - asked[k].y) / 30),
                        1e-12);
    }
    foci_joint_free(&joint);
}

/* One season alone says nothing of rho: a half is taken. Two seasons with the same foci say more. */
static void how_much_comes_back(void **state) {
    (void)state;
    static field f;
    foci_error err = {0};
    foci_joint one = {0}, two = {0};
    fill_field(&f, true, false);
    assert_fails(foci_joint_fit(&one, f.seasons, 1, NAN, HOW, &err), err, FOCI_BAD_SETTING, "two seasons");
    err = (foci_error){0};
    assert_done(foci_joint_fit_any(&one, f.seasons, 1, NAN, HOW, &err), err);
    assert_near(foci_joint_rho[foci_joint_rho_to_come(&one)], 0.5, 0);
    assert_done(foci_joint_fit_any(&two, f.seasons, 2, NAN, HOW, &err), err);
    assert_true(foci_joint_rho[foci_joint_rho_to_come(&two)] > 0.5);
    foci_joint_free(&one);
    foci_joint_free(&two);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(it_is_a_season_without_stops),
                                       cmocka_unit_test(unrelated_seasons_tell_nothing),
                                       cmocka_unit_test(how_much_comes_back)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
