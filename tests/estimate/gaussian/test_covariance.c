/* Covariances of two seasons with folded columns against the formula, pair by pair. */
#include "estimate/gaussian/latent.h"

#include "support/support.h"

enum { OWN = 4, EARLIER = 3, STOPS = OWN + EARLIER, PLACES = 3 };

static const foci_point own[OWN] = {{0, 0}, {60, 10}, {25, 70}, {90, 55}},
                        earlier[EARLIER] = {{5, 15}, {70, 40}, {60, 10}},
                        asked[PLACES] = {{60, 10}, {33, 21}, {-40, 120}};

/* An intercept in each season, one slope along the rows for both, and one across in the second alone. */
static foci_columns folded(void) {
    foci_columns columns = foci_columns_intercepts(2, -3, 6.25);
    columns.count = 4;
    columns.column[2] = (foci_column){.mean = 0.5, .variance = 0.81, .season = FOCI_EVERY_SEASON, .along = 1};
    columns.column[3] = (foci_column){.mean = -0.2, .variance = 0.09, .season = 1, .across = 2};
    columns.centre = (foci_point){4, -7};
    columns.scale = 50;
    return columns;
}

static foci_parameters at_point(const char *family, double range, double stretch, double rho) {
    return (foci_parameters){.family = support_family(family),
                             .range = range,
                             .stretch = stretch,
                             .mean = {0.7, -0.4},
                             .sigma = {1.3, 0.8},
                             .rho = rho,
                             .tau = 0.6};
}

/* Of a season and a place of the frame. */
typedef struct {
    double along, across;
    size_t season;
} spot;

static double column_at(size_t c, spot s) {
    const double x = (s.along - 4) / 50, y = (s.across + 7) / 50;
    const double f[] = {s.season == 0, s.season == 1, x, s.season == 1 ? y * y : 0};
    return f[c];
}

static double plain(const foci_parameters *at, spot a, spot b) {
    static const double variance[] = {6.25, 6.25, 0.81, 0.09};
    const double h = hypot(a.along - b.along, at->stretch * (a.across - b.across));
    const double q = h * at->family.practical / at->range;
    double sum = at->sigma[a.season] * at->sigma[b.season] * (a.season == b.season ? 1 : at->rho) *
                 at->family.row->at(q, at->family.smoothness);
    for (size_t c = 0; c < 4; c++)
        sum += variance[c] * column_at(c, a) * column_at(c, b);
    return sum;
}

static double plain_offset(const foci_parameters *at, spot s) {
    static const double mean[] = {-3, -3, 0.5, -0.2};
    double sum = at->mean[s.season];
    for (size_t c = 0; c < 4; c++)
        sum += mean[c] * column_at(c, s);
    return sum;
}

static spot spot_of(const foci_observations *stops, size_t i) {
    return (spot){stops->along[i], stops->across[i], i >= OWN};
}

/* From one parameter point to the next some of distances and correlations hold; season by season at the places. */
static void test_formula(void **state) {
    (void)state;
    static const double hits[STOPS] = {1, 0, 2, 3, 0, 1, 0}, checked[STOPS] = {9, 9, 9, 9, 9, 9, 9};
    const foci_season_readings seasons[] = {{own, hits, checked, OWN}, {earlier, hits + OWN, checked + OWN, EARLIER}};
    const foci_columns columns = folded();
    const foci_parameters points[] = {at_point("exponential", 80, 1.5, 0.3), at_point("exponential", 80, 1.5, 0.9),
                                      at_point("matern", 80, 1.5, 0.9),      at_point("matern", 50, 1.5, 0),
                                      at_point("spherical", 50, 2.25, 0.5),  at_point("exponential", 80, 1.5, 0.3)};
    foci_observations stops = {0};
    foci_latent work = {0};
    foci_error err = {0};
    double turned[PLACES * 6], distance[STOPS * PLACES], correlation[STOPS * PLACES], k[STOPS * PLACES],
        among[PLACES * PLACES];
    assert_done(foci_observations_make(&stops, foci_response_binomial, seasons, 2, &columns, 30, &err), err);
    assert_done(foci_latent_make(&work, STOPS, &err), err);
    foci_latent_take(&work, &stops);
    for (size_t season = 0; season < 2; season++) {
        const foci_targets places = foci_targets_fill(turned, &stops, asked, PLACES, season);
        foci_covariance_room room = {.distance = distance, .correlation = correlation};
        for (size_t p = 0; p < sizeof points / sizeof *points; p++) {
            const foci_parameters *at = &points[p];
            foci_latent_at(&work, at);
            foci_covariance_with(k, &stops, at, &places, &room);
            foci_covariance_places(among, &stops.columns, at, &places);
            for (size_t i = 0; i < STOPS; i++) {
                assert_near(work.offset[i], plain_offset(at, spot_of(&stops, i)), 1e-14);
                for (size_t j = 0; j < STOPS; j++)
                    assert_near(work.covariance[i + j * STOPS],
                                plain(at, spot_of(&stops, i), spot_of(&stops, j)) + (i == j) * 0.36, 1e-13);
            }
            for (size_t j = 0; j < PLACES; j++) {
                const spot there = {places.along[j], places.across[j], season};
                for (size_t i = 0; i < STOPS; i++)
                    assert_near(k[i + j * STOPS], plain(at, spot_of(&stops, i), there), 1e-13);
                for (size_t i = 0; i < PLACES; i++)
                    assert_near(among[i + j * PLACES],
                                plain(at, (spot){places.along[i], places.across[i], season}, there), 1e-13);
                assert_near(foci_covariance_prior(&stops.columns, at, &places, j), plain(at, there, there), 1e-13);
                assert_near(foci_covariance_offset(&stops.columns, at, &places, j), plain_offset(at, there), 1e-14);
            }
        }
    }
    foci_latent_free(&work);
    foci_observations_free(&stops);
}

/* Scores: what a reading varies by about the surface is its season's noise and its own error. */
static void test_detail_of_a_reading(void **state) {
    (void)state;
    static const double scores[STOPS] = {1, 2, 3, 4, 5, 6, 7};
    const foci_season_readings seasons[] = {{own, scores, NULL, OWN}, {earlier, scores + OWN, NULL, EARLIER}};
    foci_observations stops = {0};
    foci_latent work = {0};
    foci_error err = {0};
    foci_parameters at = at_point("exponential", 80, 1, 0.3);
    at.noise[0] = 0.5;
    at.noise[1] = 0.2;
    assert_done(foci_observations_make(&stops, foci_response_normal, seasons, 2, NULL, NAN, &err), err);
    assert_done(foci_latent_make(&work, STOPS, &err), err);
    stops.error[5] = 0.11;
    foci_latent_take(&work, &stops);
    foci_latent_at(&work, &at);
    for (size_t i = 0; i < STOPS; i++)
        assert_near(work.detail[i], (i < OWN ? 0.25 : 0.04) + (i == 5 ? 0.11 : 0), 1e-15);
    foci_latent_free(&work);
    foci_observations_free(&stops);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_formula),
        cmocka_unit_test(test_detail_of_a_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
