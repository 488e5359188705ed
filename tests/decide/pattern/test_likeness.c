#include "decide/pattern/likeness.h"

#include "base/random.h"
#include "support/readings.h"

enum { STOPS_MOST = 1400 };

typedef struct {
    foci_readings readings;
    foci_point places[STOPS_MOST];
    double values[STOPS_MOST], hits[STOPS_MOST], checked[STOPS_MOST];
} field;

/* Stops at random over 300 x 300 m; share infected .1, and with a patch .4 more in a band 60 m wide along `heading`. */
static void invent(field *f, size_t count, bool patchy, double heading, uint64_t number) {
    foci_random draws = foci_random_stream(71, number);
    *f = (field){.readings = {.count = count}};
    f->readings.places = f->places;
    f->readings.values = f->values;
    f->readings.hits = f->hits;
    f->readings.checked = f->checked;
    for (size_t i = 0; i < count; i++) {
        f->places[i] = (foci_point){300 * foci_random_share(&draws), 300 * foci_random_share(&draws)};
        double turn = heading * 3.14159265358979323846 / 180;
        double across = (f->places[i].x - 150) * cos(turn) - (f->places[i].y - 150) * sin(turn);
        double share = patchy && fabs(across) < 30 ? 0.5 : 0.1;
        f->checked[i] = 20 + (double)foci_random_below(&draws, 21);
        for (int unit = 0; unit < (int)f->checked[i]; unit++)
            f->hits[i] += foci_random_share(&draws) < share;
        f->values[i] = 100 * f->hits[i] / f->checked[i];
    }
}

static double tested(const field *f, foci_reading_kind kind, const foci_likeness_options *options) {
    foci_error err = {0};
    double p = 0;
    assert_done(foci_likeness_test(&p, &f->readings, kind, options, HOW, &err), err);
    return p;
}

/* ---- the plain twin: full matrices, readings moved about, one kernel after the other ---- */

static double hull_spacing(const field *f) {
    foci_error err = {0};
    double area = 0;
    assert_done(foci_convex_hull_area(&area, f->places, f->readings.count, &err), err);
    return sqrt(area) / (sqrt((double)f->readings.count) - 1);
}

static double twin_p(const field *f, double heading, uint64_t seed, size_t permutations) {
    static double z[64], w[64][64], likeness[256], largest[256];
    const size_t n = f->readings.count, ratios = isnan(heading) ? 1 : 2;
    const double turn = isnan(heading) ? 0 : heading * 3.14159265358979323846 / 180, spacing = hull_spacing(f);
    double mean = 0;
    for (size_t i = 0; i < n; i++)
        mean += log((f->hits[i] + 0.5) / (f->checked[i] - f->hits[i] + 0.5)) / (double)n;
    for (size_t i = 0; i < n; i++)
        z[i] = log((f->hits[i] + 0.5) / (f->checked[i] - f->hits[i] + 0.5)) - mean;
    for (size_t k = 0; k <= permutations; k++)
        largest[k] = -INFINITY;
    for (size_t ratio = 0; ratio < ratios; ratio++)
        for (double reach = 0.5; reach < 5; reach *= 2) {
            for (size_t i = 0; i < n; i++)
                for (size_t j = 0; j < n; j++) {
                    double x = (f->places[i].x - f->places[j].x) / spacing,
                           y = (f->places[i].y - f->places[j].y) / spacing;
                    double along = x * sin(turn) + y * cos(turn), across = x * cos(turn) - y * sin(turn);
                    w[i][j] = i == j ? 0 : exp(-sqrt(along * along + pow(ratio ? 2.5 * across : across, 2)) / reach);
                }
            double sum = 0, squares = 0;
            for (size_t k = 0; k <= permutations; k++) {
                size_t order[64];
                foci_random draws = foci_random_stream(seed, k);
                foci_random_order(&draws, order, n);
                likeness[k] = 0;
                for (size_t i = 0; i < n; i++)
                    for (size_t j = 0; j < n; j++)
                        likeness[k] += w[i][j] * z[k ? order[i] : i] * z[k ? order[j] : j];
                sum += likeness[k];
                squares += likeness[k] * likeness[k];
            }
            double all = (double)(permutations + 1), middle = sum / all,
                   deviation = sqrt(squares / all - middle * middle);
            for (size_t k = 0; k <= permutations; k++)
                largest[k] = fmax(largest[k], (likeness[k] - middle) / deviation);
        }
    size_t reached = 0;
    for (size_t k = 0; k <= permutations; k++)
        reached += largest[k] >= largest[0] - 1e-9;
    return (double)reached / (double)(permutations + 1);
}

static void test_against_the_twin(void **state) {
    (void)state;
    static field f;
    for (uint64_t k = 0; k < 6; k++) {
        invent(&f, 31 + k, k % 2, 40, k);
        foci_likeness_options options = {.row_heading = k < 3 ? NAN : 40, .seed = 5 + k, .permutations = 199};
        assert_near(tested(&f, FOCI_READING_COUNT, &options), twin_p(&f, options.row_heading, 5 + k, 199), 1e-12);
    }
}

/* 5 % and 20 % over all kernels together: 300 even fields, three standard errors to each side; kind by kind. */
static void test_level(void **state) {
    (void)state;
    static field f;
    for (int kind = 0; kind < 2; kind++) {
        int below5 = 0, below20 = 0;
        for (uint64_t k = 0; k < 300; k++) {
            invent(&f, 40, false, 0, k);
            foci_likeness_options options = {.row_heading = 30, .seed = k, .permutations = 199};
            double p = tested(&f, kind ? FOCI_READING_COUNT : FOCI_READING_VALUE, &options);
            below5 += p <= 0.05;
            below20 += p <= 0.2;
        }
        assert_in_range(below5, 4, 26);
        assert_in_range(below20, 40, 80);
    }
}

/* A band along the rows is found; ranks of scores find it too, whatever the scores' scale. */
static void test_a_band_is_found(void **state) {
    (void)state;
    static field f;
    for (uint64_t k = 0; k < 10; k++) {
        invent(&f, 80, true, 75, k);
        foci_likeness_options options = {.row_heading = 75, .seed = 1, .permutations = 199};
        assert_true(tested(&f, FOCI_READING_COUNT, &options) <= 0.02);
        double plain = tested(&f, FOCI_READING_VALUE, &options);
        assert_true(plain <= 0.02);
        for (size_t i = 0; i < f.readings.count; i++)
            f.values[i] = exp(f.values[i] / 5);
        assert_near(tested(&f, FOCI_READING_VALUE, &options), plain, 0);
    }
}

static void test_threads_change_nothing(void **state) {
    (void)state;
    static field f;
    invent(&f, 60, false, 0, 3);
    foci_likeness_options options = {.row_heading = 10, .seed = 3, .permutations = 99};
    double one = tested(&f, FOCI_READING_COUNT, &options);
    for (support_threads = 0; support_threads < 6; support_threads += 2)
        assert_near(tested(&f, FOCI_READING_COUNT, &options), one, 0);
    support_threads = 1;
}

/* More stops than are looked at: a thousand by lot still find the band, and the seed says which. */
static void test_many_stops(void **state) {
    (void)state;
    static field f;
    invent(&f, STOPS_MOST, true, 0, 1);
    foci_likeness_options options = {.row_heading = NAN, .seed = 1, .permutations = 19};
    assert_near(tested(&f, FOCI_READING_COUNT, &options), 0.05, 1e-12);
}

static void test_nothing_to_tell(void **state) {
    (void)state;
    static field f;
    foci_likeness_options options = {.row_heading = NAN, .seed = 1, .permutations = 99};
    invent(&f, 30, true, 0, 1);
    for (f.readings.count = 0; f.readings.count < 3; f.readings.count++)
        assert_true(isnan(tested(&f, FOCI_READING_COUNT, &options)));
    invent(&f, 30, true, 0, 1);
    for (size_t i = 0; i < 30; i++)
        f.values[i] = 4;
    assert_true(isnan(tested(&f, FOCI_READING_VALUE, &options)));
    invent(&f, 30, true, 0, 1);
    for (size_t i = 0; i < 30; i++)
        f.places[i] = (foci_point){5e6, 5e6};
    assert_near(tested(&f, FOCI_READING_COUNT, &options), 1, 0); /* all in one place: no order is more alike */
    for (size_t i = 0; i < 30; i++)
        f.places[i] = (foci_point){5e6 + 3 * (double)i, 5e6 + 4 * (double)i}; /* on one line */
    double p = tested(&f, FOCI_READING_COUNT, &options);
    assert_true(p > 0 && p <= 1);
}

static void test_out_of_memory(void **state) {
    (void)state;
    static field f;
    invent(&f, 25, true, 0, 1);
    foci_likeness_options options = {.row_heading = 0, .seed = 1, .permutations = 9};
    long fails = 0;
    for (bool done = false; !done; fails++) {
        foci_error err = {0};
        double p = 0;
        foci_memory_fail_after(fails);
        done = foci_likeness_test(&p, &f.readings, FOCI_READING_VALUE, &options, HOW, &err);
        foci_memory_fail_after(-1);
        assert_true(done || err.status == FOCI_NO_MEMORY);
    }
    assert_true(fails > 8);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_the_twin), cmocka_unit_test(test_level),
        cmocka_unit_test(test_a_band_is_found),  cmocka_unit_test(test_threads_change_nothing),
        cmocka_unit_test(test_many_stops),       cmocka_unit_test(test_nothing_to_tell),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
