/* Laplace's approximation, its correction and expectation propagation at fixed parameters. */
#include "estimate/gaussian/propagation.h"
#include "estimate/gaussian/laplace.h"

#include "estimate/counts_cases.h"

static void take(foci_latent *work, const foci_observations *stops, const foci_parameters *point) {
    foci_latent_take(work, stops);
    foci_latent_at(work, point);
    memset(work->field, 0, stops->count * sizeof *work->field);
}

static const struct {
    double covariance, laplace, correction, ep;
    double eta[CASE_STOPS], alpha[CASE_STOPS];
} known[CASE_FAMILIES] = {
    {6.456203952,
     -26.013365414,
     0.121212357,
     -25.899287,
     {-3.622126464, -3.078285495, -2.093225226, -2.583076278, -3.497974391, -2.348914812, -1.109232231, -1.784804405,
      -3.175611548, -3.677335626, -2.752358137, -3.035610513},
     {-0.833151746, -0.346342628, 0.751971981, -0.113170313, -0.787158562, 0.409705802, 1.654765777, 0.738303081,
      -0.233422772, -1.028717414, 0.201501307, -0.404541402}},
    {6.537249041,
     -25.800788142,
     0.116166951,
     -25.691567,
     {-3.652036099, -3.087313998, -2.108010359, -2.556023730, -3.501746431, -2.345590304, -1.101462008, -1.763745832,
      -3.223221804, -3.661043187, -2.798479969, -3.025915157},
     {0}},
};

static void test_known_values(void **state) {
    (void)state;
    foci_error err = {0};
    foci_observations stops = case_stops();
    foci_latent work = {0};
    double choose = 0;
    assert_done(foci_latent_make(&work, CASE_STOPS, &err), err);
    for (size_t i = 0; i < CASE_STOPS; i++)
        choose += stops.constant[i];
    assert_near(choose, 69.225112571, 1e-9);
    for (size_t family = 0; family < CASE_FAMILIES; family++) {
        foci_parameters point = case_point(family);
        foci_correction correction = {0};
        double log_z = 0;
        take(&work, &stops, &point);
        assert_near(work.covariance[1], known[family].covariance, 1e-9);
        assert_done(foci_laplace_mode(&work, &foci_laplace_of_counts, &log_z, &err), err);
        assert_near(log_z, known[family].laplace, 2e-9);
        for (size_t i = 0; i < CASE_STOPS; i++)
            assert_near(FOCI_COUNTS_CENTRE + work.field[i], known[family].eta[i], 1e-9);
        assert_done(foci_laplace_correct(&work, &correction, &err), err);
        assert_near(correction.log_z, known[family].correction, 2e-9);
        for (size_t i = 0; i < CASE_STOPS && family == 0; i++)
            assert_near(work.alpha[i], known[family].alpha[i], 2e-9);
        foci_propagation ep = foci_propagate(&work, NULL);
        assert_true(ep.settled);
        assert_near(ep.log_z, known[family].ep, 1e-6);
    }
    foci_latent_free(&work);
    foci_observations_free(&stops);
}

/* Predictions at fixed parameters: mean of the logit before and after the correction, variance, mean share, chance of
 * 0.10 and bounds. */
static void test_known_predictions(void **state) {
    (void)state;
    static const double uncorrected[CASE_FAMILIES][CASE_PLACES] = {{-2.202661164, -3.057476810, -2.795360739},
                                                                   {-1.956391467, -3.200594831, -2.813905235}};
    static const double expected[CASE_FAMILIES][CASE_PLACES][6] = {
        {{-2.326187221, 0.873590233, 0.117232785, 0.445128877, 0.020561342, 0.312424775},
         {-3.234676582, 0.981803130, 0.056115039, 0.147544715, 0.007656640, 0.167303840},
         {-2.954960281, 1.161972224, 0.075792713, 0.241045753, 0.008766372, 0.234711938}},
        {{-2.063370921, 0.718650239, 0.138995323, 0.562730671, 0.030538083, 0.338726350},
         {-3.384596895, 0.895888994, 0.047560871, 0.104835854, 0.007093384, 0.138510146},
         {-2.972855764, 1.173361642, 0.074918212, 0.236982289, 0.008538531, 0.233058613}}};
    static const double one = 1;
    foci_error err = {0};
    for (size_t family = 0; family < CASE_FAMILIES; family++) {
        foci_observations stops = case_stops();
        foci_counts_draw draw = {case_point(family), 1, FOCI_PROPAGATE_BEYOND_LIMIT};
        foci_latent work = {0};
        double log_z = 0, mean[CASE_PLACES], deviation[CASE_PLACES], f[CASE_PLACES];
        assert_done(foci_latent_make(&work, CASE_STOPS, &err), err);
        take(&work, &stops, &draw.point);
        assert_done(foci_laplace_mode(&work, &foci_laplace_of_counts, &log_z, &err), err);
        for (size_t j = 0; j < CASE_PLACES; j++) {
            double distance[CASE_STOPS], correlation[CASE_STOPS], sum = FOCI_COUNTS_CENTRE;
            foci_covariance_distances(distance, stops.along, stops.across, CASE_STOPS, 2, case_place_u[j],
                                      case_place_v[j]);
            foci_covariance_correlate(correlation, distance, CASE_STOPS, &draw.point);
            for (size_t i = 0; i < CASE_STOPS; i++)
                sum += (correlation[i] + 6.25) * work.alpha[i];
            assert_near(sum, uncorrected[family][j], 2e-9);
        }
        foci_counts_posterior posterior = case_posterior(&stops, &draw, 1);
        const foci_targets places = case_targets(f, &stops, case_place_u, case_place_v, CASE_PLACES);
        case_ask(mean, deviation, &posterior, &stops, &draw, &places);
        for (size_t j = 0; j < CASE_PLACES; j++) {
            foci_mixture mixture = {1, &one, &mean[j], &deviation[j]};
            double share = 0, variance = 0;
            foci_mixture_share_moments(&mixture, &share, &variance);
            assert_near(mean[j], expected[family][j][0], 2e-9);
            assert_near(deviation[j] * deviation[j], expected[family][j][1], 2e-9);
            assert_near(share, expected[family][j][2], 2e-9);
            assert_near(foci_mixture_share_chance(&mixture, 0.10), expected[family][j][3], 2e-9);
            assert_near(foci_mixture_share(&mixture, 0.05), expected[family][j][4], 2e-9);
            assert_near(foci_mixture_share(&mixture, 0.95), expected[family][j][5], 2e-9);
        }
        foci_latent_free(&work);
        foci_counts_posterior_free(&posterior);
        foci_observations_free(&stops);
    }
}

/* A published model (Diggle, Tawn & Moyeed 1998, Appl. Stat. 47:299) on three stops, worked beforehand: Laplace's
 * column of the table. Its range is exp(-h / 30), so the practical one is 30 c. */
static void test_three_stops(void **state) {
    (void)state;
    static const double mode[3] = {1.022806, 0.077885, -0.900668}, share[3] = {.273449, .127626, .052121};
    static const double u[3] = {0, 0, 60}, v[3] = {0, 30, 0}, hits[3] = {4, 1, 0}, checked[3] = {10, 10, 20};
    foci_error err = {0};
    foci_point places[3];
    for (size_t i = 0; i < 3; i++)
        places[i] = (foci_point){v[i], u[i]};
    const foci_frame frame = {{0, 0}, 0, 1};
    const foci_season_readings season = {places, hits, checked, 3};
    foci_observations stops = {0};
    foci_latent work = {0};
    foci_parameters point = {.family = support_family("exponential"),
                             .stretch = 1,
                             .range = 30 * support_family("exponential").practical,
                             .mean = {-2},
                             .sigma = {1}};
    double log_z = 0, at = -2, choose = 0, known_part = 0;
    assert_done(foci_observations_make_in(&stops, &frame, foci_response_binomial, &season, 1, NULL, &err), err);
    assert_done(foci_latent_make(&work, 3, &err), err);
    take(&work, &stops, &point);
    assert_done(foci_laplace_mode(&work, &foci_laplace_of_counts, &log_z, &err), err);
    double distance[3], k[3], x[3];
    foci_covariance_distances(distance, stops.along, stops.across, 3, 1, 10, 10);
    for (size_t i = 0; i < 3; i++) {
        choose += stops.constant[i];
        assert_near(work.field[i], mode[i], 1e-6);
        assert_near(1 / (1 + exp(2 - work.field[i])), share[i], 1e-6);
        k[i] = exp(-distance[i] / 30);
        at += k[i] * work.alpha[i];
    }
    for (size_t i = 0; i < 3; i++) { /* forward substitution with L, by hand */
        x[i] = work.root[i] * k[i];
        for (size_t j = 0; j < i; j++)
            x[i] -= work.factor[i + 3 * j] * x[j];
        x[i] /= work.factor[i + 3 * i];
        known_part += x[i] * x[i];
    }
    assert_near(log_z - choose, -13.803881, 1e-6);
    assert_near(at, -1.531760, 1e-6);
    assert_near(1 - known_part, 0.677161, 1e-6);
    double one = 1, deviation = sqrt(1 - known_part), mean = 0, variance = 0;
    foci_mixture mixture = {1, &one, &at, &deviation};
    foci_mixture_share_moments(&mixture, &mean, &variance);
    assert_near(mean, 0.205773, 1e-6);
    assert_near(foci_mixture_share_chance(&mixture, 0.10), 0.790652, 1e-6);
    foci_latent_free(&work);
    foci_observations_free(&stops);
}

/* One stop: marginal, mean and variance by a sum over a fine line. Expectation propagation has nothing to approximate
 * there but the quadrature. */
static void test_one_stop_against_quadrature(void **state) {
    (void)state;
    static const double counts[][2] = {{0, 30}, {3, 30}, {17, 40}, {30, 30}, {1, 5}, {0, 400}};
    static const double sigmas[] = {0.385, 1.6, 4.88};
    foci_error err = {0};
    foci_latent work = {0};
    assert_done(foci_latent_make(&work, 1, &err), err);
    for (size_t c = 0; c < sizeof counts / sizeof *counts; c++)
        for (size_t s = 0; s < sizeof sigmas / sizeof *sigmas; s++) {
            const foci_point place = {2.385, -7.1};
            foci_observations stops = case_observed(&place, &counts[c][0], &counts[c][1], 1);
            foci_parameters point = case_point(0);
            foci_cavity cavity = {0};
            double log_z = 0, mass = 0, mean = 0, square = 0;
            point.sigma[0] = sigmas[s];
            take(&work, &stops, &point);
            assert_done(foci_laplace_mode(&work, &foci_laplace_of_counts, &log_z, &err), err);
            foci_propagation ep = foci_propagate(&work, &cavity);
            assert_true(ep.settled);
            double spread = 6.25 + sigmas[s] * sigmas[s];
            for (double f = -60; f < 60; f += 1e-3) {
                double eta = FOCI_COUNTS_CENTRE + f;
                double height = exp(stops.constant[0] + counts[c][0] * eta -
                                    counts[c][1] * (fmax(eta, 0) + log1p(exp(-fabs(eta)))) - 0.5 * f * f / spread) /
                                sqrt(2 * acos(-1) * spread) * 1e-3;
                mass += height;
                mean += f * height;
                square += f * f * height;
            }
            mean /= mass;
            double variance = square / mass - mean * mean;
            assert_near(ep.log_z, log(mass), 1e-3);
            assert_near(work.covariance[0] * work.alpha[0], mean, 2e-3 * sqrt(variance));
            assert_near(work.spread[0], variance, 4e-3 * variance);
            assert_near(cavity.mean, 0, 1e-6 * sqrt(spread));
            assert_near(cavity.variance, spread, 1e-6 * spread);
            foci_observations_free(&stops);
        }
    foci_latent_free(&work);
}

/* One stop of 83 wholly infected, all others free: the correction is past its limit, and expectation propagation takes
 * its place unless the plain way is asked for. */
static void test_guard(void **state) {
    (void)state;
    enum { STOPS = 83 };
    foci_error err = {0};
    foci_point places[STOPS];
    double hits[STOPS] = {0}, checked[STOPS];
    for (size_t i = 0; i < STOPS; i++) {
        places[i] = case_lattice(i, 9, 53, 53);
        checked[i] = 30;
    }
    hits[40] = 30;
    foci_observations stops = case_observed(places, hits, checked, STOPS);
    foci_latent work = {0};
    foci_parameters point = case_point(0);
    foci_approximation guarded = {0}, plain = {0};
    point.sigma[0] = 3.37;
    point.stretch = 1;
    point.range = 260;
    assert_done(foci_latent_make(&work, STOPS, &err), err);
    take(&work, &stops, &point);
    assert_done(foci_approximate(&work, FOCI_PROPAGATE_NEVER, &plain, &err), err);
    assert_false(plain.propagated);
    take(&work, &stops, &point);
    assert_done(foci_approximate(&work, FOCI_PROPAGATE_BEYOND_LIMIT, &guarded, &err), err);
    assert_true(guarded.propagated);
    assert_true(guarded.shift > 1);
    assert_near(guarded.shift, plain.shift, 1e-9);
    assert_true(fabs(guarded.log_z - plain.log_z) > 1e-3);
    foci_latent_free(&work);
    foci_observations_free(&stops);
}

/* A last step that cannot be reached, and a covariance that is none. */
static void test_what_does_not_arrive_is_said(void **state) {
    (void)state;
    static const foci_laplace_rules never = {.last_step = -1};
    foci_error err = {0};
    foci_observations stops = case_stops();
    foci_latent work = {0};
    foci_parameters point = case_point(0);
    double log_z = 0;
    assert_done(foci_latent_make(&work, CASE_STOPS, &err), err);
    take(&work, &stops, &point);
    assert_fails(foci_laplace_mode(&work, &never, &log_z, &err), err, FOCI_NO_FIT, "no stable estimate");
    point.sigma[0] = NAN;
    take(&work, &stops, &point);
    assert_false(foci_laplace_mode(&work, &foci_laplace_of_counts, &log_z, &err));
    assert_int_equal(err.status, FOCI_NO_FIT);
    foci_latent_free(&work);
    foci_observations_free(&stops);
}

static bool attempt(foci_error *err) {
    foci_latent work = {0};
    if (!foci_latent_make(&work, 5, err))
        return false;
    foci_latent_free(&work);
    foci_latent_free(&work);
    return true;
}

static void test_allocations(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_known_values),
        cmocka_unit_test(test_known_predictions),
        cmocka_unit_test(test_three_stops),
        cmocka_unit_test(test_one_stop_against_quadrature),
        cmocka_unit_test(test_what_does_not_arrive_is_said),
        cmocka_unit_test(test_guard),
        cmocka_unit_test(test_allocations),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
