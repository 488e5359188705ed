/* Scores of two seasons read together: likelihood and kriging against plain twins. */
#include "estimate/fit/score_seasons.h"

#include "base/random.h"
#include "support/kriging_twin.h"

enum { OWN = 9, EARLIER = 7, BOTH = OWN + EARLIER, MOST = 64 };

/* Sixteen invented places and readings; the last seven are an earlier season's. */
static void invent_few(foci_point places[BOTH], double values[BOTH]) {
    foci_random draws = foci_random_stream(53117, 2);
    for (size_t i = 0; i < BOTH; i++) {
        places[i] = (foci_point){120 * foci_random_share(&draws), 90 * foci_random_share(&draws)};
        values[i] = 20 + 9 * sin(places[i].x / 25) + 4 * foci_random_share(&draws) + (i < OWN ? 0 : 13.25);
    }
}

static foci_variogram shape(double nugget) {
    return (foci_variogram){.kind = foci_correlation_find("exponential"),
                            .nugget = nugget,
                            .partial_sill = 1 - nugget,
                            .range = 31.5,
                            .ratio = 1,
                            .smoothness = 0.5};
}

/* Within a season the covariance, between seasons a share of it. */
static double plain_covariance(const foci_variogram *model, const foci_point *places, size_t i, size_t j,
                               double shared) {
    bool same = (i < OWN) == (j < OWN);
    double between = model->partial_sill *
                     exp(-hypot(places[i].x - places[j].x, places[i].y - places[j].y) / model->range) *
                     (same ? 1 : shared);
    return between + (i == j ? model->nugget : 0);
}

/* The functions 1, x, y of each season at stop i: 0 for the other season's. */
static double function_at(const foci_point *places, size_t i, size_t k, size_t each) {
    const double own[] = {1, places[i].x / 100, places[i].y / 100};
    return (i < OWN) == (k < each) ? own[k % each] : 0;
}

/* log|a|, a is lost. */
static double log_determinant(double (*a)[MOST], size_t order) {
    double sum = 0;
    for (size_t c = 0; c < order; c++) {
        size_t pivot = c;
        for (size_t r = c + 1; r < order; r++)
            pivot = fabs(a[r][c]) > fabs(a[pivot][c]) ? r : pivot;
        for (size_t k = 0; k < order; k++) {
            double held = a[c][k];
            a[c][k] = a[pivot][k];
            a[pivot][k] = held;
        }
        sum += log(fabs(a[c][c]));
        for (size_t r = c + 1; r < order; r++) {
            double factor = a[r][c] / a[c][c];
            for (size_t k = c; k < order; k++)
                a[r][k] -= factor * a[c][k];
        }
    }
    return sum;
}

/* Solves R x = column, R the correlations of all sixteen. */
static void solve_r(double x[BOTH], const double column[BOTH], const foci_variogram *model, const foci_point *places,
                    double shared) {
    static double a[TWIN + 1][TWIN + 1];
    for (size_t i = 0; i < BOTH; i++) {
        x[i] = column[i];
        for (size_t j = 0; j < BOTH; j++)
            a[i][j] = plain_covariance(model, places, i, j, shared);
    }
    twin_solve(a, x, BOTH);
}

/* The formulas of likelihood.h with F of both seasons written out, order 0 or 1. */
static double plain_restricted(const foci_point *places, const double *values, int order, const foci_variogram *model,
                               double shared, double *sill) {
    static double a[TWIN + 1][TWIN + 1], r[MOST][MOST], normal[MOST][MOST], plain[MOST][MOST];
    size_t each = order == 0 ? 1 : 3, p = 2 * each;
    double solved[2 * 3][BOTH], of_values[BOTH], trend[2 * 3], squares = 0;
    for (size_t k = 0; k < p; k++) {
        double column[BOTH];
        for (size_t i = 0; i < BOTH; i++)
            column[i] = function_at(places, i, k, each);
        solve_r(solved[k], column, model, places, shared);
    }
    solve_r(of_values, values, model, places, shared);
    for (size_t k = 0; k < p; k++) {
        trend[k] = 0;
        for (size_t i = 0; i < BOTH; i++)
            trend[k] += function_at(places, i, k, each) * of_values[i];
        for (size_t l = 0; l < p; l++) {
            normal[k][l] = plain[k][l] = 0;
            for (size_t i = 0; i < BOTH; i++) {
                normal[k][l] += function_at(places, i, k, each) * solved[l][i];
                plain[k][l] += function_at(places, i, k, each) * function_at(places, i, l, each);
            }
            a[k][l] = normal[k][l];
        }
    }
    twin_solve(a, trend, p);
    for (size_t i = 0; i < BOTH; i++) {
        double left = values[i], solved_left = of_values[i];
        for (size_t k = 0; k < p; k++) {
            left -= function_at(places, i, k, each) * trend[k];
            solved_left -= solved[k][i] * trend[k];
        }
        squares += left * solved_left;
        for (size_t j = 0; j < BOTH; j++)
            r[i][j] = plain_covariance(model, places, i, j, shared);
    }
    double freedom = (double)(BOTH - p);
    *sill = squares / freedom;
    return -0.5 * (freedom * (log(2 * M_PI * *sill) + 1) + log_determinant(r, BOTH) + log_determinant(normal, p) -
                   log_determinant(plain, p));
}

/* The first `count` stops; the earlier season's, in a season of their own, times `scale`. */
static foci_observations observed(const foci_point *places, const double *values, size_t count, int order,
                                  double scale) {
    const foci_season_readings seasons[] = {{places, values, NULL, OWN}, {places + OWN, values + OWN, NULL, EARLIER}};
    const size_t together = count > OWN ? 2 : 1;
    const foci_columns drift = foci_columns_drift(order, together);
    foci_observations both = {0};
    foci_error err = {0};
    assert_done(foci_observations_make(&both, foci_response_normal, seasons, together, &drift, NAN, &err), err);
    for (size_t i = OWN; i < both.count; i++)
        both.readings[i] *= scale;
    return both;
}

static foci_parameters parameters(const foci_variogram *model, double shared) {
    double sill = 0;
    const foci_covariance_shape shape = foci_covariance_shape_of(model, &sill);
    foci_parameters at = foci_covariance_shape_parameters(&shape, sill, 2);
    at.rho = shared;
    return at;
}

static void test_likelihood_of_both_against_a_plain_twin(void **state) {
    (void)state;
    foci_point places[BOTH];
    double values[BOTH], scaled[BOTH], sill = 0;
    invent_few(places, values);
    for (size_t i = 0; i < BOTH; i++)
        scaled[i] = i < OWN ? values[i] : 0.7 * values[i];
    for (int order = 0; order < 2; order++) {
        foci_observations both = observed(places, values, BOTH, order, 0.7);
        foci_likelihood likelihood = {0};
        foci_error err = {0};
        assert_done(foci_likelihood_make(&likelihood, &both, both.readings, 1, true, &err), err);
        foci_exact *work = foci_exacts_make(1, &likelihood, &err);
        assert_non_null(work);
        for (size_t s = 0; s < FOCI_SCORE_TIES; s++) {
            foci_variogram model = shape(0.15);
            foci_likelihood_value value;
            const foci_parameters at = parameters(&model, foci_score_ties[s].rho);
            foci_exact_likelihood(&value, work, &likelihood, &at);
            double expected = plain_restricted(places, scaled, order, &model, foci_score_ties[s].rho, &sill);
            assert_near(value.log, expected, 1e-9);
            assert_near(value.sill, sill, 1e-9 * sill);
        }
        foci_exacts_free(work, 1);
        foci_observations_free(&both);
    }
}

/* Kriged at two places, and each stop from the others. */
typedef struct {
    double estimate[2], variance[2], left[BOTH], left_variance[BOTH];
} kriged;

static kriged krige(const foci_observations *stops, const foci_variogram *model, double shared,
                    const foci_point asked[2]) {
    const foci_parameters at = parameters(model, shared);
    const size_t columns = stops->columns.count;
    double places[2 * (2 + FOCI_COLUMNS_MOST)];
    kriged out = {0};
    foci_exact work = {0};
    foci_conditional given = {0};
    foci_conditional_room room = {0};
    foci_error err = {0};
    assert_done(foci_exact_make(&work, stops->count, columns + 1, true, &err), err);
    foci_exact_take(&work, stops);
    assert_done(foci_exact_solve(&work, &at, &err), err);
    assert_done(foci_conditional_make(&given, stops->count, columns, &err), err);
    assert_done(foci_conditional_room_make(&room, stops->count, columns, 2, &err), err);
    assert_done(foci_exact_condition(&given, &work, false, &err), err);
    const foci_targets targets = foci_targets_fill(places, stops, asked, 2, 0);
    assert_done(foci_conditional_at(out.estimate, out.variance, &given, stops, &at, &targets, &room, &err), err);
    assert_done(foci_exact_leave_one_out(out.left, out.left_variance, &work, &err), err);
    for (size_t i = 0; i < 2; i++)
        out.variance[i] += model->nugget;
    foci_exact_free(&work);
    foci_conditional_free(&given);
    foci_conditional_room_free(&room);
    return out;
}

/* The bordered system of universal kriging: [C F; F' 0] [weights; multipliers] = [c; f]. `skip`: a stop left out, which
 * is asked for in place of `place`, as a new reading; BOTH for none. */
static void plain_krige(double *estimate, double *variance, const foci_point *places, const double *values, int order,
                        const foci_variogram *model, double shared, foci_point place, size_t skip) {
    static double a[TWIN + 1][TWIN + 1];
    size_t each = order == 0 ? 1 : 3, p = 2 * each, n = 0, used[BOTH];
    double b[BOTH + 6], right[BOTH + 6];
    foci_point all[BOTH + 1];
    memcpy(all, places, BOTH * sizeof *places);
    for (size_t i = 0; i < BOTH; i++)
        if (i != skip)
            used[n++] = i;
    if (skip < BOTH)
        place = places[skip];
    for (size_t r = 0; r < n; r++) {
        size_t i = used[r];
        double distance = hypot(places[i].x - place.x, places[i].y - place.y);
        for (size_t c = 0; c < n; c++)
            a[r][c] = plain_covariance(model, places, i, used[c], shared);
        b[r] = model->partial_sill * exp(-distance / model->range) * (i < OWN ? 1 : shared);
        for (size_t k = 0; k < p; k++)
            a[r][n + k] = a[n + k][r] = function_at(places, i, k, each);
    }
    all[0] = place; /* a stop of this season, for its functions */
    for (size_t k = 0; k < p; k++) {
        for (size_t l = 0; l < p; l++)
            a[n + k][n + l] = 0;
        b[n + k] = function_at(all, 0, k, each);
    }
    memcpy(right, b, (n + p) * sizeof *b);
    twin_solve(a, b, n + p);
    *estimate = 0;
    *variance = model->nugget + model->partial_sill;
    for (size_t r = 0; r < n + p; r++) {
        *variance -= b[r] * right[r];
        *estimate += r < n ? b[r] * values[used[r]] : 0;
    }
}

static void test_kriging_of_both_against_a_plain_twin(void **state) {
    (void)state;
    const foci_point asked[] = {{15.5, 62}, {88, 11.25}};
    foci_point places[BOTH];
    double values[BOTH], expected = 0, spread = 0;
    invent_few(places, values);
    for (int order = 0; order < 2; order++)
        for (size_t s = 0; s < FOCI_SCORE_TIES; s++) {
            foci_variogram model = shape(0.2);
            const double shared = foci_score_ties[s].rho;
            foci_observations both = observed(places, values, BOTH, order, 1);
            const kriged found = krige(&both, &model, shared, asked);
            for (size_t i = 0; i < 2; i++) {
                plain_krige(&expected, &spread, places, values, order, &model, shared, asked[i], BOTH);
                assert_near(found.estimate[i], expected, 1e-9);
                assert_near(found.variance[i], spread, 1e-9);
            }
            for (size_t i = 0; i < OWN; i++) {
                plain_krige(&expected, &spread, places, values, order, &model, shared, places[i], i);
                assert_near(found.left[i], expected, 1e-9);
                assert_near(found.left_variance[i], spread, 1e-9);
            }
            foci_observations_free(&both);
        }
}

/* Nothing shared: as if the earlier season were not there. On its stops nothing is known for sure. */
static void test_nothing_shared_changes_nothing(void **state) {
    (void)state;
    foci_point places[BOTH];
    double values[BOTH];
    foci_variogram model = shape(0);
    invent_few(places, values);
    const foci_point asked[] = {{15.5, 62}, places[OWN]};
    foci_observations one = observed(places, values, OWN, 0, 1), two = observed(places, values, BOTH, 0, 1);
    const kriged alone = krige(&one, &model, 0, asked), together = krige(&two, &model, 0, asked);
    for (size_t i = 0; i < 2; i++) {
        assert_near(together.estimate[i], alone.estimate[i], 1e-10);
        assert_near(together.variance[i], alone.variance[i], 1e-10);
        assert_true(together.variance[i] > 0.01);
    }
    foci_observations_free(&one);
    foci_observations_free(&two);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_likelihood_of_both_against_a_plain_twin),
        cmocka_unit_test(test_kriging_of_both_against_a_plain_twin),
        cmocka_unit_test(test_nothing_shared_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
