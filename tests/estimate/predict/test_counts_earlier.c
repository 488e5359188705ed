/* Counts of two seasons read together: the stacked model against textbook formulas, and what becomes of the map. */
#include "estimate/gaussian/propagation.h"
#include "estimate/gaussian/laplace.h"
#include "estimate/fit/counts_ties.h"

#include "base/random.h"
#include "estimate/counts_cases.h"
#include "estimate/counts_textbook.h"
#include "estimate/surface/surface_methods.h"

enum { OWN = 7, EARLIER = CASE_STOPS - OWN, STOPS = 60, PLACES = 40 };

/* The twelve stops: the first seven of this season, five of an earlier one. */
static foci_observations stacked(void) {
    const foci_frame north = {{0, 0}, 0, 1};
    const foci_columns columns = foci_counts_columns(2);
    foci_point stops[CASE_STOPS], places[CASE_PLACES];
    case_fill(stops, places);
    const foci_season_readings seasons[2] = {{stops, case_hits, case_checked, OWN},
                                             {stops + OWN, case_hits + OWN, case_checked + OWN, EARLIER}};
    foci_observations both = {0};
    foci_error err = {0};
    assert_done(foci_observations_make_in(&both, &north, foci_response_binomial, seasons, 2, &columns, &err), err);
    return both;
}

/* Within a season everything, between seasons a share of the field and no intercept; each has its own deviation. */
static double plain_covariance(const foci_parameters *point, const foci_observations *stops, size_t i, size_t j) {
    double distance = hypot(stops->along[i] - stops->along[j], point->stretch * (stops->across[i] - stops->across[j]));
    double correlation = 0, intercept = FOCI_COUNTS_CENTRE_SPREAD * FOCI_COUNTS_CENTRE_SPREAD;
    bool same = (i < OWN) == (j < OWN);
    foci_covariance_correlate(&correlation, &distance, 1, point);
    double first = point->sigma[i >= OWN], second = point->sigma[j >= OWN];
    return first * second * correlation * (same ? 1 : point->rho) + (same ? intercept : 0) +
           (i == j ? point->tau * point->tau : 0);
}

static void test_textbook_twin_of_two_seasons(void **state) {
    (void)state;
    foci_error err = {0};
    foci_observations both = stacked();
    foci_latent work = {0};
    assert_int_equal(both.count, CASE_STOPS);
    assert_int_equal(foci_observations_in(&both, 1), EARLIER);
    assert_done(foci_latent_make(&work, CASE_STOPS, &err), err);
    foci_latent_take(&work, &both);
    for (size_t s = 0; s < FOCI_COUNTS_TIES; s++) {
        double k[CASE_STOPS * CASE_STOPS], log_z = 0;
        foci_parameters point = case_point(s % CASE_FAMILIES);
        foci_correction correction = {0};
        point.rho = foci_counts_ties[s].rho;
        point.sigma[1] = foci_counts_ties[s].scale * point.sigma[0];
        point.tau = s == 3 ? 0.6 : 0;
        for (size_t i = 0; i < CASE_STOPS * CASE_STOPS; i++)
            k[i] = plain_covariance(&point, &both, i / CASE_STOPS, i % CASE_STOPS);
        textbook expected = textbook_fit(k, both.readings, both.checked, CASE_STOPS);
        foci_latent_at(&work, &point);
        for (size_t i = 0; i < CASE_STOPS * CASE_STOPS; i++)
            assert_near(work.covariance[i], k[i], 1e-13);
        memset(work.field, 0, CASE_STOPS * sizeof *work.field);
        assert_done(foci_laplace_mode(&work, &foci_laplace_of_counts, &log_z, &err), err);
        assert_done(foci_laplace_correct(&work, &correction, &err), err);
        assert_near(log_z, expected.laplace, 1e-8);
        assert_near(correction.log_z, expected.correction, 1e-8);
        for (size_t i = 0; i < CASE_STOPS; i++) {
            assert_near(work.field[i], expected.mode[i], 1e-7);
            assert_near(work.spread[i], expected.spread[i], 1e-7);
        }
    }
    foci_latent_free(&work);
    foci_observations_free(&both);
}

static void test_nothing_shared_changes_nothing(void **state) {
    (void)state;
    static const size_t first[OWN] = {0, 1, 2, 3, 4, 5, 6};
    foci_error err = {0};
    foci_observations own = {0}, both = stacked();
    foci_counts_draw draw = {.point = case_point(0), .weight = 1, .propagate = FOCI_PROPAGATE_NEVER};
    double mean[2][CASE_PLACES], deviation[2][CASE_PLACES], f[2 * CASE_PLACES];
    assert_done(foci_observations_pick(&own, &both, first, OWN, &err), err);
    draw.point.sigma[1] = 0.7;
    for (int season = 0; season < 2; season++) {
        const foci_observations *stops = season ? &both : &own;
        foci_counts_posterior posterior = case_posterior(stops, &draw, 1);
        const foci_targets places = case_targets(f, stops, case_place_u, case_place_v, CASE_PLACES);
        case_ask(mean[season], deviation[season], &posterior, stops, &draw, &places);
        foci_counts_posterior_free(&posterior);
    }
    for (size_t i = 0; i < CASE_PLACES; i++) {
        assert_near(mean[1][i], mean[0][i], 1e-10);
        assert_near(deviation[1][i], deviation[0][i], 1e-10);
    }
    foci_observations_free(&own);
    foci_observations_free(&both);
}

/* At a stop of this season: mean and spread of the textbook. */
static void test_places_are_of_this_season(void **state) {
    (void)state;
    foci_observations both = stacked();
    foci_parameters point = case_point(1);
    point.rho = 0.8;
    point.sigma[1] = 1.3;
    double k[CASE_STOPS * CASE_STOPS], mean[2], deviation[2], f[4];
    const size_t at[2] = {2, 6};
    const double u[2] = {both.along[2], both.along[6]}, v[2] = {both.across[2], both.across[6]};
    for (size_t i = 0; i < CASE_STOPS * CASE_STOPS; i++)
        k[i] = plain_covariance(&point, &both, i / CASE_STOPS, i % CASE_STOPS);
    textbook expected = textbook_fit(k, both.readings, both.checked, CASE_STOPS);
    const foci_counts_draw draw = {.point = point, .weight = 1, .propagate = FOCI_PROPAGATE_NEVER};
    foci_counts_posterior posterior = case_posterior(&both, &draw, 1);
    const foci_targets places = case_targets(f, &both, u, v, 2);
    case_ask(mean, deviation, &posterior, &both, &draw, &places);
    for (size_t i = 0; i < 2; i++) {
        assert_near(mean[i], FOCI_COUNTS_CENTRE + expected.mean[at[i]], 1e-7);
        assert_near(deviation[i], sqrt(expected.spread[at[i]]), 1e-7);
    }
    foci_counts_posterior_free(&posterior);
    foci_observations_free(&both);
}

/* ---- whole fits ---- */

/* Two seasons of a made-up field of 300 x 240 m, and places between the stops. The earlier season is like this one, or
 * each of its stops is clean or rotten by chance alone. */
typedef struct {
    foci_point places[STOPS], before[STOPS], asked[PLACES];
    double hits[STOPS], checked[STOPS], hits_before[STOPS], checked_before[STOPS];
} seasons;

static double share_at(foci_point place) {
    return 1 / (1 + exp(2.5 - 2.2 * sin(place.x / 38) * cos(place.y / 33)));
}

static double count_at(foci_random *draws, double share, double checked) {
    double hits = 0;
    for (int i = 0; i < (int)checked; i++)
        hits += foci_random_share(draws) < share;
    return hits;
}

static seasons invent(bool garbage) {
    seasons s = {.places = {{0, 0}}};
    foci_random draws = foci_random_stream(20417, 3);
    for (size_t i = 0; i < STOPS; i++) {
        s.places[i] = (foci_point){300 * foci_random_share(&draws), 240 * foci_random_share(&draws)};
        s.before[i] = (foci_point){300 * foci_random_share(&draws), 240 * foci_random_share(&draws)};
        s.checked[i] = 12;
        s.checked_before[i] = 40;
        s.hits[i] = count_at(&draws, share_at(s.places[i]), s.checked[i]);
        double chance = foci_random_share(&draws) < 0.3 ? 0.85 : 0.015;
        s.hits_before[i] = count_at(&draws, garbage ? chance : share_at(s.before[i]), s.checked_before[i]);
    }
    for (size_t i = 0; i < PLACES; i++)
        s.asked[i] = (foci_point){300 * foci_random_share(&draws), 240 * foci_random_share(&draws)};
    return s;
}

static foci_readings earlier_of(seasons *s) {
    return (foci_readings){.count = STOPS, .places = s->before, .hits = s->hits_before, .checked = s->checked_before};
}

static foci_readings readings_of(seasons *s) {
    return (foci_readings){.count = STOPS, .places = s->places, .hits = s->hits, .checked = s->checked};
}

static foci_counts_model fit(const seasons *s, const foci_readings *earlier) {
    const foci_counts_options options = {
        .row_heading = NAN, .spacing = 35, .stop_variation = FOCI_STOP_VARIATION_OFF, .earlier = earlier};
    foci_counts_model model = {0};
    foci_error err = {0};
    assert_done(foci_counts_fit(&model, s->places, s->hits, s->checked, STOPS, &options, HOW, &err), err);
    return model;
}

typedef struct {
    double mean[PLACES], variance[PLACES], log_score[STOPS];
} answers;

static answers answers_of(const foci_counts_model *model, const seasons *s) {
    answers out = {.mean = {0}};
    foci_error err = {0};
    const foci_prediction places = {.estimate = out.mean, .variance = out.variance};
    const foci_counts_leave_one_out_result left = {.log_score = out.log_score};
    assert_done(foci_counts_predict(model, s->asked, PLACES, NAN, &places, HOW, &err), err);
    assert_done(foci_counts_leave_one_out(model, &left, HOW, &err), err);
    return out;
}

static double sum(const double *numbers, size_t count) {
    double total = 0;
    for (size_t i = 0; i < count; i++)
        total += numbers[i];
    return total;
}

static double error_of(const answers *out, const seasons *s) {
    double squares = 0;
    for (size_t i = 0; i < PLACES; i++)
        squares += pow(out->mean[i] - share_at(s->asked[i]), 2);
    return sqrt(squares / PLACES);
}

static void test_a_like_season_helps(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings earlier = earlier_of(&s);
    foci_counts_model alone = fit(&s, NULL), together = fit(&s, &earlier);
    answers one = answers_of(&alone, &s), two = answers_of(&together, &s);
    assert_int_equal(alone.stops.seasons, 1);
    assert_int_equal(together.stops.count, 2 * STOPS);
    assert_true(isnan(alone.summary.facts.earlier.rho));
    assert_true(together.summary.facts.earlier.rho > 0.75 && together.summary.shared_none < 0.01);
    assert_true(sum(two.variance, PLACES) < 0.6 * sum(one.variance, PLACES));
    assert_true(error_of(&two, &s) < 0.8 * error_of(&one, &s));
    assert_true(sum(two.log_score, STOPS) > sum(one.log_score, STOPS) + 3);
    foci_counts_free(&alone);
    foci_counts_free(&together);
}

static void test_ties(void **state) {
    (void)state;
    double all = 0, none = 0;
    for (size_t k = 0; k < FOCI_COUNTS_TIES; k++) {
        all += foci_counts_ties[k].prior;
        none += foci_counts_ties[k].rho == 0 ? foci_counts_ties[k].prior : 0;
    }
    assert_near(all, 1, 1e-15);
    assert_near(none, 0.5, 1e-15);
    assert_true(foci_counts_ties[0].rho == 0 && foci_counts_ties[0].scale == 1);
}

/* Three draws instead of all: the summary against sums over what was tried. */
static void test_ties_are_weighed(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings earlier = earlier_of(&s);
    foci_counts_model model = fit(&s, &earlier);
    double log_z[3 * FOCI_COUNTS_TIES], total = 0, shared = 0, none = 0, evidence = model.summary.facts.log_likelihood;
    foci_error err = {0};
    static const double weight[3] = {0.5, 0.3, 0.2};
    for (size_t d = 0; d < 3; d++) {
        model.draws[d].point.rho = 0;
        model.draws[d].weight = weight[d];
    }
    model.draw_count = 3;
    assert_done(foci_counts_ties_try(log_z, &model.stops, model.draws, 3, HOW, &err), err);
    for (size_t d = 0; d < 3; d++)
        for (size_t k = 0; k < FOCI_COUNTS_TIES; k++) {
            double gain = weight[d] * foci_counts_ties[k].prior *
                          exp(log_z[d * FOCI_COUNTS_TIES + k] - log_z[d * FOCI_COUNTS_TIES]);
            total += gain;
            shared += gain * foci_counts_ties[k].rho;
            none += foci_counts_ties[k].rho == 0 ? gain : 0;
        }
    assert_done(foci_counts_ties_weigh(model.draws, &model.draw_count, &model.summary, &model.stops, FOCI_COUNTS_DRAWS,
                                       HOW, &err),
                err);
    assert_near(model.summary.facts.earlier.rho, shared / total, 1e-12);
    assert_near(model.summary.shared_none, none / total, 1e-12);
    assert_near(model.summary.facts.log_likelihood, evidence + log(total), 1e-9);
    double drawn = 0, mean = 0;
    for (size_t d = 0; d < model.draw_count; d++) {
        drawn += model.draws[d].weight;
        mean += model.draws[d].weight * model.draws[d].point.rho;
    }
    assert_near(drawn, 1, 1e-14);
    assert_near(mean, shared / total, 2.0 / FOCI_COUNTS_DRAWS);
    foci_counts_free(&model);
}

/* At nothing shared the evidence of both is the product of each one's. */
static void test_evidence_without_sharing(void **state) {
    (void)state;
    foci_error err = {0};
    foci_observations both = stacked();
    const foci_observations own = foci_observations_season(&both, 0), earlier = foci_observations_season(&both, 1);
    const foci_observations *parts[] = {&own, &earlier, &both};
    double log_z[3];
    foci_latent work = {0};
    foci_parameters point = case_point(0);
    point.sigma[1] = point.sigma[0];
    assert_done(foci_latent_make(&work, CASE_STOPS, &err), err);
    for (size_t p = 0; p < 3; p++) {
        foci_approximation found = {0};
        foci_latent_take(&work, parts[p]);
        foci_latent_at(&work, &point);
        memset(work.field, 0, parts[p]->count * sizeof *work.field);
        assert_done(foci_approximate(&work, FOCI_PROPAGATE_BEYOND_LIMIT, &found, &err), err);
        log_z[p] = found.log_z;
    }
    assert_near(log_z[2], log_z[0] + log_z[1], 1e-9);
    foci_latent_free(&work);
    foci_observations_free(&both);
}

static void test_threads_do_not_matter(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings earlier = earlier_of(&s);
    foci_counts_model one = fit(&s, &earlier);
    answers first = answers_of(&one, &s);
    support_threads = 3;
    foci_counts_model three = fit(&s, &earlier);
    answers second = answers_of(&three, &s);
    support_threads = 1;
    assert_memory_equal(&first, &second, sizeof first);
    assert_true(one.summary.facts.earlier.rho == three.summary.facts.earlier.rho);
    foci_counts_free(&one);
    foci_counts_free(&three);
}

static foci_surface_options options_of(void) {
    return (foci_surface_options){.method = foci_surface_method_find("counts"),
                                  .area = 300 * 240,
                                  .row_heading = 40,
                                  .most = 100,
                                  .threshold = 15,
                                  .stop_variation = FOCI_STOP_VARIATION_OFF};
}

static void test_used_only_where_it_helps(void **state) {
    (void)state;
    for (int garbage = 0; garbage < 2; garbage++) {
        seasons s = invent(garbage);
        foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
        const foci_surface_options options = options_of();
        foci_surface_model tried = {0}, plain = {0};
        double estimates[2][PLACES], chances[2][PLACES];
        foci_error err = {0};
        assert_done(foci_surface_fit(&tried, &readings, &earlier, &options, HOW, &err), err);
        assert_done(foci_surface_fit(&plain, &readings, NULL, &options, HOW, &err), err);
        const foci_earlier_facts *facts = &tried.facts.earlier;
        assert_int_equal(facts->stops, STOPS);
        assert_string_equal(facts->why_not, "");
        assert_true(facts->used == (facts->log_score_with > facts->log_score_without));
        assert_true(facts->used == !garbage);
        assert_true(garbage ? facts->rho < 0.5 : facts->rho > 0.7);
        assert_true(isnan(plain.facts.earlier.rho) && !plain.facts.earlier.used);
        const foci_prediction out[2] = {{.estimate = estimates[0], .chance = chances[0]},
                                        {.estimate = estimates[1], .chance = chances[1]}};
        assert_done(foci_surface_at(&tried, s.asked, PLACES, &out[0], HOW, &err), err);
        assert_done(foci_surface_at(&plain, s.asked, PLACES, &out[1], HOW, &err), err);
        size_t differ = 0;
        for (size_t i = 0; i < PLACES; i++)
            differ += estimates[0][i] != estimates[1][i] || chances[0][i] != chances[1][i];
        assert_int_equal(differ, garbage ? 0 : PLACES);
        foci_surface_model_free(&tried);
        foci_surface_model_free(&plain);
    }
}

/* The dig-checks' covariance: its diagonal against a draw's own answer. */
static void test_covariance_of_places(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    foci_counts_model model = fit(&s, &earlier);
    foci_surface_options options = options_of();
    foci_surface_model surface = {0};
    double mean[3], covariance[9], threshold = 0, expected[2][3 * FOCI_COUNTS_DRAWS], turned[3 * 4];
    foci_error err = {0};
    options.row_heading = NAN;
    options.area = STOPS * 35.0 * 35.0;
    assert_done(foci_surface_fit(&surface, &readings, &earlier, &options, HOW, &err), err);
    assert_true(surface.facts.earlier.used);
    assert_done(foci_surface_covariance(&surface, mean, covariance, &threshold, s.asked, 3, &err), err);
    const foci_targets places = foci_targets_fill(turned, &model.stops, s.asked, 3, 0);
    case_ask(expected[0], expected[1], &model.posterior, &model.stops, model.draws, &places);
    size_t best = 0;
    for (size_t d = 0; d < model.draw_count; d++)
        best = model.draws[d].weight > model.draws[best].weight ? d : best;
    for (size_t i = 0; i < 3; i++) {
        assert_near(mean[i], expected[0][best + i * model.draw_count], 1e-9);
        assert_near(sqrt(covariance[4 * i]), expected[1][best + i * model.draw_count], 1e-9);
    }
    foci_surface_model_free(&surface);
    foci_counts_free(&model);
}

static void test_too_many_stops_are_said(void **state) {
    (void)state;
    enum { MANY = FOCI_COUNTS_JOINT - STOPS + 1 };
    static foci_point places[MANY];
    static double hits[MANY], checked[MANY];
    seasons s = invent(false);
    foci_readings readings = readings_of(&s),
                  earlier = {.count = MANY, .places = places, .hits = hits, .checked = checked};
    foci_surface_options options = options_of();
    const foci_counts_options kernel = {.row_heading = NAN, .spacing = 35, .earlier = &earlier};
    foci_surface_model model = {0};
    foci_counts_model counts = {0};
    foci_error err = {0};
    for (size_t i = 0; i < MANY; i++) {
        places[i] = (foci_point){(double)(i % 25) * 12, (double)i / 25 * 10};
        checked[i] = 20;
    }
    assert_done(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err);
    assert_false(model.facts.earlier.used);
    assert_string_equal(model.facts.earlier.why_not, "the two seasons have 601 stops together, and 600 is the limit");
    assert_true(isnan(model.facts.earlier.log_score_with) && isnan(model.facts.earlier.rho));
    foci_surface_model_free(&model);
    assert_fails(foci_counts_fit(&counts, s.places, s.hits, s.checked, STOPS, &kernel, HOW, &err), err, FOCI_NO_FIT,
                 "more than 600 stops together");
}

static void test_impossible_counts(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    foci_surface_options options = options_of();
    foci_surface_model model = {0};
    foci_error err = {0};
    s.hits_before[4] = 41.385;
    assert_done(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err);
    assert_false(model.facts.earlier.used);
    assert_non_null(strstr(model.facts.earlier.why_not, "41.385 infected of 40"));
    foci_surface_model_free(&model);
}

enum { FEW = 9 };

static bool attempt(foci_error *err) {
    seasons s = invent(false);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    foci_surface_options options = options_of();
    foci_surface_model model = {0};
    options.row_heading = NAN;
    readings.count = earlier.count = FEW;
    if (!foci_surface_fit(&model, &readings, &earlier, &options, HOW, err))
        return false;
    foci_surface_model_free(&model);
    foci_surface_model_free(&model);
    return true;
}

static void test_allocations(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_textbook_twin_of_two_seasons),
        cmocka_unit_test(test_nothing_shared_changes_nothing),
        cmocka_unit_test(test_places_are_of_this_season),
        cmocka_unit_test(test_evidence_without_sharing),
        cmocka_unit_test(test_a_like_season_helps),
        cmocka_unit_test(test_ties),
        cmocka_unit_test(test_ties_are_weighed),
        cmocka_unit_test(test_threads_do_not_matter),
        cmocka_unit_test(test_used_only_where_it_helps),
        cmocka_unit_test(test_covariance_of_places),
        cmocka_unit_test(test_too_many_stops_are_said),
        cmocka_unit_test(test_impossible_counts),
        cmocka_unit_test(test_allocations),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
