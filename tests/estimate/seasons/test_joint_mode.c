#include "estimate/joint_cases.h"

#include "base/probability.h"

/* Expected numbers: Laplace's approximation in two other programs, chances of both by two integrations; no published
 * value. */
static const struct {
    double rho, log_likelihood, mean[2], variance[2], correlation, chance[2], both;
} expected[] = {{0, -30.936188, {-2.029206, -1.705522}, {.863603, .571959}, 0, {.571738, .742205}, .424347},
                {.3, -30.804892, {-2.013860, -1.718893}, {.851211, .571670}, .258361, {.578769, .736515}, .460050},
                {.6, -30.668231, {-1.994332, -1.735553}, {.811812, .568888}, .536051, {.589082, .729763}, .504075},
                {.9, -30.518070, {-1.968626, -1.755440}, {.735768, .562346}, .866131, {.605074, .722112}, .574030}};

static void check_row(size_t r, const foci_observations *data, double *log_likelihood) {
    const foci_parameters parameters = small_parameters(expected[r].rho);
    foci_joint_mode mode = mode_at(data, &parameters);
    double mean[2], c[4], off[2];
    predict_one(&mode, data, (foci_point){20, 30}, mean, c);
    assert_near(mode.log_likelihood, expected[r].log_likelihood, 5.1e-7);
    for (int s = 0; s < 2; s++) {
        assert_near(mean[s], expected[r].mean[s], 5.1e-7);
        assert_near(c[3 * s], expected[r].variance[s], 5.1e-7);
        off[s] = (mean[s] - log(0.1 / 0.9)) / sqrt(c[3 * s]);
        assert_near(foci_normal_cdf(off[s]), expected[r].chance[s], 5.1e-7);
    }
    assert_near(c[1], c[2], 1e-15);
    assert_near(c[1] / sqrt(c[0] * c[3]), expected[r].correlation, 5.1e-7);
    assert_near(foci_normal_pair_below(off[0], off[1], c[1] / sqrt(c[0] * c[3])), expected[r].both, 5.1e-7);
    *log_likelihood = mode.log_likelihood;
    if (r == 2) {
        const double known[] = {1.059255, .116406, -.926633, .514575, .126279, -.349445};
        for (int i = 0; i < 6; i++)
            assert_near(mode.field[i], known[i], 5.1e-7);
    }
    foci_joint_mode_free(&mode);
    foci_joint_mode_free(&mode);
}

static void test_joint_model_at_one_place(void **state) {
    (void)state;
    foci_observations data = observed(small, 2, 37.5); /* the same in all directions: any heading */
    double rho[4], log_likelihood[4], weight[4], sum = 0;
    for (size_t r = 0; r < 4; r++) {
        rho[r] = expected[r].rho;
        check_row(r, &data, &log_likelihood[r]);
    }
    foci_joint_verdict verdict = foci_joint_judge(weight, rho, log_likelihood, 4);
    assert_near(verdict.ratio, .836236, 5.1e-7);
    assert_near(verdict.p, .180238, 5.1e-7);
    assert_near(verdict.best, 0.9, 0);
    for (size_t r = 0; r < 4; r++)
        sum += weight[r];
    assert_near(sum, 1, 1e-14);
    assert_near(weight[3] / weight[0], exp(.418118) / 3, 1e-6);
    foci_observations_free(&data);
    foci_observations_free(&data);
}

static void test_nothing_in_common_gives_p_1(void **state) {
    (void)state;
    const double rho[] = {0, 0.4, 0.9}, log_likelihood[] = {-12.25, -12.5, -13.75};
    double weight[3];
    foci_joint_verdict verdict = foci_joint_judge(weight, rho, log_likelihood, 3);
    assert_near(verdict.p, 1, 0);
    assert_near(verdict.ratio, 0, 0);
    double part[] = {0.5, 0.25 * exp(-0.25), 0.25 * exp(-1.5)};
    double sum = part[0] + part[1] + part[2];
    assert_near(verdict.mean_rho, (0.4 * part[1] + 0.9 * part[2]) / sum, 1e-14);
}

/* The plain twin of scores: the joint normal density and the regression on it, by Gaussian elimination without pivots,
 * which a positive definite matrix does not need. */
enum { ALL = 6 };

static double eliminate(double a[ALL][ALL], double *right) {
    double log_determinant = 0;
    for (int k = 0; k < ALL; k++) {
        log_determinant += log(a[k][k]);
        for (int i = k + 1; i < ALL; i++) {
            double times = a[i][k] / a[k][k];
            for (int j = k; j < ALL; j++)
                a[i][j] -= times * a[k][j];
            right[i] -= times * right[k];
        }
    }
    for (int k = ALL - 1; k >= 0; k--) {
        for (int j = k + 1; j < ALL; j++)
            right[k] -= a[k][j] * right[j];
        right[k] /= a[k][k];
    }
    return log_determinant;
}

static double plain_covariance(const foci_parameters *p, foci_point a, int s, foci_point b, int u) {
    double along = (a.x - b.x) * sin(0.5) + (a.y - b.y) * cos(0.5);
    double across = (a.x - b.x) * cos(0.5) - (a.y - b.y) * sin(0.5);
    return p->sigma[s] * p->sigma[u] * (s == u ? 1 : p->rho) * exp(-hypot(along, across * p->stretch) / 43);
}

static void fill_plain(double a[ALL][ALL], const foci_parameters *p, const foci_point *places) {
    for (int i = 0; i < ALL; i++)
        for (int j = 0; j < ALL; j++)
            a[i][j] =
                plain_covariance(p, places[i], i / 3, places[j], j / 3) + (i == j) * p->noise[i / 3] * p->noise[i / 3];
}

static void test_scores_are_the_joint_normal(void **state) {
    (void)state;
    static const double scores[] = {0.83, -1.21, 0.47, 1.385, -0.52, 0.114};
    const foci_season_readings seasons[] = {{first_places, scores, NULL, 3}, {second_places, scores + 3, NULL, 3}};
    const foci_correlation_family family = support_family("exponential");
    const foci_parameters p = {.family = family,
                               .range = 43 * family.practical,
                               .stretch = 1.7,
                               .mean = {0.13, -0.31},
                               .sigma = {0.92, 1.17},
                               .noise = {0.41, 0.28},
                               .rho = 0.45};
    const foci_point place = {17, 23};
    foci_point places[ALL];
    double a[ALL][ALL], solved[ALL], off[ALL], mean[2], c[4];
    for (int i = 0; i < ALL; i++) {
        places[i] = i < 3 ? first_places[i] : second_places[i - 3];
        off[i] = solved[i] = scores[i] - p.mean[i / 3];
    }
    fill_plain(a, &p, places);
    double density = -0.5 * eliminate(a, solved) - ALL * 0.5 * log(2 * acos(-1));
    for (int i = 0; i < ALL; i++)
        density -= 0.5 * off[i] * solved[i];
    foci_observations data = observed(seasons, 2, 0.5 * 180 / acos(-1));
    foci_joint_mode mode = mode_at(&data, &p);
    assert_near(mode.log_likelihood, density, 1e-12);
    predict_one(&mode, &data, place, mean, c);
    for (int s = 0; s < 2; s++) {
        double expected_mean = p.mean[s], with[ALL];
        for (int i = 0; i < ALL; i++) {
            with[i] = plain_covariance(&p, places[i], i / 3, place, s);
            expected_mean += with[i] * solved[i];
        }
        assert_near(mean[s], expected_mean, 1e-12);
        fill_plain(a, &p, places);
        eliminate(a, with);
        for (int u = 0; u < 2; u++) {
            double left = plain_covariance(&p, place, u, place, s);
            for (int i = 0; i < ALL; i++)
                left -= with[i] * plain_covariance(&p, places[i], i / 3, place, u);
            assert_near(c[u * 2 + s], left, 1e-12);
        }
    }
    foci_joint_mode_free(&mode);
    foci_observations_free(&data);
}

/* root'root of two places is what the predictor varies by; at one place, prior less posterior covariance. */
static void test_root_is_of_the_predictor(void **state) {
    (void)state;
    const foci_parameters parameters = small_parameters(0.6);
    const foci_point places[] = {{20, 30}, {5, 44}};
    foci_observations data = observed(small, 2, 0);
    foci_joint_mode mode = mode_at(&data, &parameters);
    foci_joint_places asked = predicted(&mode, &data, places, 2);
    for (int k = 0; k < 2; k++)
        for (int s = 0; s < 2; s++)
            for (int u = 0; u < 2; u++) {
                double sum = 0;
                for (int i = 0; i < 6; i++)
                    sum += asked.root[(2 * s + k) * 6 + i] * asked.root[(2 * u + k) * 6 + i];
                assert_near(sum, foci_covariance_between(&parameters, s, u) - asked.covariance[4 * k + 2 * s + u],
                            1e-14);
            }
    assert_near(asked.mean[0], expected[2].mean[0], 5.1e-7);
    foci_joint_places_free(&asked);
    foci_joint_places_free(&asked);
    foci_joint_mode_free(&mode);
    foci_observations_free(&data);
}

static bool attempt(foci_error *err) {
    const foci_parameters parameters = small_parameters(0.3);
    const foci_point place = {20, 30};
    foci_observations data = {0};
    foci_joint_mode mode = {0};
    foci_joint_places asked = {0};
    foci_latent work = {0};
    bool ok = foci_observations_make(&data, foci_response_binomial, small, 2, NULL, 0, err) &&
              foci_latent_make(&work, data.count, err);
    if (ok) {
        foci_latent_take(&work, &data);
        ok = foci_joint_mode_make(&mode, &work, &parameters, NULL, err) &&
             foci_joint_places_make(&asked, &data, &place, 1, err) && foci_joint_mode_at(&asked, &mode, err);
    }
    foci_observations_free(&data);
    foci_latent_free(&work);
    foci_joint_mode_free(&mode);
    foci_joint_places_free(&asked);
    return ok;
}

static void test_each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

static void ends_of_rho_by_its_weight(void **state) {
    (void)state;
    const double weight[FOCI_JOINT_RHOS] = {0.03, 0.01, 0.02, 0.04, 0.1, 0.2, 0.3, 0.2, 0.04, 0.03, 0.03};
    assert_near(foci_joint_rho_below(weight, 0.05), 0.2, 0); /* .03 + .01 + .02 */
    assert_near(foci_joint_rho_below(weight, 0.5), 0.6, 0);
    assert_near(foci_joint_rho_below(weight, 0.95), 0.9, 0);
    assert_near(foci_joint_rho_below(weight, 1), 0.97, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_joint_model_at_one_place),    cmocka_unit_test(test_nothing_in_common_gives_p_1),
        cmocka_unit_test(test_scores_are_the_joint_normal), cmocka_unit_test(test_root_is_of_the_predictor),
        cmocka_unit_test(ends_of_rho_by_its_weight),        cmocka_unit_test(test_each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
