#include "fieldfoci/plain_number.h"

#include "support/support.h"

static void test_plain_numbers(void **state) {
    (void)state;
    static const struct {
        double number;
        int digits;
        const char *text;
    } cases[] = {{2.385, 3, "2.38"},
                 {1839, 3, "1,839"},
                 {6145.4, 3, "6,145"},
                 {1000, 3, "1,000"},
                 {999.6, 3, "1,000"},
                 {0.03846, 3, "0.0385"},
                 {1234567.8, 3, "1,234,568"},
                 {12, 3, "12"},
                 {-1234.5, 5, "-1,234.5"},
                 {0, 3, "0"},
                 {-0.0, 3, "0"},
                 {-1e-15, 3, "0"},
                 {100, 3, "100"},
                 {9.999, 3, "10"},
                 {0.5, 1, "0.5"},
                 {1e-5, 3, "0.00001"},
                 {0.1, 17, "0.1"},
                 {123456, 2, "123,456"},
                 {NAN, 3, "no number"},
                 {INFINITY, 3, "no number"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        assert_string_equal(foci_number_plain(cases[i].number, cases[i].digits).text, cases[i].text);
    for (double x = 1e-30; x < 1e20; x *= 7.3)
        assert_null(strpbrk(foci_number_plain(x, 3).text, "e+"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plain_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
