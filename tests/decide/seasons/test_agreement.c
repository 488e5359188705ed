#include "support/support.h"

#include "estimate/joint_asked.h"
#include "fieldfoci/agreement.h"

/* No published value: recomputed from the definitions by another program. */
static void test_overlap_of_two_maps(void **state) {
    (void)state;
    const foci_overlap o = {18, 7, 9, 66};
    assert_near(foci_overlap_jaccard(&o), 0.529412, 5e-7);
    assert_near(foci_overlap_dice(&o), 0.692308, 5e-7);
    assert_near(foci_overlap_kappa(&o).kappa, 0.584416, 5e-7);
    assert_near(foci_overlap_expected(&o), 6.75, 1e-12);
    assert_near(foci_overlap_above(&o), 3.31e-8, 5e-11);
}

static void test_what_is_not_defined_has_no_number(void **state) {
    (void)state;
    const foci_overlap cold = {0, 0, 0, 41.5}, nothing = {0}, all = {37, 0, 0, 0};
    assert_near(foci_overlap_jaccard(&cold), NAN, 0);
    assert_near(foci_overlap_dice(&cold), NAN, 0);
    assert_near(foci_overlap_kappa(&cold).kappa, NAN, 0);
    assert_near(foci_overlap_kappa(&all).kappa, NAN, 0);
    assert_near(foci_overlap_kappa(&nothing).observed, NAN, 0);
    assert_near(foci_overlap_expected(&nothing), NAN, 0);
    assert_near(foci_overlap_above(&nothing), NAN, 0);
    assert_near(foci_overlap_above(&all), 1, 1e-12);
    const double flat[] = {2.5, 2.5, 2.5}, other[] = {1.5, NAN, 3};
    assert_near(foci_map_correlation(flat, other, 3), NAN, 0);
    assert_near(foci_map_correlation(other, other, 0), NAN, 0);
}

static double choose(int n, int k) {
    double value = k < 0 || k > n ? 0 : 1;
    for (int i = 1; i <= k && value > 0; i++)
        value *= (double)(n - k + i) / i;
    return value;
}

static void test_chance_of_an_overlap_adds_up(void **state) {
    (void)state;
    const int cells = 23, hot = 9, drawn = 17;
    for (int least = 3; least <= hot; least++) { /* 17 of 23 hold at least 3 of any 9 */
        double plain = 0;
        for (int k = least; k <= hot; k++)
            plain += choose(hot, k) * choose(cells - hot, drawn - k) / choose(cells, drawn);
        const foci_overlap o = {least, hot - least, drawn - least, cells - hot - drawn + least};
        assert_near(foci_overlap_above(&o), plain, 1e-12);
    }
}

/* Examples of an encyclopedia's article on kappa (0.40, 0.1304, 0.2593); standard errors recomputed. */
static void test_kappa_is_the_published_one(void **state) {
    (void)state;
    const foci_overlap rows[] = {{20, 5, 10, 15}, {45, 15, 25, 15}, {25, 35, 5, 35}};
    const double published[] = {0.4, 0.130435, 0.259259};
    for (int i = 0; i < 3; i++)
        assert_near(foci_overlap_kappa(&rows[i]).kappa, published[i], 5e-7);
    foci_kappa k = foci_overlap_kappa(&rows[0]);
    assert_near(k.observed, 0.7, 1e-12);
    assert_near(k.expected, 0.5, 1e-12);
    assert_near(k.error, 0.126996, 5e-7);
    assert_near(k.simple_error, 0.129615, 5e-7);
    assert_near(k.null_error, 0.138564, 5e-7);
}

/* Cohen 1968, Psychological Bulletin 70:213-220: .49 and .348. */
static void test_weighted_kappa_is_the_published_one(void **state) {
    (void)state;
    const double table[] = {.44, .07, .09, .05, .20, .05, .01, .03, .06}, cost[] = {0, 1, 3, 1, 0, 6, 3, 6, 0};
    const double free_of_cost[9] = {0};
    foci_error err = {0};
    foci_kappa k;
    assert_done(foci_kappa_make(&k, table, NULL, 3, &err), err);
    assert_near(k.kappa, 0.491525, 5e-7);
    assert_done(foci_kappa_make(&k, table, cost, 3, &err), err);
    assert_near(k.kappa, 0.347826, 5e-7);
    assert_done(foci_kappa_make(&k, table, free_of_cost, 3, &err), err);
    assert_near(k.kappa, NAN, 0);
}

/* Winder et al. 2019: r = -0.115, of 25 cells (18 of them empty on both; the paper's 16 would make 23). A cell without
 * a value on one map is left out. */
static void test_correlation_of_two_maps_is_the_published_one(void **state) {
    (void)state;
    double first[27] = {2, 0, 3, 0, 4, 0, 1}, second[27] = {0, 2, 0, 3, 0, 4, 1};
    first[25] = NAN;
    second[25] = 8.5;
    second[26] = NAN;
    assert_near(foci_map_correlation(first, second, 27), -0.115385, 5e-7);
}

static const foci_point places[] = {{0, 0},   {20, 5},  {42, 0}, {60, 8},  {5, 25},  {25, 30},
                                    {45, 22}, {62, 30}, {0, 50}, {22, 48}, {40, 55}, {61, 52}};
static const double first_values[] = {2, 3, 5, 4, 3, 6, 8, 5, 2, 4, 5, 3},
                    second_values[] = {1, 4, 4, 6, 2, 5, 9, 7, 1, 3, 6, 2};

/* Dutilleul 1993; numbers by two other programs in two languages, classes of 20 m. */
static void test_classical_modified_t(void **state) {
    (void)state;
    foci_error err = {0};
    foci_modified_t m;
    assert_done(foci_modified_t_classical(&m, places, first_values, second_values, 12, 20, &err), err);
    assert_near(m.correlation, 0.881000, 5e-7);
    assert_near(m.effective, 7.813227, 5e-7);
    assert_near(m.t, 4.489704, 5e-7);
    assert_near(m.t * m.t, 20.157441, 5e-6);
    assert_near(m.degrees, 5.813227, 5e-7);
    assert_near(m.both, 0.004484, 5e-7);
    assert_near(m.above, 0.002242, 5e-7);
    assert_fails(foci_modified_t_classical(&m, places, first_values, second_values, 2, 20, &err), err, FOCI_BAD_INPUT,
                 "three places");
    assert_fails(foci_modified_t_classical(&m, places, first_values, second_values, 12, 0, &err), err, FOCI_BAD_SETTING,
                 "wider class");
}

enum { CELLS = 6, STOPS = 3 };

static void predict(double *mean, double *root, const foci_season_readings *season, double centre, double variance,
                    const double *variances) {
    const foci_point cells[CELLS] = {{5, 10}, {20, 10}, {35, 10}, {5, 40}, {20, 40}, {35, 40}};
    const foci_correlation_family family = support_family("exponential");
    const foci_parameters p = {
        .mean = {centre}, .sigma = {sqrt(variance)}, .family = family, .range = 30 * family.practical, .stretch = 1};
    foci_observations data = observed(season, 1, 0);
    foci_joint_mode mode = mode_at(&data, &p);
    foci_joint_places asked = predicted(&mode, &data, cells, CELLS);
    for (int i = 0; i < CELLS; i++)
        assert_near(asked.covariance[i], variances[i], 5.1e-7);
    memcpy(mean, asked.mean, CELLS * sizeof *mean);
    memcpy(root, asked.root, CELLS * STOPS * sizeof *root);
    foci_joint_places_free(&asked);
    foci_joint_mode_free(&mode);
    foci_observations_free(&data);
}

/* Two seasons of counts, each by its own model; numbers by another program, no published value. */
static void test_modified_t_of_models(void **state) {
    (void)state;
    const foci_point at[2][STOPS] = {{{0, 0}, {30, 0}, {0, 60}}, {{10, 10}, {40, 20}, {10, 50}}};
    const double hits[2][STOPS] = {{4, 1, 0}, {3, 2, 1}}, checked[2][STOPS] = {{10, 10, 20}, {12, 12, 12}};
    const double means[2][CELLS] = {{-1.436059, -1.745016, -1.950503, -2.251522, -2.190937, -2.128815},
                                    {-1.463671, -1.512921, -1.620304, -1.845734, -1.822686, -1.778420}};
    const double variances[2][CELLS] = {{.646048, .702192, .728163, .830962, .879274, .926138},
                                        {.441033, .497699, .538514, .565706, .576156, .629588}};
    double mean[2][CELLS], root[2][CELLS * STOPS];
    for (int s = 0; s < 2; s++) {
        const foci_season_readings season = {at[s], hits[s], checked[s], STOPS};
        predict(mean[s], root[s], &season, s ? -1.8 : -2, s ? 0.8 : 1, variances[s]);
        for (int i = 0; i < CELLS; i++)
            assert_near(mean[s][i], means[s][i], 5.1e-7);
    }
    const foci_predicted_map maps[] = {{mean[0], root[0], STOPS}, {mean[1], root[1], STOPS}};
    foci_error err = {0};
    foci_modified_t m;
    assert_done(foci_modified_t_model(&m, &maps[0], &maps[1], CELLS, &err), err);
    assert_near(m.effective, 3.026686, 5.1e-7);
    assert_near(m.correlation, .962607, 5.1e-7);
    assert_near(m.t, 3.600435, 5.1e-7);
    assert_near(m.above, .083667, 5.1e-7);
    const double none[CELLS * STOPS] = {0};
    assert_done(foci_modified_t_model(&m, &maps[0], &(foci_predicted_map){mean[1], none, STOPS}, CELLS, &err), err);
    assert_near(m.effective, NAN, 0);
    assert_near(m.both, NAN, 0);
}

static bool attempt(foci_error *err) {
    const double table[] = {4, 1, 2, 5}, root[] = {1, 0.5, 0.25};
    foci_kappa k;
    foci_modified_t m;
    const foci_predicted_map map = {table, root, 1};
    return foci_kappa_make(&k, table, NULL, 2, err) &&
           foci_modified_t_classical(&m, places, first_values, second_values, 12, 20, err) &&
           foci_modified_t_model(&m, &map, &map, 3, err);
}

static void test_each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_overlap_of_two_maps),
        cmocka_unit_test(test_what_is_not_defined_has_no_number),
        cmocka_unit_test(test_chance_of_an_overlap_adds_up),
        cmocka_unit_test(test_kappa_is_the_published_one),
        cmocka_unit_test(test_weighted_kappa_is_the_published_one),
        cmocka_unit_test(test_correlation_of_two_maps_is_the_published_one),
        cmocka_unit_test(test_classical_modified_t),
        cmocka_unit_test(test_modified_t_of_models),
        cmocka_unit_test(test_each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
