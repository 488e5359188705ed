/* Laplace's approximation and its correction against the textbook formulas, written out with the inverse of K. */
#include "estimate/gaussian/laplace.h"

#include "estimate/counts_cases.h"
#include "estimate/counts_textbook.h"

enum { MOST = TEXTBOOK_MOST };

/* Pseudo-random but fixed; only a spread of values is wanted. */
static double next_share(unsigned *state) {
    *state = *state * 1664525u + 1013904223u;
    return (double)(*state >> 8) / 16777216.0;
}

static void test_textbook_twin(void **state) {
    (void)state;
    foci_error err = {0};
    unsigned seed = 20385;
    foci_latent work = {0};
    assert_done(foci_latent_make(&work, MOST, &err), err);
    for (int round = 0; round < 12; round++) {
        size_t count = 3 + (size_t)(next_share(&seed) * (MOST - 3));
        foci_point places[MOST];
        double hits[MOST], checked[MOST];
        for (size_t i = 0; i < count; i++) {
            places[i] = (foci_point){300 * next_share(&seed), 200 * next_share(&seed)};
            checked[i] = 5 + floor(60 * next_share(&seed));
            hits[i] = floor(checked[i] * pow(next_share(&seed), 3));
        }
        const foci_season_readings season = {places, hits, checked, count};
        const foci_columns columns = foci_counts_columns(1);
        foci_observations stops = {0};
        foci_parameters point = case_point((size_t)round % CASE_FAMILIES);
        point.sigma[0] = 0.4 + 2 * next_share(&seed);
        point.range = 40 + 300 * next_share(&seed);
        point.tau = round % 3 == 0 ? 0.6 : 0;
        assert_done(foci_observations_make(&stops, foci_response_binomial, &season, 1, &columns, 37.5, &err), err);
        foci_latent_take(&work, &stops);
        foci_latent_at(&work, &point);
        memset(work.field, 0, count * sizeof *work.field);
        textbook expected = textbook_fit(work.covariance, hits, checked, count);
        foci_correction correction = {0};
        double log_z = 0, shift = 0;
        assert_done(foci_laplace_mode(&work, &foci_laplace_of_counts, &log_z, &err), err);
        assert_done(foci_laplace_correct(&work, &correction, &err), err);
        assert_near(log_z, expected.laplace, 1e-7);
        assert_near(correction.log_z, expected.correction, 1e-7);
        for (size_t i = 0; i < count; i++) {
            double mean = 0;
            for (size_t j = 0; j < count; j++)
                mean += work.covariance[i + j * count] * work.alpha[j];
            assert_near(work.field[i], expected.mode[i], 1e-7);
            assert_near(mean, expected.mean[i], 1e-7);
            assert_near(work.spread[i], expected.spread[i], 1e-7);
            shift = fmax(shift, fabs(expected.mean[i] - expected.mode[i]) / sqrt(expected.spread[i]));
        }
        assert_near(correction.shift, shift, 1e-6);
        foci_observations_free(&stops);
    }
    foci_latent_free(&work);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_textbook_twin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
