/* The colours of the classes: told apart by everybody, on a grey photocopy too. */
#include "decide/words/seasons_words.h"
#include "show/seasons/seasons_looks.h"

#include "support/support.h"

#include "show/colour_sight.h"

/* From always to never each is lighter than the one before; the bars are our own, no source. */
static void test_dark_is_often(void **state) {
    (void)state;
    for (size_t sight = 0; sight < 4; sight++)
        for (size_t i = 0; foci_class_looks[i + 1].code != FOCI_CLASS_UNSURE; i++) {
            const lab dark = seen(foci_class_looks[i].colour, sight),
                      light = seen(foci_class_looks[i + 1].colour, sight);
            if (light.l - dark.l < (sight == 0 ? 10 : 8))
                fail_msg("%zu and %zu: L* %.1f and %.1f (%s)", i, i + 1, dark.l, light.l, sights[sight].name);
        }
}

static void test_any_two_differ(void **state) {
    (void)state;
    for (size_t sight = 0; sight < 4; sight++)
        for (size_t i = 0; i < FOCI_CLASS_END; i++)
            for (size_t j = 0; j < i; j++) {
                const lab a = seen(foci_class_looks[i].colour, sight), b = seen(foci_class_looks[j].colour, sight);
                const double apart = sqrt(pow(a.l - b.l, 2) + pow(a.a - b.a, 2) + pow(a.b - b.b, 2));
                if (apart < 20 && foci_class_looks[i].mark == foci_class_looks[j].mark)
                    fail_msg("%zu and %zu are %.1f apart (%s)", i, j, apart, sights[sight].name);
            }
}

/* Unsure is no step of the order: its lines, far darker than their ground, tell it. They cover a quarter to a third. */
static void test_unsure_is_hatched(void **state) {
    (void)state;
    const foci_class_look *unsure = foci_class_look_of(FOCI_CLASS_UNSURE);
    size_t lines = 0, all = 0;
    assert_int_equal(unsure->mark, FOCI_MARK_HATCH);
    assert_true(seen(unsure->colour, 0).l - seen(unsure->mark_colour, 0).l > 30);
    for (double y = -90; y < 90; y += 0.5)
        for (double x = -90; x < 90; x += 0.5) {
            const uint32_t colour = foci_class_look_at(unsure, x, y);
            assert_true(colour == unsure->colour || colour == unsure->mark_colour);
            lines += colour == unsure->mark_colour;
            all++;
        }
    assert_in_range(100 * lines / all, 25, 33);
    /* along a line nothing changes */
    for (double x = -40; x < 40; x += 1.37)
        assert_int_equal(foci_class_look_at(unsure, x, 5 - x), foci_class_look_at(unsure, 2.5, 2.5));
}

static void test_gone_is_dotted(void **state) {
    (void)state;
    const foci_class_look *gone = foci_class_look_of(FOCI_CLASS_GONE);
    size_t dots = 0, all = 0;
    assert_int_equal(gone->mark, FOCI_MARK_DOTS);
    for (double y = 0; y < 220; y += 0.25)
        for (double x = 0; x < 220; x += 0.25) {
            dots += foci_class_look_at(gone, x, y) == gone->mark_colour;
            all++;
        }
    assert_near((double)dots / (double)all, 3.14159265 * 2.1 * 2.1 / 121, 0.005); /* a disc in each square of 11 */
}

static void test_each_class_has_a_look(void **state) {
    (void)state;
    for (int code = 0; code < FOCI_CLASS_END; code++) {
        assert_non_null(foci_class_look_of((foci_class)code));
        assert_int_equal(foci_class_look_of((foci_class)code)->code, code);
    }
    assert_null(foci_class_look_of(FOCI_CLASS_END));
    assert_int_equal(foci_class_look_at(foci_class_look_of(FOCI_CLASS_ALWAYS), 3.3, 8.1), 0x3A1248);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_dark_is_often),         cmocka_unit_test(test_any_two_differ),
        cmocka_unit_test(test_unsure_is_hatched),     cmocka_unit_test(test_gone_is_dotted),
        cmocka_unit_test(test_each_class_has_a_look),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
