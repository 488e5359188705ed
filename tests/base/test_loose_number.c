#include "base/loose_number.h"

#include "support/support.h"

/* NaN where the text cannot be read that way. */
static void numbers_are_read_by_point_and_by_comma(void **state) {
    (void)state;
    const struct {
        const char *text;
        double by_point, by_comma;
    } cells[] = {
        {"12", 12, 12},
        {" -7 ", -7, -7},
        {"1.5", 1.5, NAN},
        {"1,5", NAN, 1.5},
        {"1.234", 1.234, 1234},
        {"1,234", 1234, 1.234},
        {"0,125", NAN, 0.125}, /* no group begins with 0 */
        {"1234,567", NAN, 1234.567},
        {"1,234,567", 1234567, NAN},
        {"1,234.5", 1234.5, NAN},
        {"1.234,5", NAN, 1234.5},
        {"1 234", 1234, 1234},
        {"1\xC2\xA0"
         "234,5",
         NAN, 1234.5}, /* a hard blank */
        {"1'234.5", 1234.5, NAN},
        {"\xE2\x88\x92"
         "3",
         -3, -3}, /* a minus sign */
        {".5", 0.5, NAN},
        {"+2", 2, 2},
    };
    for (size_t i = 0; i < sizeof cells / sizeof *cells; i++) {
        foci_loose_number number;
        if (!foci_loose_number_parse(&number, cells[i].text))
            fail_msg("'%s' was refused", cells[i].text);
        assert_near(number.by_point, cells[i].by_point, 0);
        assert_near(number.by_comma, cells[i].by_comma, 0);
        assert_string_equal(number.unit, "");
        assert_near(number.of, NAN, 0);
    }
}

static void a_unit_stands_behind(void **state) {
    (void)state;
    const struct {
        const char *text, *unit;
        double value, of;
    } cells[] = {{"4 %", "%", 4, NAN},
                 {"4%", "%", 4, NAN},
                 {"12 plants", "plants", 12, NAN},
                 {"3ft", "ft", 3, NAN},
                 {"3 of 10", "", 3, 10},
                 {"3/10", "", 3, 10},
                 {"3 out of 10", "", 3, 10},
                 {"3 Of 10", "", 3, 10},
                 {"2 pl./m", "pl./m", 2, NAN},
                 {"5 \xC3\xA9pis", "\xC3\xA9pis", 5, NAN}};
    for (size_t i = 0; i < sizeof cells / sizeof *cells; i++) {
        foci_loose_number number;
        assert_true(foci_loose_number_parse(&number, cells[i].text));
        assert_string_equal(number.unit, cells[i].unit);
        assert_near(number.by_point, cells[i].value, 0);
        assert_near(number.of, cells[i].of, 0);
    }
}

static void what_is_no_number_stays_text(void **state) {
    (void)state;
    const char *texts[] = {
        "",
        "many",
        "<5",
        ">10",
        "5-10",
        "~4",
        "1,2,3",
        "1.2.3",
        "12,34,567",
        "1,2345.",
        "5?",
        "3 of x",
        "3/x",
        "%",
        "1 23",
        "--4",
        "1e",
        "2 4 6",
        "3 of 10 of 12",
        "4 plants on 12 ft",
        "trace",
        "1,234,5",
        "1.234.5",
        "12 of the plants that were looked at in this row and the next one, and one more behind them"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        foci_loose_number number;
        /* 1e is a number with the unit e */
        if (foci_loose_number_parse(&number, texts[i]) && strcmp(texts[i], "1e") != 0)
            fail_msg("'%s' was taken for %g or %g", texts[i], number.by_point, number.by_comma);
    }
    assert_false(foci_loose_number_parse(&(foci_loose_number){0}, NULL));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_read_by_point_and_by_comma),
        cmocka_unit_test(a_unit_stands_behind),
        cmocka_unit_test(what_is_no_number_stays_text),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
