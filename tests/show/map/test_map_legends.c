/* Every row of the catalogue: readable by everybody, on a grey photocopy too, and with breaks that rise. */
#include "show/map/map_legends.h"

#include "show/draw/sheet.h"

#include "support/support.h"

#include "show/colour_sight.h"
#include "show/sample_round.h"

/* Known values: white is L* 100, mid grey #777777 is L* 50.03 and sRGB red is (53.24, 80.09, 67.20) (Lindbloom's
 * colour calculator, from memory); each row of a matrix keeps grey grey, so it sums to 1. */
static void the_yardstick_is_right(void **state) {
    (void)state;
    assert_near(seen(0xFFFFFF, 0).l, 100, 1e-3);
    assert_near(seen(0x777777, 0).l, 50.03, 0.01);
    const lab red = seen(0xFF0000, 0);
    assert_near(red.l, 53.24, 0.01);
    assert_near(red.a, 80.09, 0.02);
    assert_near(red.b, 67.20, 0.02);
    for (size_t sight = 0; sight < 4; sight++)
        for (int i = 0; i < 3; i++)
            assert_near(sights[sight].matrix[i][0] + sights[sight].matrix[i][1] + sights[sight].matrix[i][2], 1, 2e-6);
}

/* Falling lightness, in steps that a photocopy keeps, to every kind of sight. The bars are our own, no source. */
static void light_is_little_and_dark_is_much(void **state) {
    (void)state;
    for (const foci_map_legend *legend = foci_map_legends; legend->name; legend++) {
        assert_in_range(legend->classes, 3, FOCI_LEGEND_MOST);
        for (size_t sight = 0; sight < 4; sight++)
            for (size_t i = 0; i + 1 < legend->classes; i++) {
                const lab low = seen(legend->colours[i], sight), high = seen(legend->colours[i + 1], sight);
                if (low.l - high.l < (sight == 0 ? 8 : 6))
                    fail_msg("%s: classes %zu and %zu: L* %.1f and %.1f (%s)", legend->name, i, i + 1, low.l, high.l,
                             sights[sight].name);
            }
    }
}

/* All pairs of classes, CIE 1976 colour difference. The bar of 15 is our own, no source; 2.3 is just noticeable (Mahy
 * et al. 1994, from memory). */
static void classes_are_told_apart_by_everybody(void **state) {
    (void)state;
    for (const foci_map_legend *legend = foci_map_legends; legend->name; legend++)
        for (size_t sight = 0; sight < 4; sight++)
            for (size_t i = 0; i < legend->classes; i++)
                for (size_t j = i + 1; j < legend->classes; j++) {
                    const lab a = seen(legend->colours[i], sight), b = seen(legend->colours[j], sight);
                    const double difference = sqrt(pow(a.l - b.l, 2) + pow(a.a - b.a, 2) + pow(a.b - b.b, 2));
                    if (difference < 15)
                        fail_msg("%s: classes %zu and %zu differ by %.1f (%s)", legend->name, i, j, difference,
                                 sights[sight].name);
                }
}

/* Relative luminance and contrast as WCAG 2.1 (W3C 2018) defines them; 3:1 is asked of symbols (1.4.11), 7:1 of text
 * (1.4.6). */
static double luminance(uint32_t color) {
    static const double weights[] = {0.0722, 0.7152, 0.2126};
    double sum = 0;
    for (int i = 0; i < 3; i++) {
        const double part = (color >> 8 * i & 0xFF) / 255.0;
        sum += weights[i] * (part <= 0.03928 ? part / 12.92 : pow((part + 0.055) / 1.055, 2.4));
    }
    return sum;
}

static double contrast(uint32_t a, uint32_t b) {
    const double la = luminance(a) + 0.05, lb = luminance(b) + 0.05;
    return la > lb ? la / lb : lb / la;
}

static void symbols_stand_out_from_every_class(void **state) {
    (void)state;
    assert_near(contrast(0x000000, 0xFFFFFF), 21, 1e-9);
    assert_near(contrast(0x777777, 0xFFFFFF), 4.48, 0.005);
    assert_true(contrast(FOCI_SHEET_INK, 0xFFFFFF) >= 7);
    for (const foci_map_legend *row = foci_map_legends; row->name; row++)
        for (size_t i = 0; i < row->classes; i++) /* lines and discs are of ink, with a white edge */
            assert_true(fmax(contrast(FOCI_SHEET_INK, row->colours[i]), contrast(0xFFFFFF, row->colours[i])) >= 3);
}

static void breaks_rise(void **state) {
    foci_survey *round = *state;
    const double thresholds[] = {NAN, 0, 0.013, 2.385, 10, 25, 60, 99, 100}, peaks[] = {0, 0.4, 17.3, 99.7, 5000};
    const double treats[] = {0.05, 0.5, 0.9, 1}, digs[] = {0, 0.02, 0.2, 0.5, 0.95};
    for (size_t i = 0; i < 9 * 5 * 4 * 5; i++) {
        round->threshold = thresholds[i % 9];
        round->surface.max = peaks[i / 9 % 5];
        round->hotspots_options.treat_chance = treats[i / 45 % 4];
        round->zones_options.dig_chance = digs[i / 180];
        for (const foci_map_legend *legend = foci_map_legends; legend->name; legend++) {
            double edges[FOCI_LEGEND_MOST] = {0};
            legend->breaks(edges, round);
            assert_true(edges[0] > 0);
            for (size_t k = 1; k + 1 < legend->classes; k++)
                assert_true(edges[k] > edges[k - 1] && isfinite(edges[k]));
        }
    }
}

static void the_threshold_is_a_break_with_its_word(void **state) {
    foci_survey *round = *state;
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    const double thresholds[] = {0.35, 2.385, 10, 55};
    for (size_t i = 0; i < 4; i++) {
        double edges[FOCI_LEGEND_MOST];
        char words[96];
        size_t marks = 0;
        round->threshold = thresholds[i];
        legend->breaks(edges, round);
        for (size_t k = 0; k + 1 < legend->classes; k++)
            if (legend->mark(words, sizeof words, round, edges[k])) {
                marks++;
                assert_true(edges[k] == thresholds[i]);
                assert_non_null(strstr(words, "threshold"));
                /* exactly at the threshold counts as passing it */
                assert_int_equal(foci_map_legend_class(legend, edges, thresholds[i]), k + 1);
                assert_int_equal(foci_map_legend_class(legend, edges, nextafter(thresholds[i], 0)), k);
            }
        assert_int_equal(marks, 1);
    }
}

static void a_scale_that_begins_at_1_has_classes_above_it(void **state) {
    foci_survey *round = *state;
    double edges[FOCI_LEGEND_MOST];
    round->threshold = 3;
    round->readings.none = 1;
    foci_map_legends[FOCI_LEGEND_SEVERITY].breaks(edges, round);
    assert_near(edges[0], 1.2, 1e-12);
    assert_near(edges[1], 2, 1e-12);
    assert_near(edges[2], 3, 0);
    round->readings.none = 5; /* a threshold below the scale */
    foci_map_legends[FOCI_LEGEND_SEVERITY].breaks(edges, round);
    assert_near(edges[0], 0.3, 1e-12);
}

static void classes_have_words(void **state) {
    foci_survey *round = *state;
    static const char *const wanted[][6] = {
        {"none, or below 1 %", "1 to 5 %", "5 to 10 %", "10 to 20 %", "20 to 40 %", "40 % and over"},
        {"below 10 %", "10 to 20 %", "20 to 50 %", "50 to 75 %", "75 % and over", NULL}};
    for (size_t i = 0; foci_map_legends[i].name; i++) {
        const foci_map_legend *legend = &foci_map_legends[i];
        double edges[FOCI_LEGEND_MOST];
        assert_in_range(i, 0, 1); /* a new row needs its words here */
        assert_non_null(legend->title);
        legend->breaks(edges, round);
        for (size_t k = 0; k < legend->classes; k++) {
            char text[96];
            foci_map_legend_label(text, sizeof text, legend, round, edges, k);
            assert_string_equal(text, wanted[i][k]);
        }
        assert_int_equal(foci_map_legend_class(legend, edges, -1), 0);
        assert_int_equal(foci_map_legend_class(legend, edges, 1e9), legend->classes - 1);
    }
}

static void chances_part_where_zones_do(void **state) {
    foci_survey *round = *state;
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_CHANCE];
    double edges[FOCI_LEGEND_MOST];
    char words[96];
    round->hotspots_options.treat_chance = 0.7;
    round->zones_options.dig_chance = 0.3;
    legend->breaks(edges, round);
    assert_true(edges[1] == 0.3 && edges[2] == 0.7);
    assert_true(legend->mark(words, sizeof words, round, 0.7));
    assert_non_null(strstr(words, "hotspot"));
    assert_true(legend->mark(words, sizeof words, round, 0.3));
    assert_non_null(strstr(words, "dig"));
    assert_false(legend->mark(words, sizeof words, round, 0.15));
    round->has_zones = false;
    assert_false(legend->mark(words, sizeof words, round, 0.7));
}

static int make_round(void **state) {
    static foci_survey round;
    foci_error err = {0};
    *state = &round;
    return sample_round_make(&round, &err) ? 0 : -1;
}

static int free_round(void **state) {
    foci_survey_free(*state);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_yardstick_is_right),
        cmocka_unit_test(symbols_stand_out_from_every_class),
        cmocka_unit_test(light_is_little_and_dark_is_much),
        cmocka_unit_test(classes_are_told_apart_by_everybody),
        cmocka_unit_test_setup_teardown(breaks_rise, make_round, free_round),
        cmocka_unit_test_setup_teardown(the_threshold_is_a_break_with_its_word, make_round, free_round),
        cmocka_unit_test_setup_teardown(classes_have_words, make_round, free_round),
        cmocka_unit_test_setup_teardown(a_scale_that_begins_at_1_has_classes_above_it, make_round, free_round),
        cmocka_unit_test_setup_teardown(chances_part_where_zones_do, make_round, free_round),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
