#include "support/support.h"

#include "fieldfoci/task.h"

static const foci_task_unit *unit_of(const char *name) {
    for (const foci_task_unit *row = foci_task_unit_table; row->name; row++)
        if (strcmp(row->name, name) == 0)
            return row;
    fail_msg("no unit %s", name);
    return NULL;
}

static long steps_of(const char *unit, double rate) {
    foci_error err = {0};
    long steps = -1;
    assert_done(foci_task_unit_steps(&steps, unit_of(unit), rate, "--treat", &err), err);
    return steps;
}

/* Steps of 0.01 mm3/m2 and 1 mg/m2 (ISO 11783-11, DDI 1 and 6): 1 L/ha = 10^6 mm3 / 10^4 m2 = 100 mm3/m2 = 10,000
 * steps; 1 kg/ha = 10^6 mg / 10^4 m2 = 100 steps. */
static void test_metric_rates(void **state) {
    (void)state;
    assert_int_equal(steps_of("L/ha", 200), 2000000);
    assert_int_equal(steps_of("L/ha", 137.5), 1375000);
    assert_int_equal(steps_of("L/ha", 2.3851), 23851);
    assert_int_equal(steps_of("kg/ha", 50), 5000);
    assert_int_equal(steps_of("kg/ha", 150), 15000);
    assert_int_equal(steps_of("kg/ha", 2.387), 239);
}

/* 3.785411784 L (231 cubic inches) on 0.40468564224 ha: NIST Handbook 44 (2024), appendix C. By hand: 15 gal/ac is
 * 56.78117676 L on an acre, 140.30934... L on a hectare; 12.5 lb/ac is 5.669904625 kg, 14.01063... kg. */
static void test_us_rates(void **state) {
    (void)state;
    assert_near(foci_task_unit_metric(unit_of("gal/ac")), 9.353956, 1e-6);
    assert_near(foci_task_unit_metric(unit_of("lb/ac")), 1.120851, 1e-6);
    assert_int_equal(steps_of("gal/ac", 15), 1403093);
    assert_int_equal(steps_of("gal/ac", 7.5), 701547);
    assert_int_equal(steps_of("lb/ac", 12.5), 1401);
}

/* Thousandths of a rate against whole numbers throughout: no rounding but the last. */
static void test_all_digits(void **state) {
    (void)state;
    const uint64_t acre = 40468564224u;
    for (uint64_t n = 7; n < 200000; n += 331) {
        uint64_t gallons = n * 3785411784000u, pounds = n * 4535923700u;
        assert_int_equal(steps_of("gal/ac", (double)n / 1000), (2 * gallons + acre) / (2 * acre));
        assert_int_equal(steps_of("lb/ac", (double)n / 1000 + 1), (2 * (pounds + 4535923700000u) + acre) / (2 * acre));
        assert_int_equal(steps_of("L/ha", (double)n / 1000), n * 10);
        assert_int_equal(steps_of("kg/ha", (double)n), n * 100);
    }
}

static void test_limits(void **state) {
    (void)state;
    foci_error err = {0};
    long steps = 7;
    for (const foci_task_unit *row = foci_task_unit_table; row->name; row++) {
        double step = 1 / (foci_task_unit_metric(row) * row->quantity->steps);
        double scale = strtod(row->quantity->scale, NULL);
        assert_near(scale * row->quantity->steps, 1, 1e-15);
        assert_int_equal(strlen(row->quantity->ddi), 4);
        assert_int_equal(steps_of(row->name, 0), 0);
        assert_int_equal(steps_of(row->name, 0.51 * step), 1);
        assert_int_equal(steps_of(row->name, 2147483646.9 * step), 2147483647);
        assert_fails(foci_task_unit_steps(&steps, row, 2147483649 * step, "{dig}", &err), err, FOCI_BAD_SETTING,
                     "more");
        assert_string_equal(err.key, "dig");
        assert_fails(foci_task_unit_steps(&steps, row, 0.49 * step, "{dig}", &err), err, FOCI_BAD_SETTING, "less");
        assert_fails(foci_task_unit_steps(&steps, row, -0.1, "{dig}", &err), err, FOCI_BAD_SETTING, "no rate");
        assert_fails(foci_task_unit_steps(&steps, row, NAN, "{dig}", &err), err, FOCI_BAD_SETTING, "no rate");
        assert_fails(foci_task_unit_steps(&steps, row, INFINITY, "{dig}", &err), err, FOCI_BAD_SETTING, "no rate");
    }
    assert_int_equal(steps, 7);
}

/* 7.5 gal/ac on 2.4 ha: 2.4 / 0.40468564224 = 5.930529 acres take 44.479 gallons; 137.5 L/ha on them 330 L. */
static void test_what_a_zone_takes(void **state) {
    (void)state;
    char text[FOCI_TASK_ZONE_TEXT];
    foci_task_zone zone = {.rate = 7.5, .area_ha = 2.4, .lonlat.count = 1};
    foci_task_zone_text(text, &zone, unit_of("gal/ac"), FOCI_ACRES);
    assert_string_equal(text, "7.5 gal/ac on 5.9 acres (2.4 ha): about 44.5 gal");
    zone.rate = 137.5;
    foci_task_zone_text(text, &zone, unit_of("L/ha"), FOCI_HECTARES);
    assert_string_equal(text, "137.5 L/ha on 2.4 ha (5.9 acres): about 330 L");
    zone = (foci_task_zone){.rate = 15, .area_ha = 0.3, .lonlat.count = 1};
    foci_task_zone_text(text, &zone, unit_of("L/ha"), FOCI_HECTARES);
    assert_string_equal(text, "15 L/ha on 0.3 ha (0.7 acres): about 4.5 L");
    zone.rate = 0;
    foci_task_zone_text(text, &zone, unit_of("L/ha"), FOCI_HECTARES);
    assert_string_equal(text, "0 L/ha on 0.3 ha (0.7 acres): about 0 L");
    zone.lonlat.count = 0;
    foci_task_zone_text(text, &zone, unit_of("L/ha"), FOCI_HECTARES);
    assert_string_equal(text, "none in this survey");
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_metric_rates), cmocka_unit_test(test_us_rates),
                                       cmocka_unit_test(test_all_digits), cmocka_unit_test(test_limits),
                                       cmocka_unit_test(test_what_a_zone_takes)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
