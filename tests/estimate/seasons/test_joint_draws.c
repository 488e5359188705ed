#include "estimate/joint_cases.h"

#include "base/linear.h"
#include "estimate/seasons/joint_draws.h"

/* The plain twin: all second differences of the cost of all seasons, and H^-1/2 twice over undone by H. */
static void check_spread(bool scores, double heading) {
    enum { MOST = 8 };
    field f;
    foci_joint joint = {0};
    foci_error err = {0};
    double root[MOST * MOST], h[MOST * MOST], values[MOST], modes[2 * STOPS] = {0};
    fill_field(&f, true, scores);
    assert_done(foci_joint_fit(&joint, f.seasons, 2, heading, HOW, &err), err);
    size_t n = joint.space.count;
    assert_true(n <= MOST);
    double step[MOST], prior[MOST];
    for (size_t i = 0; i < n; i++) {
        bool ratio = !isnan(heading) && i == n - 1;
        step[i] = i < 2 || ratio ? 0.15 : 0.2;
        prior[i] = i < 2 ? 0.01 : ratio ? 4 : scores && i < 6 ? 0 : 1;
    }
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            static const int sides[4][2] = {{1, 1}, {1, 0}, {0, 1}, {0, 0}}, twice[3] = {1, 0, -1};
            double value[4] = {0}, point[FOCI_JOINT_NUMBERS_MOST];
            for (int k = 0; k < (i == j ? 3 : 4); k++) {
                memcpy(point, joint.point, sizeof point);
                point[i] += step[i] * (i == j ? twice[k] : sides[k][0]);
                if (i != j)
                    point[j] += step[j] * sides[k][1];
                assert_done(foci_joint_cost(&value[k], NULL, modes, &joint.data, &joint.space, point, &err), err);
            }
            h[j * n + i] = i == j ? (value[0] - 2 * value[1] + value[2]) / (step[i] * step[i]) + prior[i]
                                  : (value[0] - value[1] - value[2] + value[3]) / (step[i] * step[j]);
        }
    assert_done(foci_joint_spread(root, &joint, HOW, &err), err);
    double copy[MOST * MOST];
    memcpy(copy, h, sizeof copy);
    assert_done(foci_linear_eigen(copy, n, values, &err), err);
    assert_true(values[0] > 0.3); /* no floor is at work: root H root is one */
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            double sum = 0;
            for (size_t k = 0; k < n; k++)
                for (size_t l = 0; l < n; l++)
                    sum += root[k * n + i] * h[l * n + k] * root[j * n + l];
            assert_near(sum, i == j, 1e-5);
            assert_near(root[j * n + i], root[i * n + j], 1e-12);
        }
    foci_joint_free(&joint);
}

static void test_spread_is_the_root_of_the_curvature(void **state) {
    (void)state;
    check_spread(false, NAN);
    check_spread(false, 25);
    check_spread(true, 25);
}

/* Where the readings say nothing, the floor of 0.3 holds the spread. */
static void test_spread_is_held(void **state) {
    (void)state;
    foci_joint joint = {0};
    foci_error err = {0};
    const double zeros[3] = {0};
    const foci_season_readings seasons[] = {{first_places, zeros, first_checked, 3},
                                            {second_places, zeros, second_checked, 3}};
    double root[25], values[5];
    assert_done(foci_joint_fit(&joint, seasons, 2, NAN, HOW, &err), err);
    assert_done(foci_joint_spread(root, &joint, HOW, &err), err);
    assert_done(foci_linear_eigen(root, 5, values, &err), err);
    assert_near(values[4], 1 / sqrt(0.3), 1e-9);
    assert_true(values[0] > 0);
    foci_joint_free(&joint);
}

enum { PLACES = 4 };
static const foci_point places[PLACES] = {{25, 30}, {47, 88}, {100, 60}, {61, 33}};

typedef struct {
    double level[FOCI_JOINT_DRAWS][3 * PLACES], unrelated[FOCI_JOINT_DRAWS][3 * PLACES];
    size_t seasons;
} kept;

static bool keep(void *context, size_t draw, const double *level, const double *unrelated, foci_error *err) {
    kept *k = context;
    (void)err;
    memcpy(k->level[draw], level, k->seasons * PLACES * sizeof *level);
    memcpy(k->unrelated[draw], unrelated, k->seasons * PLACES * sizeof *unrelated);
    return true;
}

static const char *const keys[] = {"3f6c", "9a01", "c7d2"};

/* Parameters known: draws have the mean and covariance of the prediction, within four standard errors of
 * FOCI_JOINT_DRAWS draws. */
static void check_draws(bool scores) {
    static kept drawn;
    static double sum[2 * PLACES];
    field f;
    foci_joint joint = {0};
    foci_error err = {0};
    const size_t n = FOCI_JOINT_DRAWS;
    const foci_joint_draw_options options = {7, keys};
    memset(sum, 0, sizeof sum);
    fill_field(&f, true, scores);
    assert_done(foci_joint_fit(&joint, f.seasons, 2, 25, HOW, &err), err);
    pin(&joint, 6);
    drawn.seasons = 2;
    assert_done(foci_joint_draw(&joint, places, PLACES, &options, keep, &drawn, HOW, &err), err);
    for (size_t d = 0; d < n; d++)
        for (int i = 0; i < 2 * PLACES; i++)
            sum[i] += drawn.level[d][i] / (double)n;
    for (int k = 0; k < PLACES; k++) {
        double mean[2], c[4], products[3] = {0}, unrelated[3] = {0};
        predict_one(&joint.modes[6], &joint.data, places[k], mean, c);
        for (size_t d = 0; d < n; d++) {
            const double *u = drawn.unrelated[d];
            double a = drawn.level[d][k] - sum[k], b = drawn.level[d][PLACES + k] - sum[PLACES + k];
            products[0] += a * a / (double)n;
            products[1] += a * b / (double)n;
            products[2] += b * b / (double)n;
            unrelated[0] += u[k] * u[k] / (double)n;
            unrelated[1] += u[k] * u[PLACES + k] / (double)n;
            unrelated[2] += u[k] * drawn.level[d][PLACES + k] / (double)n;
        }
        for (int s = 0; s < 2; s++)
            assert_near(sum[s * PLACES + k], mean[s], 4 * sqrt(c[3 * s] / (double)n));
        assert_near(products[0], c[0], 4 * c[0] * sqrt(2.0 / (double)n));
        assert_near(products[2], c[3], 4 * c[3] * sqrt(2.0 / (double)n));
        assert_near(products[1], c[1], 4 * sqrt((c[0] * c[3] + c[1] * c[1]) / (double)n));
        assert_near(unrelated[0], 1, 4 * sqrt(2.0 / (double)n));
        assert_near(unrelated[1], 0, 4 / sqrt((double)n));
        assert_near(unrelated[2], 0, 4 * sqrt((c[3] + mean[1] * mean[1]) / (double)n));
    }
    foci_joint_free(&joint);
}

static void test_draws_have_the_posterior_mean_and_covariance(void **state) {
    (void)state;
    check_draws(false);
    check_draws(true);
}

/* Scores: parameters are chosen by their likelihood. At one place far from all stops, where draws are mean plus sigma
 * times a normal number, the draws' variance is that of a chain that walks through likelihood and prior (Metropolis et
 * al. 1953), within a quarter. */
static void test_parameters_of_scores_follow_the_likelihood(void **state) {
    (void)state;
    static kept drawn;
    static const foci_point far[PLACES] = {{1e5, 0}, {2e5, 0}, {3e5, 0}, {4e5, 0}};
    field f;
    foci_joint joint = {0};
    foci_error err = {0};
    const foci_joint_draw_options options = {9, keys};
    double modes[2 * STOPS] = {0}, point[FOCI_JOINT_NUMBERS_MOST], cost = 0, variance[2] = {0}, walked[2] = {0};
    fill_field(&f, true, true);
    f.seasons[0].count = f.seasons[1].count = 20;
    assert_done(foci_joint_fit(&joint, f.seasons, 2, NAN, HOW, &err), err);
    drawn.seasons = 2;
    assert_done(foci_joint_draw(&joint, far, PLACES, &options, keep, &drawn, HOW, &err), err);
    for (size_t d = 0; d < FOCI_JOINT_DRAWS; d++)
        for (int i = 0; i < 2 * PLACES; i++) {
            double off = drawn.level[d][i] - joint.parameters.mean[i / PLACES];
            variance[i / PLACES] += off * off / (FOCI_JOINT_DRAWS * PLACES);
        }
    foci_random draws = foci_random_stream(4, 4);
    memcpy(point, joint.point, sizeof point);
    assert_done(foci_joint_cost(&cost, NULL, modes, &joint.data, &joint.space, point, &err), err);
    enum { STEPS = 20000 };
    for (int step = 0; step < STEPS; step++) {
        double trial[FOCI_JOINT_NUMBERS_MOST], normal[FOCI_JOINT_NUMBERS_MOST], tried = 0;
        bool inside = true;
        foci_random_normal(&draws, normal, joint.space.count);
        for (size_t i = 0; i < joint.space.count; i++) {
            trial[i] = point[i] + 0.3 * normal[i];
            inside = inside && trial[i] >= joint.space.lower[i] && trial[i] <= joint.space.upper[i];
        }
        double lot = foci_random_share(&draws);
        if (inside) {
            assert_done(foci_joint_cost(&tried, NULL, modes, &joint.data, &joint.space, trial, &err), err);
            if (lot < exp(cost - tried)) {
                memcpy(point, trial, sizeof point);
                cost = tried;
            }
        }
        foci_parameters p = foci_joint_space_parameters(&joint.space, point);
        for (int s = 0; s < 2; s++)
            walked[s] += (pow(p.mean[s] - joint.parameters.mean[s], 2) + p.sigma[s] * p.sigma[s]) / STEPS;
    }
    for (int s = 0; s < 2; s++)
        print_message("drawn %g, walked %g, fitted %g\n", variance[s], walked[s], pow(joint.parameters.sigma[s], 2));
    for (int s = 0; s < 2; s++)
        assert_near(variance[s], walked[s], 0.25 * walked[s]);
    foci_joint_free(&joint);
}

/* The unrelated fields are correlated over distance as the model is. */
static void test_unrelated_fields_have_the_correlation(void **state) {
    (void)state;
    static kept drawn;
    field f;
    foci_joint joint = {0};
    foci_error err = {0};
    const foci_joint_draw_options options = {8, keys};
    fill_field(&f, true, false);
    assert_done(foci_joint_fit(&joint, f.seasons, 2, NAN, HOW, &err), err);
    pin(&joint, 0);
    drawn.seasons = 2;
    assert_done(foci_joint_draw(&joint, places, PLACES, &options, keep, &drawn, HOW, &err), err);
    double product = 0, distance = hypot(places[0].x - places[3].x, places[0].y - places[3].y);
    for (size_t d = 0; d < FOCI_JOINT_DRAWS; d++)
        product += drawn.unrelated[d][0] * drawn.unrelated[d][3] / FOCI_JOINT_DRAWS;
    double correlation = exp(-distance * joint.parameters.family.practical / joint.parameters.range);
    assert_near(product, correlation, 4 * sqrt((1 + correlation * correlation) / FOCI_JOINT_DRAWS));
    foci_joint_free(&joint);
}

/* What is drawn does not hang on threads; seed and key change it; turning and shifting the field does not, beyond what
 * the search for the parameters leaves (2e-5). */
static void test_what_draws_hang_on(void **state) {
    (void)state;
    static kept one, other;
    static const char *const other_keys[] = {"3f6c", "9a02"};
    field f;
    foci_joint joint = {0}, moved = {0};
    foci_error err = {0};
    foci_joint_draw_options options = {7, keys};
    fill_field(&f, true, false);
    one.seasons = other.seasons = 2;
    assert_done(foci_joint_fit(&joint, f.seasons, 2, 25, HOW, &err), err);
    assert_done(foci_joint_draw(&joint, places, PLACES, &options, keep, &one, HOW, &err), err);
    support_threads = 3;
    assert_done(foci_joint_draw(&joint, places, PLACES, &options, keep, &other, HOW, &err), err);
    support_threads = 1;
    assert_memory_equal(&one, &other, sizeof one);
    options.seed = 8;
    assert_done(foci_joint_draw(&joint, places, PLACES, &options, keep, &other, HOW, &err), err);
    assert_true(one.level[0][0] != other.level[0][0]);
    options.seed = 7;
    options.keys = other_keys;
    assert_done(foci_joint_draw(&joint, places, PLACES, &options, keep, &other, HOW, &err), err);
    assert_true(one.unrelated[0][PLACES] != other.unrelated[0][PLACES]);
    options.keys = keys;
    foci_point turned[PLACES];
    for (int s = 0; s < 2; s++)
        for (int i = 0; i < STOPS; i++)
            f.places[s][i] = (foci_point){4000 + f.places[s][i].y, 9000 - f.places[s][i].x};
    for (int k = 0; k < PLACES; k++)
        turned[k] = (foci_point){4000 + places[k].y, 9000 - places[k].x};
    assert_done(foci_joint_fit(&moved, f.seasons, 2, 25 + 90, HOW, &err), err);
    assert_done(foci_joint_draw(&moved, turned, PLACES, &options, keep, &other, HOW, &err), err);
    for (size_t d = 0; d < FOCI_JOINT_DRAWS; d++)
        for (int i = 0; i < 2 * PLACES; i++)
            assert_near(other.level[d][i], one.level[d][i], 2e-4);
    foci_joint_free(&joint);
    foci_joint_free(&moved);
}

static bool attempt(foci_error *err) {
    static foci_joint joint;
    static bool fitted;
    static kept drawn;
    const foci_joint_draw_options options = {7, keys};
    foci_error own = {0};
    if (!fitted) {
        foci_memory_fail_after(-1);
        fitted = foci_joint_fit(&joint, small, 2, NAN, HOW, &own);
        foci_memory_fail_after(0);
    }
    drawn.seasons = 2;
    bool ok = foci_joint_draw(&joint, places, PLACES, &options, keep, &drawn, HOW, err);
    if (ok)
        foci_joint_free(&joint);
    return ok;
}

static void test_each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

static bool refuse(void *context, size_t draw, const double *level, const double *unrelated, foci_error *err) {
    (void)context;
    (void)level;
    (void)unrelated;
    return draw < 100 || foci_fail(err, FOCI_NO_FIT, NULL, 0, "enough");
}

static void test_the_one_who_is_told_can_end_it(void **state) {
    (void)state;
    foci_joint joint = {0};
    foci_error err = {0};
    const foci_joint_draw_options options = {7, keys};
    assert_done(foci_joint_fit(&joint, small, 2, NAN, HOW, &err), err);
    assert_fails(foci_joint_draw(&joint, places, PLACES, &options, refuse, NULL, HOW, &err), err, FOCI_NO_FIT,
                 "enough");
    foci_joint_free(&joint);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_spread_is_the_root_of_the_curvature),
        cmocka_unit_test(test_spread_is_held),
        cmocka_unit_test(test_draws_have_the_posterior_mean_and_covariance),
        cmocka_unit_test(test_parameters_of_scores_follow_the_likelihood),
        cmocka_unit_test(test_unrelated_fields_have_the_correlation),
        cmocka_unit_test(test_what_draws_hang_on),
        cmocka_unit_test(test_each_allocation_may_fail),
        cmocka_unit_test(test_the_one_who_is_told_can_end_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
