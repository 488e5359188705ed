#include "fieldfoci/pattern.h"

#include "base/random.h"
#include "decide/pattern/reference_lines.h"
#include "support/readings.h"

static const foci_pattern_options plain = {.seed = 1, .row_heading = NAN, .no_pattern = NAN};

static foci_pattern judged(const foci_readings *readings, foci_reading_kind kind, const foci_pattern_options *options) {
    foci_error err = {0};
    foci_pattern pattern = {0};
    assert_done(foci_pattern_make(&pattern, readings, kind, options, HOW, &err), err);
    return pattern;
}

/* ---- invented fields ---- */

typedef struct {
    foci_readings readings;
    foci_point places[400];
    double values[400], hits[400], checked[400];
} field;

static double share_at(foci_point place, bool patchy) {
    double away = hypot(place.x - 120, place.y - 250);
    return patchy ? 0.03 + 0.5 * exp(-away * away / (2 * 60 * 60)) : 0.1;
}

static void check_stop(field *f, size_t i, double share, foci_random *draws) {
    f->checked[i] = 10 + (double)foci_random_below(draws, 11);
    f->hits[i] = 0;
    for (int unit = 0; unit < (int)f->checked[i]; unit++)
        f->hits[i] += foci_random_share(draws) < share;
    f->values[i] = 100 * f->hits[i] / f->checked[i];
}

/* Stops in a jittered grid over 400 x 400 m; one patch, or everywhere the same share. */
static void invent(field *f, size_t side, bool patchy, uint64_t number) {
    foci_random draws = foci_random_stream(33, number);
    double step = 400.0 / (double)side;
    *f = (field){.readings = {.count = side * side}};
    f->readings.places = f->places;
    f->readings.values = f->values;
    f->readings.hits = f->hits;
    f->readings.checked = f->checked;
    for (size_t i = 0; i < side * side; i++) {
        size_t row = i / side;
        f->places[i].x = step * ((double)(i % side) + 0.2 + 0.6 * foci_random_share(&draws));
        f->places[i].y = step * ((double)row + 0.2 + 0.6 * foci_random_share(&draws));
        check_stop(f, i, share_at(f->places[i], patchy), &draws);
    }
}

/* ---- known values through the whole ---- */

/* Zinc of the meuse samples, band 250 m, two islands kept (testdata/reference/README.md). */
static void test_meuse(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(false);
    foci_pattern_options options = plain;
    options.band = 250;
    foci_pattern p = judged(&meuse, FOCI_READING_VALUE, &options);
    assert_int_equal(p.count, 155);
    assert_int_equal(p.isolated, 2);
    assert_int_equal(p.permutations, 999);
    assert_digits(p.moran.z, reference_number_after("autocorr.csv", "Moran_I_randomisation,kept,B", 4), 1e-9);
    assert_digits(p.geary.z, reference_number_after("autocorr.csv", "Geary_C_randomisation,kept,B", 4), 1e-9);
    assert_digits(p.general_g.z, reference_number_after("autocorr.csv", "global_Getis_Ord_G,kept,B", 4), 1e-9);
    assert_near(p.local[0].gi_z, 2.21384186786948, 1e-9); /* autocorr_local.csv, first line */
    assert_near(p.moran.permuted_p, 0.001, 1e-15);
    assert_near(p.geary.permuted_p, 0.001, 1e-15);
    assert_near(p.general_g.permuted_p, 0.001, 1e-15);
    assert_null(p.transport.left_out); /* distance by a linear-programming solver (SciPy 1.10.1, linprog) */
    assert_digits(p.transport.distance, 11082560.294302182, 1e-8);
    assert_near(p.transport.index, 1.38, 0.05);
    assert_int_equal(p.verdict, FOCI_VERDICT_PATCHY);
    assert_true(isnan(p.joins.value)); /* there is zinc everywhere */
    assert_true(isnan(p.counts.mean) && isnan(p.incidence.share));
    assert_true(p.field.mean.low < p.field.mean.value && p.field.mean.value < p.field.mean.high);
    foci_pattern_free(&p);
    foci_pattern_free(&p);
    support_readings_free(&meuse);
}

/* The transport index over all 720 orders is 1.248456, P 0.1 (by exact enumeration with another solver); 9999 drawn
 * orders come near: three standard errors. */
static void test_permutations_come_near_all_orders(void **state) {
    (void)state;
    foci_point places[6] = {{0, 0}, {30, 0}, {60, 0}, {0, 30}, {30, 30}, {60, 30}};
    double hits[6] = {6, 4, 0, 1, 0, 0}, checked[6] = {10, 10, 20, 10, 20, 20}, values[6] = {60, 40, 0, 10, 0, 0};
    foci_readings readings = {.count = 6, .places = places, .values = values, .hits = hits, .checked = checked};
    foci_pattern_options options = plain;
    options.permutations = 9999;
    foci_pattern p = judged(&readings, FOCI_READING_COUNT, &options);
    assert_near(p.transport.distance, 339.468769, 5e-7);
    assert_near(p.transport.expected, 271.910920, 1.5);
    assert_near(p.transport.index, 1.248456, 0.007);
    assert_near(p.transport.p, 0.1, 0.009);
    assert_int_equal(p.verdict, FOCI_VERDICT_TOO_FEW);
    foci_pattern_free(&p);
}

/* The plain twin of the permuted p of Moran's I: shuffles a copy of the readings and sums over all pairs. */
static void test_permuted_p_against_the_twin(void **state) {
    (void)state;
    static field f;
    invent(&f, 5, false, 4);
    foci_pattern_options options = plain;
    options.permutations = 199;
    options.seed = 20;
    foci_pattern p = judged(&f.readings, FOCI_READING_COUNT, &options);
    double mean = 0, own = 0;
    int reached = 0;
    for (size_t i = 0; i < 25; i++)
        mean += f.values[i] / 25;
    for (uint64_t k = 0; k <= 199; k++) {
        size_t order[25];
        foci_random draws = foci_random_stream(20, k);
        foci_random_order(&draws, order, 25);
        double sum = 0;
        for (size_t i = 0; i < 25; i++)
            for (size_t j = 0; j < i; j++)
                if (hypot(f.places[i].x - f.places[j].x, f.places[i].y - f.places[j].y) <= p.band)
                    sum += (f.values[k ? order[i] : i] - mean) * (f.values[k ? order[j] : j] - mean);
        own = k ? own : sum;
        reached += k && sum >= own - 1e-9 * fabs(own);
    }
    assert_near(p.moran.permuted_p, (1 + reached) / 200.0, 1e-15);
    assert_near(p.band, 1.5 * p.spacing, 1e-12);
    foci_error err = {0};
    double nearest = 0;
    assert_done(foci_readings_spacing(&nearest, &f.readings, &err), err);
    assert_near(p.spacing, nearest, 0);
    foci_pattern_free(&p);
}

static void test_threads_change_nothing(void **state) {
    (void)state;
    static field f;
    invent(&f, 7, true, 1);
    foci_pattern_options options = plain;
    options.permutations = 99;
    foci_pattern one = judged(&f.readings, FOCI_READING_COUNT, &options);
    for (support_threads = 0; support_threads < 6; support_threads += 2) {
        foci_pattern many = judged(&f.readings, FOCI_READING_COUNT, &options);
        assert_memory_equal(&one.moran, &many.moran, sizeof one.moran);
        assert_memory_equal(&one.geary, &many.geary, sizeof one.geary);
        assert_memory_equal(&one.general_g, &many.general_g, sizeof one.general_g);
        assert_memory_equal(&one.joins, &many.joins, sizeof one.joins);
        assert_true(one.transport.expected == many.transport.expected && one.transport.p == many.transport.p);
        assert_true(one.field.crowding_p == many.field.crowding_p);
        foci_pattern_free(&many);
    }
    support_threads = 1;
    options.seed = 2;
    foci_pattern other = judged(&f.readings, FOCI_READING_COUNT, &options);
    assert_true(other.transport.distance == one.transport.distance);
    assert_true(other.transport.expected != one.transport.expected);
    foci_pattern_free(&other);
    foci_pattern_free(&one);
}

/* ---- the verdict ---- */

static void test_a_patch_is_found(void **state) {
    (void)state;
    static field f;
    for (uint64_t k = 0; k < 20; k++) {
        invent(&f, 7, true, k);
        foci_pattern_options options = plain;
        options.permutations = 199;
        foci_pattern p = judged(&f.readings, FOCI_READING_COUNT, &options);
        assert_int_equal(p.verdict, FOCI_VERDICT_PATCHY);
        assert_true(p.incidence.rho > 0.02 && p.incidence.c_alpha_p < 1e-3);
        assert_true(isnan(p.counts.ratio)); /* unequal effort */
        assert_true(p.joins.permuted_p > 0 && p.joins.permuted_p <= 1);
        foci_pattern_free(&p);
    }
}

/* One test at 5 % where no surface has a word. Bounds: 5 % of 300 fields, three standard errors to each side. */
static void test_error_rate(void **state) {
    (void)state;
    static field f;
    int patchy = 0, preferential = 0;
    for (uint64_t k = 0; k < 300; k++) {
        invent(&f, 5, false, k);
        foci_pattern_options options = plain;
        options.permutations = 199;
        options.seed = k;
        foci_pattern p = judged(&f.readings, FOCI_READING_COUNT, &options);
        patchy += p.verdict == FOCI_VERDICT_PATCHY;
        preferential += p.field.preferential;
        foci_pattern_free(&p);
    }
    assert_in_range(patchy, 4, 26);
    assert_in_range(preferential, 0, 9);
}

static void assert_verdict(const foci_readings *readings, double no_pattern, foci_verdict verdict, const char *why) {
    foci_pattern_options options = plain;
    options.permutations = 99;
    options.no_pattern = no_pattern;
    foci_pattern p = judged(readings, FOCI_READING_COUNT, &options);
    assert_int_equal(p.verdict, verdict);
    assert_non_null(strstr(p.why, why));
    foci_pattern_free(&p);
}

/* The posterior's word goes before the test's, and the number of stops before both. */
static void test_rules_of_the_verdict(void **state) {
    (void)state;
    static field f;
    invent(&f, 7, true, 3);
    assert_verdict(&f.readings, NAN, FOCI_VERDICT_PATCHY, "than chance");
    assert_verdict(&f.readings, 0, FOCI_VERDICT_PATCHY, "than distant");
    assert_verdict(&f.readings, 0.07, FOCI_VERDICT_PATCHY, "than distant");
    assert_verdict(&f.readings, 0.0701, FOCI_VERDICT_UNCLEAR, "neither");
    assert_verdict(&f.readings, 0.999, FOCI_VERDICT_NO_PATTERN, "rather than");
    f.readings.count = 20;
    assert_verdict(&f.readings, 0.999, FOCI_VERDICT_NO_PATTERN, "rather than");
    f.readings.count = 19;
    assert_verdict(&f.readings, 0, FOCI_VERDICT_TOO_FEW, "20");
    invent(&f, 6, false, 8);
    assert_verdict(&f.readings, 0.01, FOCI_VERDICT_PATCHY, "than distant");
    static const char *const names[] = {"patchy", "unclear", "no pattern found", "too few stops"};
    for (int v = 0; v < FOCI_VERDICT_END; v++)
        assert_string_equal(foci_verdict_name((foci_verdict)v), names[v]);
}

/* Half of the stops put where it is bad. */
static void test_preferential_stops_are_noticed(void **state) {
    (void)state;
    static field f;
    invent(&f, 6, true, 5);
    foci_pattern even = judged(&f.readings, FOCI_READING_COUNT, &plain);
    assert_false(even.field.preferential);
    foci_random draws = foci_random_stream(34, 1);
    for (size_t i = 36; i < 66; i++) {
        f.places[i] = (foci_point){70 + 100 * foci_random_share(&draws), 200 + 100 * foci_random_share(&draws)};
        check_stop(&f, i, share_at(f.places[i], true), &draws);
    }
    f.readings.count = 66;
    foci_pattern preferential = judged(&f.readings, FOCI_READING_COUNT, &plain);
    assert_true(preferential.field.preferential && preferential.field.crowding > 0.3);
    assert_true(preferential.field.mean.value > 1.5 * even.field.mean.value);
    assert_near(preferential.field.declustered, even.field.mean.value, 0.25 * even.field.mean.value);
    foci_pattern_free(&even);
    foci_pattern_free(&preferential);
}

/* ---- hard input ---- */

static void test_more_stops_than_transport_takes(void **state) {
    (void)state;
    static field f;
    invent(&f, 18, true, 2);
    foci_pattern_options options = plain;
    options.permutations = 19;
    foci_pattern p = judged(&f.readings, FOCI_READING_COUNT, &options);
    assert_true(isnan(p.transport.index) && isnan(p.transport.p));
    assert_string_equal(p.transport.left_out, "there are more than 300 stops");
    assert_int_equal(p.verdict, FOCI_VERDICT_PATCHY);
    foci_pattern_free(&p);
}

static void test_readings_that_tell_nothing(void **state) {
    (void)state;
    static field f;
    invent(&f, 6, false, 1);
    for (int kind = 0; kind < 2; kind++)
        for (int zero = 0; zero < 2; zero++) {
            for (size_t i = 0; i < f.readings.count; i++) {
                f.hits[i] = zero ? 0 : 3;
                f.checked[i] = 10;
                f.values[i] = zero ? 0 : 30;
            }
            foci_pattern p = judged(&f.readings, kind ? FOCI_READING_COUNT : FOCI_READING_VALUE, &plain);
            assert_int_equal(p.verdict, FOCI_VERDICT_NO_PATTERN);
            assert_true(isnan(p.moran.value) && isnan(p.moran.permuted_p) && isnan(p.transport.index));
            assert_string_equal(p.transport.left_out, "the readings do not differ");
            assert_true(isnan(p.local[3].gi_z) && isnan(p.field.crowding_p) && !p.field.preferential);
            assert_near(p.field.mean.value, zero ? 0 : 30, 1e-12);
            assert_near(p.field.declustered, zero ? 0 : 30, 1e-12);
            foci_pattern_free(&p);
        }
}

static void test_few_stops(void **state) {
    (void)state;
    static field f;
    invent(&f, 5, true, 1);
    for (size_t count = 0; count < 6; count++) {
        f.readings.count = count;
        for (int kind = 0; kind < 2; kind++) {
            foci_pattern p = judged(&f.readings, kind ? FOCI_READING_COUNT : FOCI_READING_VALUE, &plain);
            assert_int_equal(p.verdict, FOCI_VERDICT_TOO_FEW);
            assert_int_equal(p.count, count);
            assert_true(count > 0 || (isnan(p.field.mean.value) && isnan(p.neighbours)));
            foci_pattern_free(&p);
        }
    }
}

static void test_odd_layouts(void **state) {
    (void)state;
    static field f;
    invent(&f, 6, true, 1);
    for (size_t i = 0; i < f.readings.count; i++) /* on one line, far from the origin */
        f.places[i] = (foci_point){5e6 + 3 * (double)i, 5e6 + 4 * (double)i};
    foci_pattern p = judged(&f.readings, FOCI_READING_COUNT, &plain);
    assert_near(p.spacing, 5, 1e-6);
    assert_near(p.neighbours, 70 / 36.0, 1e-12);
    assert_false(p.field.preferential);
    foci_pattern_free(&p);
    for (size_t i = 0; i < f.readings.count; i++) /* all in one place */
        f.places[i] = (foci_point){5e6, 5e6};
    p = judged(&f.readings, FOCI_READING_COUNT, &plain);
    assert_true(isnan(p.transport.index) && isnan(p.field.cell));
    assert_int_equal(p.verdict, FOCI_VERDICT_NO_PATTERN);
    foci_pattern_free(&p);
    invent(&f, 6, true, 1);
    memset(f.hits, 0, sizeof f.hits); /* one hot stop */
    memset(f.values, 0, sizeof f.values);
    f.hits[14] = 9;
    f.values[14] = 100 * 9 / f.checked[14];
    p = judged(&f.readings, FOCI_READING_COUNT, &plain);
    assert_int_not_equal(p.verdict, FOCI_VERDICT_PATCHY);
    assert_true(isfinite(p.moran.z) && isfinite(p.transport.index));
    foci_pattern_free(&p);
}

static void test_wrong_bands(void **state) {
    (void)state;
    static field f;
    invent(&f, 5, true, 1);
    foci_error err = {0};
    foci_pattern p = {0};
    foci_pattern_options options = plain;
    options.band = -3;
    assert_fails(foci_pattern_make(&p, &f.readings, FOCI_READING_COUNT, &options, HOW, &err), err, FOCI_BAD_SETTING,
                 "no distance");
    options.band = NAN;
    assert_fails(foci_pattern_make(&p, &f.readings, FOCI_READING_COUNT, &options, HOW, &err), err, FOCI_BAD_SETTING,
                 "no distance");
    assert_null(p.local);
}

static field small;

static bool attempt(foci_error *err) {
    foci_pattern p = {0};
    foci_pattern_options options = plain;
    options.permutations = 3;
    bool ok = foci_pattern_make(&p, &small.readings, FOCI_READING_COUNT, &options, HOW, err);
    foci_pattern_free(&p);
    return ok;
}

/* The spacing, which says nothing of memory, is NaN where there is none: no neighbours then, but no failure. */
static void test_no_memory(void **state) {
    (void)state;
    invent(&small, 5, true, 1);
    for (size_t i = 0; i < small.readings.count; i++)
        small.checked[i] = 20;
    for (long n = 2; n < 1000; n++) {
        foci_error err = {0};
        foci_memory_fail_after(n);
        bool ok = attempt(&err);
        foci_memory_fail_after(-1);
        if (ok)
            return;
        assert_int_equal(err.status, FOCI_NO_MEMORY);
    }
    fail_msg("never succeeded");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_meuse),
        cmocka_unit_test(test_permutations_come_near_all_orders),
        cmocka_unit_test(test_permuted_p_against_the_twin),
        cmocka_unit_test(test_threads_change_nothing),
        cmocka_unit_test(test_a_patch_is_found),
        cmocka_unit_test(test_error_rate),
        cmocka_unit_test(test_rules_of_the_verdict),
        cmocka_unit_test(test_preferential_stops_are_noticed),
        cmocka_unit_test(test_more_stops_than_transport_takes),
        cmocka_unit_test(test_readings_that_tell_nothing),
        cmocka_unit_test(test_few_stops),
        cmocka_unit_test(test_odd_layouts),
        cmocka_unit_test(test_wrong_bands),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
