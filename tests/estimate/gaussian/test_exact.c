/* The likelihoods against dense textbook formulas. */
#include "support/likelihood_at.h"

enum { STOPS = 23, MOST = 6 };

static const size_t FUNCTIONS[] = {1, 3, 6};

#define TWO_PI 6.283185307179586

/* Inverse and determinant by Gauss-Jordan elimination with row exchange. */
static double invert(size_t n, double a[STOPS][STOPS], double inverse[STOPS][STOPS]) {
    double determinant = 1, work[STOPS][2 * STOPS] = {{0}};
    for (size_t i = 0; i < n; i++) {
        memcpy(work[i], a[i], n * sizeof(double));
        work[i][n + i] = 1;
    }
    for (size_t k = 0; k < n; k++) {
        size_t pivot = k;
        for (size_t i = k; i < n; i++)
            if (fabs(work[i][k]) > fabs(work[pivot][k]))
                pivot = i;
        determinant *= pivot == k ? 1 : -1;
        for (size_t j = 0; j < 2 * n; j++) {
            double swap = work[k][j];
            work[k][j] = work[pivot][j];
            work[pivot][j] = swap;
        }
        double scale = work[k][k];
        determinant *= scale;
        for (size_t j = 0; j < 2 * n; j++)
            work[k][j] /= scale;
        for (size_t i = 0; i < n; i++) {
            double factor = i == k ? 0 : work[i][k];
            for (size_t j = 0; j < 2 * n; j++)
                work[i][j] -= factor * work[k][j];
        }
    }
    for (size_t i = 0; i < n; i++)
        memcpy(inverse[i], work[i] + n, n * sizeof(double));
    return determinant;
}

/* The density of x ~ N(0, sill A), at the sill that makes it greatest. */
static double best_density(size_t n, double a[STOPS][STOPS], const double *x, double *sill) {
    double inverse[STOPS][STOPS], squares = 0;
    double determinant = invert(n, a, inverse);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            squares += x[i] * inverse[i][j] * x[j];
    *sill = squares / (double)n;
    return -0.5 * ((double)n * log(TWO_PI * *sill) + log(determinant) + squares / *sill);
}

static void fill_functions(double f[STOPS][MOST], const foci_readings *stops) {
    for (size_t i = 0; i < STOPS; i++) {
        double x = stops->places[i].x / 100 - 3,
               y = stops->places[i].y / 100 + 1; /* another frame than the tested one */
        const double all[] = {1, x, y, x * x, x * y, y * y};
        memcpy(f[i], all, sizeof all);
    }
}

static void fill_matrix(double r[STOPS][STOPS], const foci_readings *stops, const foci_variogram *model) {
    for (size_t i = 0; i < STOPS; i++)
        for (size_t j = 0; j < STOPS; j++)
            r[i][j] = 1 - foci_variogram_at(model, stops->places[i], stops->places[j]);
}

/* Generalised least squares from the inverse, then the density of what is left. */
static double twin_likelihood(const foci_readings *stops, const foci_variogram *model, int order, double *sill) {
    double r[STOPS][STOPS], inverse[STOPS][STOPS], f[STOPS][MOST], normal[STOPS][STOPS], solved[STOPS][STOPS];
    double right[MOST] = {0}, left[STOPS];
    size_t p = FUNCTIONS[order];
    fill_matrix(r, stops, model);
    fill_functions(f, stops);
    invert(STOPS, r, inverse);
    memset(normal, 0, sizeof normal);
    for (size_t a = 0; a < p; a++)
        for (size_t i = 0; i < STOPS; i++)
            for (size_t j = 0; j < STOPS; j++) {
                right[a] += f[i][a] * inverse[i][j] * stops->values[j];
                for (size_t b = 0; b < p; b++)
                    normal[a][b] += f[i][a] * inverse[i][j] * f[j][b];
            }
    invert(p, normal, solved);
    for (size_t i = 0; i < STOPS; i++) {
        left[i] = stops->values[i];
        for (size_t a = 0; a < p; a++)
            for (size_t b = 0; b < p; b++)
                left[i] -= f[i][a] * solved[a][b] * right[b];
    }
    return best_density(STOPS, r, left, sill);
}

/* What restricted likelihood is by definition (Patterson & Thompson 1971): the density of n - p error contrasts, here
 * orthonormal ones by Gram-Schmidt. */
static double twin_restricted(const foci_readings *stops, const foci_variogram *model, int order, double *sill) {
    double r[STOPS][STOPS], f[STOPS][MOST], basis[2 * STOPS][STOPS], among[STOPS][STOPS] = {{0}}, x[STOPS] = {0};
    size_t p = FUNCTIONS[order], kept = 0;
    fill_matrix(r, stops, model);
    fill_functions(f, stops);
    for (size_t k = 0; k < p + STOPS && kept < STOPS; k++) {
        double column[STOPS], length = 0;
        for (size_t i = 0; i < STOPS; i++)
            column[i] = k < p ? f[i][k] : i == k - p;
        for (int twice = 0; twice < 2; twice++)
            for (size_t b = 0; b < kept; b++) {
                double along = 0;
                for (size_t i = 0; i < STOPS; i++)
                    along += basis[b][i] * column[i];
                for (size_t i = 0; i < STOPS; i++)
                    column[i] -= along * basis[b][i];
            }
        for (size_t i = 0; i < STOPS; i++)
            length += column[i] * column[i];
        if (length < 1e-6)
            continue;
        for (size_t i = 0; i < STOPS; i++)
            basis[kept][i] = column[i] / sqrt(length);
        kept++;
    }
    assert_int_equal(kept, STOPS);
    for (size_t a = p; a < STOPS; a++)
        for (size_t i = 0; i < STOPS; i++) {
            x[a - p] += basis[a][i] * stops->values[i];
            for (size_t b = p; b < STOPS; b++)
                for (size_t j = 0; j < STOPS; j++)
                    among[a - p][b - p] += basis[a][i] * r[i][j] * basis[b][j];
        }
    return best_density(STOPS - p, among, x, sill);
}

static foci_variogram shape_of(const foci_correlation *kind, double share, double range, double heading, double ratio) {
    return (foci_variogram){.kind = kind,
                            .nugget = share,
                            .partial_sill = 1 - share,
                            .range = range,
                            .heading = heading,
                            .ratio = ratio,
                            .smoothness = kind->has_smoothness ? 1.5 : 0};
}

/* Every model tried by default, each order of trend, with and without nugget and direction. */
static void test_textbook(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 7561);
    for (const foci_correlation *kind = foci_correlations; kind->name; kind++)
        for (int order = 0; order <= 2; order++)
            for (int variant = 0; variant < 4 && (kind->tried_by & FOCI_TRIED_BY_SCORES); variant++) {
                foci_variogram model =
                    shape_of(kind, variant & 1 ? 0.235 : 0, 137, variant & 2 ? 61 : 0, variant & 2 ? 0.37 : 1);
                double sill = 0, wanted = twin_likelihood(&stops, &model, order, &sill);
                foci_likelihood_value value = support_likelihood_at(&stops, &model, order, false);
                assert_near(value.log, wanted, 1e-8);
                assert_near(value.sill, sill, 1e-9 * sill);
                wanted = twin_restricted(&stops, &model, order, &sill);
                value = support_likelihood_at(&stops, &model, order, true);
                assert_near(value.log, wanted, 1e-8);
                assert_near(value.sill, sill, 1e-9 * sill);
            }
    support_readings_free(&stops);
}

/* Without likeness the values are those of independent normal readings: the variance with n, and with n - 1. */
static void test_pure_nugget(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 3);
    foci_variogram model = shape_of(foci_correlation_find("exponential"), 1, 50, 0, 1);
    double mean = 0, squares = 0, n = STOPS;
    for (size_t i = 0; i < STOPS; i++)
        mean += stops.values[i] / n;
    for (size_t i = 0; i < STOPS; i++)
        squares += (stops.values[i] - mean) * (stops.values[i] - mean);
    foci_likelihood_value value = support_likelihood_at(&stops, &model, 0, false);
    assert_near(value.sill, squares / n, 1e-10);
    assert_near(value.log, -0.5 * n * (log(TWO_PI * squares / n) + 1), 1e-10);
    value = support_likelihood_at(&stops, &model, 0, true);
    assert_near(value.sill, squares / (n - 1), 1e-10);
    assert_near(value.log, -0.5 * (n - 1) * (log(TWO_PI * squares / (n - 1)) + 1), 1e-10);
    support_readings_free(&stops);
}

/* A trend of the order that is taken out changes nothing, nor does moving or turning the field; readings in other units
 * change the density by that factor for each contrast. */
static void test_what_does_not_matter(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 99);
    foci_variogram model = shape_of(foci_correlation_find("matern"), 0.11, 61, 20, 0.45);
    for (int order = 0; order <= 2; order++) {
        double before = support_likelihood_at(&stops, &model, order, true).log;
        foci_readings other = support_random_readings(STOPS, 99);
        foci_variogram turned = model;
        for (size_t i = 0; i < STOPS; i++) {
            double x = stops.places[i].x, y = stops.places[i].y;
            const double trends[] = {17.5, 0.03 * x - 0.07 * y, 1e-4 * (x * x - 2 * x * y + 0.3 * y * y)};
            for (int k = 0; k <= order; k++)
                other.values[i] += trends[k];
            other.values[i] *= 2.5;
            other.places[i] = (foci_point){640000 + 0.8 * x + 0.6 * y, 5800000 - 0.6 * x + 0.8 * y};
        }
        turned.heading += atan2(0.6, 0.8) * 360 / TWO_PI;
        double after = support_likelihood_at(&other, &turned, order, true).log;
        assert_near(after, before - (double)(STOPS - FUNCTIONS[order]) * log(2.5), 2e-6);
        support_readings_free(&other);
    }
    support_readings_free(&stops);
}

/* Several columns at once are each alone. */
static void test_columns(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 12), second = support_random_readings(STOPS, 13);
    foci_variogram model = shape_of(foci_correlation_find("spherical"), 0.31, 200, 0, 1);
    double both[2 * STOPS];
    memcpy(both, stops.values, sizeof both / 2);
    memcpy(both + STOPS, second.values, sizeof both / 2);
    foci_observations observed = support_observed(&stops, 1, 0);
    foci_likelihood likelihood = {0};
    foci_exact *work = NULL;
    foci_likelihood_value values[2];
    foci_error err = {0};
    double sill = 0;
    const foci_covariance_shape shape = foci_covariance_shape_of(&model, &sill);
    const foci_parameters at = foci_covariance_shape_parameters(&shape, 1, 1);
    assert_done(foci_likelihood_make(&likelihood, &observed, both, 2, true, &err), err);
    work = foci_exacts_make(1, &likelihood, &err);
    assert_non_null(work);
    foci_exact_likelihood(values, work, &likelihood, &at);
    assert_near(values[0].log, support_likelihood_at(&stops, &model, 1, true).log, 1e-10);
    memcpy(stops.values, second.values, sizeof both / 2);
    assert_near(values[1].log, support_likelihood_at(&stops, &model, 1, true).log, 1e-10);
    foci_exacts_free(work, 1);
    foci_observations_free(&observed);
    support_readings_free(&stops);
    support_readings_free(&second);
}

/* A folded column is part of the covariance, its mean of the readings. */
static void test_a_folded_column(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 41);
    foci_variogram model = shape_of(foci_correlation_find("exponential"), 0.2, 90, 0, 1);
    double r[STOPS][STOPS], left[STOPS], sill = 0, variogram_sill = 0;
    const foci_columns intercept = foci_columns_intercepts(1, 4.25, 1.7);
    const foci_season_readings season = {stops.places, stops.values, NULL, STOPS};
    foci_observations observed = {0};
    foci_likelihood likelihood = {0};
    foci_likelihood_value value = {0};
    foci_error err = {0};
    fill_matrix(r, &stops, &model);
    for (size_t i = 0; i < STOPS; i++) {
        left[i] = stops.values[i] - 4.25;
        for (size_t j = 0; j < STOPS; j++)
            r[i][j] += 1.7;
    }
    double wanted = best_density(STOPS, r, left, &sill);
    assert_done(foci_observations_make(&observed, foci_response_normal, &season, 1, &intercept, 0, &err), err);
    assert_done(foci_likelihood_make(&likelihood, &observed, observed.readings, 1, true, &err), err);
    foci_exact *work = foci_exacts_make(1, &likelihood, &err);
    assert_non_null(work);
    const foci_covariance_shape shape = foci_covariance_shape_of(&model, &variogram_sill);
    const foci_parameters at = foci_covariance_shape_parameters(&shape, 1, 1);
    foci_exact_likelihood(&value, work, &likelihood, &at);
    assert_near(value.log, wanted, 1e-8);
    assert_near(value.sill, sill, 1e-9 * sill);
    foci_exacts_free(work, 1);
    foci_observations_free(&observed);
    support_readings_free(&stops);
}

/* The precision with the flat columns taken out: it says nothing of them, and as much of each reading as leaving it out
 * does (Dubrule 1983). */
static void test_precision(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 78);
    foci_observations observed = support_observed(&stops, 1, 0);
    const foci_variogram model = shape_of(foci_correlation_find("exponential"), 0.2, 70, 0, 1);
    double sill = 0, precision[STOPS * STOPS], estimate[STOPS], variance[STOPS];
    const foci_covariance_shape shape = foci_covariance_shape_of(&model, &sill);
    const foci_parameters at = foci_covariance_shape_parameters(&shape, 1, 1);
    foci_exact work = {0};
    foci_error err = {0};
    assert_done(foci_exact_make(&work, STOPS, 4, true, &err), err);
    foci_exact_take(&work, &observed);
    assert_done(foci_exact_solve(&work, &at, &err), err);
    assert_done(foci_exact_precision(precision, &work, &err), err);
    assert_done(foci_exact_solve(&work, &at, &err), err);
    assert_done(foci_exact_leave_one_out(estimate, variance, &work, &err), err);
    for (size_t i = 0; i < STOPS; i++) {
        double pull = 0;
        for (size_t k = 0; k < observed.columns.count; k++) {
            double of_column = 0;
            for (size_t j = 0; j < STOPS; j++)
                of_column += precision[i + j * STOPS] * observed.f[j + k * observed.rows];
            assert_near(of_column, 0, 1e-9);
        }
        for (size_t j = 0; j < STOPS; j++) {
            pull += precision[i + j * STOPS] * observed.readings[j];
            assert_near(precision[i + j * STOPS], precision[j + i * STOPS], 0);
        }
        assert_near(1 / precision[i + i * STOPS], variance[i], 1e-9 * variance[i]);
        assert_near(observed.readings[i] - pull * variance[i], estimate[i], 1e-8);
    }
    foci_exact_free(&work);
    foci_observations_free(&observed);
    support_readings_free(&stops);
}

/* Lean, each point is worked anew, and to the same bits. */
static void test_lean(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 77);
    foci_observations observed = support_observed(&stops, 1, 0);
    foci_likelihood likelihood = {0};
    foci_exact whole = {0}, lean = {0};
    foci_error err = {0};
    assert_done(foci_likelihood_make(&likelihood, &observed, observed.readings, 1, true, &err), err);
    assert_done(foci_exact_make(&whole, STOPS, 4, false, &err), err);
    assert_done(foci_exact_make(&lean, STOPS, 4, true, &err), err);
    foci_exact_take(&whole, &observed);
    foci_exact_take(&lean, &observed);
    for (int step = 0; step < 4; step++) {
        const foci_variogram model = shape_of(foci_correlation_find("exponential"), 0.1 * step, 70, 0, 1);
        double sill = 0;
        const foci_covariance_shape shape = foci_covariance_shape_of(&model, &sill);
        const foci_parameters at = foci_covariance_shape_parameters(&shape, 1, 1);
        foci_likelihood_value wanted, value;
        foci_exact_likelihood(&wanted, &whole, &likelihood, &at);
        foci_exact_likelihood(&value, &lean, &likelihood, &at);
        assert_near(value.log, wanted.log, 0);
        assert_near(value.sill, wanted.sill, 0);
    }
    foci_exact_free(&whole);
    foci_exact_free(&lean);
    foci_observations_free(&observed);
    support_readings_free(&stops);
}

/* Two stops at one place without a nugget have no density; with one they have. Readings that are the trend exactly keep
 * a finite one. */
static void test_edges(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 8);
    foci_variogram model = shape_of(foci_correlation_find("exponential"), 0, 50, 0, 1);
    stops.places[4] = stops.places[9];
    assert_true(isinf(support_likelihood_at(&stops, &model, 0, true).log));
    model = shape_of(model.kind, 0.01, 50, 0, 1);
    assert_true(isfinite(support_likelihood_at(&stops, &model, 0, true).log));
    for (size_t i = 0; i < STOPS; i++)
        stops.values[i] = 3 + 0.01 * stops.places[i].x;
    assert_true(isfinite(support_likelihood_at(&stops, &model, 1, true).log));
    foci_likelihood likelihood = {0};
    foci_error err = {0};
    stops.count = 4;
    foci_observations observed = support_observed(&stops, 1, 0);
    assert_fails(foci_likelihood_make(&likelihood, &observed, stops.values, 1, true, &err), err, FOCI_BAD_INPUT,
                 "4 stops are too few to fit a field with a trend of order 1; give 5 or more");
    foci_observations_free(&observed);
    stops.count = STOPS;
    for (size_t i = 0; i < STOPS; i++)
        stops.places[i].y = 2 * stops.places[i].x;
    observed = support_observed(&stops, 1, 0);
    assert_fails(foci_likelihood_make(&likelihood, &observed, stops.values, 1, true, &err), err, FOCI_BAD_INPUT,
                 "{trend}");
    foci_observations_free(&observed);
    observed = support_observed(&stops, 0, 0);
    assert_done(foci_likelihood_make(&likelihood, &observed, stops.values, 1, true, &err), err);
    foci_observations_free(&observed);
    support_readings_free(&stops);
}

static bool attempt(foci_error *err) {
    foci_readings seven = support_seven();
    const foci_season_readings season = {seven.places, seven.values, NULL, SEVEN};
    const foci_columns drift = foci_columns_drift(1, 1);
    foci_observations observed = {0}, turned = {0};
    foci_likelihood likelihood = {0};
    foci_exact *works = NULL;
    bool ok = foci_observations_make(&observed, foci_response_normal, &season, 1, &drift, 0, err) &&
              foci_observations_turn(&turned, &observed, 30, err) &&
              foci_likelihood_make(&likelihood, &observed, observed.readings, 1, true, err);
    works = ok ? foci_exacts_make(2, &likelihood, err) : NULL;
    foci_exacts_free(works, 2);
    foci_observations_free(&observed);
    foci_observations_free(&turned);
    return works != NULL;
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_textbook),
        cmocka_unit_test(test_pure_nugget),
        cmocka_unit_test(test_what_does_not_matter),
        cmocka_unit_test(test_columns),
        cmocka_unit_test(test_a_folded_column),
        cmocka_unit_test(test_precision),
        cmocka_unit_test(test_lean),
        cmocka_unit_test(test_edges),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
