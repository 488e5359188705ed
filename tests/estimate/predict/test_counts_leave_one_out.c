/* Leaving stops out: the cavity against the field worked anew without the stop. */
#include "estimate/gaussian/propagation.h"
#include "estimate/gaussian/laplace.h"

#include "estimate/counts_cases.h"

static double share_at(double x) {
    return 1 / (1 + exp(-x));
}

/* A model with one draw, so that what is left out can be worked by hand. */
static foci_counts_model model_at(foci_parameters point) {
    foci_counts_model model = {
        .stops = case_stops(), .draw_count = 1, .draws = {{point, 1, FOCI_PROPAGATE_BEYOND_LIMIT}}};
    return model;
}

typedef struct {
    double mean, variance; /* of the logit */
} logit;

/* Expectation propagation from the other stops alone, then the prediction at the one left out. */
static logit without(const foci_observations *stops, size_t left, const foci_parameters *point) {
    foci_error err = {0};
    size_t which[CASE_STOPS], count = 0;
    foci_observations others = {0};
    foci_latent work = {0};
    double log_z = 0, distance[CASE_STOPS], k[CASE_STOPS], x[CASE_STOPS], known = 0;
    for (size_t i = 0; i < CASE_STOPS; i++)
        if (i != left)
            which[count++] = i;
    assert_done(foci_observations_pick(&others, stops, which, count, &err), err);
    assert_done(foci_latent_make(&work, count, &err), err);
    foci_latent_take(&work, &others);
    foci_latent_at(&work, point);
    assert_done(foci_laplace_mode(&work, &foci_laplace_of_counts, &log_z, &err), err);
    assert_true(foci_propagate(&work, NULL).settled);
    logit found = {FOCI_COUNTS_CENTRE, 0};
    const double prior = point->sigma[0] * point->sigma[0] + FOCI_COUNTS_CENTRE_SPREAD * FOCI_COUNTS_CENTRE_SPREAD;
    foci_covariance_distances(distance, others.along, others.across, count, point->stretch, stops->along[left],
                              stops->across[left]);
    foci_covariance_correlate(k, distance, count, point);
    for (size_t i = 0; i < count; i++) {
        k[i] = point->sigma[0] * point->sigma[0] * k[i] + FOCI_COUNTS_CENTRE_SPREAD * FOCI_COUNTS_CENTRE_SPREAD;
        found.mean += k[i] * work.alpha[i];
        x[i] = work.root[i] * k[i];
        for (size_t j = 0; j < i; j++)
            x[i] -= work.factor[i + count * j] * x[j];
        x[i] /= work.factor[i + count * i];
        known += x[i] * x[i];
    }
    found.variance = prior - known + point->tau * point->tau;
    foci_latent_free(&work);
    foci_observations_free(&others);
    return found;
}

static double log_binomial(double y, double n, double x) {
    return lgamma(n + 1) - lgamma(y + 1) - lgamma(n - y + 1) + y * log(share_at(x)) + (n - y) * log(share_at(-x));
}

static void test_against_the_other_stops_alone(void **state) {
    (void)state;
    foci_error err = {0};
    for (int round = 0; round < 3; round++) {
        foci_parameters point = case_point(round == 1);
        point.tau = round == 2 ? 0.6 : 0;
        foci_counts_model model = model_at(point);
        double mean[CASE_STOPS], variance[CASE_STOPS], low[CASE_STOPS], high[CASE_STOPS], log_score[CASE_STOPS],
            transform[CASE_STOPS];
        foci_counts_leave_one_out_result out = {mean, variance, low, high, log_score, transform};
        assert_done(foci_counts_leave_one_out(&model, &out, HOW, &err), err);
        for (size_t i = 0; i < CASE_STOPS; i++) {
            logit expected = without(&model.stops, i, &point);
            double y = case_hits[i], n = case_checked[i], deviation = sqrt(expected.variance);
            double first = 0, second = 0, likelihood = 0, fewer = 0;
            for (double z = -8; z < 8; z += 2e-3) {
                double x = expected.mean + deviation * z, weight = exp(-0.5 * z * z) / sqrt(2 * acos(-1)) * 2e-3;
                first += share_at(x) * weight;
                second += share_at(x) * share_at(x) * weight;
                likelihood += exp(log_binomial(y, n, x)) * weight;
                for (double less = 0; less <= y; less++)
                    fewer += exp(log_binomial(less, n, x)) * weight * (less < y ? 1 : 0.5);
            }
            /* the other stops' sites stay as they were with the stop there, hence only nearly equal */
            assert_near(mean[i], first, 0.01 * first);
            assert_near(variance[i], second - first * first, 0.04 * (second - first * first));
            assert_near(low[i], share_at(expected.mean - 1.6448536269514722 * deviation), 0.03 * low[i]);
            assert_near(high[i], share_at(expected.mean + 1.6448536269514722 * deviation), 0.03 * high[i]);
            assert_near(log_score[i], log(likelihood), 0.01);
            assert_near(transform[i], fewer, 0.01);
        }
        foci_counts_free(&model);
    }
}

/* A single stop left out: the prior is all there is. */
static void test_nothing_known(void **state) {
    (void)state;
    static const foci_point places[1] = {{12, 7}};
    static const double hits[1] = {4}, checked[1] = {30};
    foci_error err = {0};
    foci_parameters point = case_point(0);
    foci_counts_model model = {.stops = case_observed(places, hits, checked, 1),
                               .draw_count = 1,
                               .draws = {{point, 1, FOCI_PROPAGATE_BEYOND_LIMIT}}};
    double low = 0, high = 0, deviation = sqrt(6.25 + 1);
    assert_done(
        foci_counts_leave_one_out(&model, &(foci_counts_leave_one_out_result){.low = &low, .high = &high}, HOW, &err),
        err);
    assert_near(low, share_at(-3 - 1.6448536269514722 * deviation), 1e-6 * low);
    assert_near(high, share_at(-3 + 1.6448536269514722 * deviation), 1e-6 * high);
    foci_counts_free(&model);
}

/* Binomial counts from a smooth field: the transforms are uniform. Their mean has a deviation of sqrt(1 / 12 n). */
static void test_calibrated(void **state) {
    (void)state;
    enum { STOPS = 100 };
    foci_error err = {0};
    foci_point places[STOPS];
    double hits[STOPS], checked[STOPS], transform[STOPS], mean = 0, inside = 0;
    unsigned seed = 7385;
    for (size_t i = 0; i < STOPS; i++) {
        places[i] = case_lattice(i, 10, 53, 53);
        places[i].x += 0.3 * (double)(i % 7);
        /* a smooth field from a few waves, and binomial counts by a congruential generator */
        double eta = -2.4 + 0.9 * sin(places[i].x / 71) * cos(places[i].y / 93) + 0.7 * cos(places[i].x / 190 + 1);
        checked[i] = 30;
        hits[i] = 0;
        for (int unit = 0; unit < 30; unit++) {
            seed = seed * 1664525u + 1013904223u;
            hits[i] += (double)(seed >> 8) / 16777216.0 < share_at(eta) ? 1 : 0;
        }
    }
    foci_counts_options options = {.row_heading = NAN, .spacing = 53};
    foci_counts_model model = {0};
    assert_done(foci_counts_fit(&model, places, hits, checked, STOPS, &options, HOW, &err), err);
    assert_done(
        foci_counts_leave_one_out(&model, &(foci_counts_leave_one_out_result){.transform = transform}, HOW, &err), err);
    for (size_t i = 0; i < STOPS; i++) {
        mean += transform[i] / STOPS;
        inside += transform[i] >= 0.05 && transform[i] <= 0.95 ? 1 : 0;
    }
    assert_near(mean, 0.5, 3 * sqrt(1.0 / 12 / STOPS));
    assert_true(inside >= 83 && inside <= 98);
    foci_counts_free(&model);
}

static bool attempt(foci_error *err) {
    static const foci_point places[2] = {{0, 0}, {50, 5}};
    static const double hits[2] = {3, 0}, checked[2] = {10, 10};
    foci_counts_model model = {0};
    const foci_season_readings season = {places, hits, checked, 2};
    const foci_columns columns = foci_counts_columns(1);
    double mean[2];
    if (!foci_observations_make(&model.stops, foci_response_binomial, &season, 1, &columns, 0, err))
        return false;
    model.draw_count = 2;
    model.draws[0] = (foci_counts_draw){case_point(0), 0.5, FOCI_PROPAGATE_BEYOND_LIMIT};
    model.draws[1] = (foci_counts_draw){case_point(1), 0.5, FOCI_PROPAGATE_BEYOND_LIMIT};
    bool ok = foci_counts_leave_one_out(&model, &(foci_counts_leave_one_out_result){.mean = mean}, HOW, err);
    foci_counts_free(&model);
    return ok;
}

static void test_allocations(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_the_other_stops_alone),
        cmocka_unit_test(test_nothing_known),
        cmocka_unit_test(test_calibrated),
        cmocka_unit_test(test_allocations),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
