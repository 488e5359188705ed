/* Areas, lengths and dates in words. The acre of 4046.8564224 square meters and the foot of 0.3048 m (1959); 43,560
 * square feet are an acre. */
#include "fieldfoci/words.h"

#include "support/support.h"

static void areas_lead_with_the_papers_measure(void **state) {
    (void)state;
    /* 1.2545 ha = 3.09995 acres; 0.0123 ha = 123 sq m = 1323.97 sq ft; 0.11 ha = 0.2718 acres */
    static const struct {
        double hectares;
        const char *american, *metric;
    } cases[] = {
        {1.2545, "3.1 acres (1.3 ha)", "1.3 ha (3.1 acres)"},
        {16.18742569, "40.0 acres (16.2 ha)", "16.2 ha (40.0 acres)"},
        {603.25, "1,490.7 acres (603.2 ha)", "603.2 ha (1,490.7 acres)"},
        {12345.6, "30,506.6 acres (12,345.6 ha)", "12,345.6 ha (30,506.6 acres)"},
        {0.11, "0.3 acres (0.11 ha)", "0.11 ha (0.3 acres)"},
        {0.0123, "1,300 sq ft (120 sq m)", "120 sq m (1,300 sq ft)"},
        {0.03, "3,200 sq ft (300 sq m)", "300 sq m (3,200 sq ft)"},
        {0, "0 sq ft (0 sq m)", "0 sq m (0 sq ft)"},
    };
    char text[FOCI_WORDS_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_words_area(text, cases[i].hectares, FOCI_ACRES);
        assert_string_equal(text, cases[i].american);
        foci_words_area(text, cases[i].hectares, FOCI_HECTARES);
        assert_string_equal(text, cases[i].metric);
    }
}

static void a_range_is_in_one_measure(void **state) {
    (void)state;
    /* 1.913, 0.871, 3.142 ha = 4.727, 2.152, 7.764 acres */
    char text[FOCI_WORDS_SIZE];
    foci_words_area_range(text, 1.913, 0.871, 3.142, FOCI_ACRES);
    assert_string_equal(text, "4.7 acres (2.2 to 7.8)");
    foci_words_area_range(text, 1.913, 0.871, 3.142, FOCI_HECTARES);
    assert_string_equal(text, "1.9 ha (0.9 to 3.1)");
    foci_words_range(text, 0.213, 0.004, 0.327, FOCI_ACRES); /* 0.526, 0.0099, 0.808: little takes two decimals */
    assert_string_equal(text, "0.53 (0.01 to 0.81)");
    foci_words_range(text, 131.3, 99.2, 180.7, FOCI_HECTARES);
    assert_string_equal(text, "131 (99 to 181)");
    foci_words_area_range(text, 603.27, 98.3, 1200.4, FOCI_ACRES); /* 1490.71, 242.90, 2966.26 */
    assert_string_equal(text, "1,491 acres (243 to 2,966)");
    foci_words_decimal(text, 1490.71, 1);
    assert_string_equal(text, "1,490.7");
    foci_words_area_range(text, NAN, NAN, NAN, FOCI_ACRES);
    assert_string_equal(text, "not compared");
}

static void lengths_have_two_digits(void **state) {
    (void)state;
    /* 310.13 m = 1017.5 ft; 2 m = 6.56 ft; 83 m = 272.3 ft */
    static const struct {
        double meters;
        const char *american, *metric;
    } cases[] = {
        {310.13, "1,000 ft (310 m)", "310 m (1,000 ft)"},
        {83, "270 ft (83 m)", "83 m (270 ft)"},
        {2, "6.6 ft (2 m)", "2 m (6.6 ft)"},
        {0.2, "0.66 ft (0.2 m)", "0.2 m (0.66 ft)"},
        {4321.5, "14,000 ft (4,300 m)", "4,300 m (14,000 ft)"},
        {0, "0 ft (0 m)", "0 m (0 ft)"},
    };
    char text[FOCI_WORDS_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_words_length(text, cases[i].meters, FOCI_ACRES);
        assert_string_equal(text, cases[i].american);
        foci_words_length(text, cases[i].meters, FOCI_HECTARES);
        assert_string_equal(text, cases[i].metric);
    }
}

static void dates_say_once_what_they_share(void **state) {
    (void)state;
    static const struct {
        const char *first, *last, *wanted;
    } cases[] = {
        {"2026-08-18", "2026-08-19", "August 18-19, 2026"},
        {"2026-08-18", "2026-08-18", "August 18, 2026"},
        {"2025-08-30", "2025-09-02", "August 30 to September 2, 2025"},
        {"2025-12-30", "2026-01-02", "December 30, 2025 to January 2, 2026"},
        {"early", "2026-01-02", "early to January 2, 2026"},
        {"2026-13-01", "2026-13-01", "2026-13-01"},
        {"", "", ""},
    };
    char text[FOCI_WORDS_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_words_dates(text, cases[i].first, cases[i].last);
        assert_string_equal(text, cases[i].wanted);
    }
    foci_words_date(text, "2026-03-05T06:30:00Z");
    assert_string_equal(text, "March 5, 2026");
}

static void the_paper_decides(void **state) {
    (void)state;
    assert_int_equal(foci_paper_measures(NULL), FOCI_ACRES);
    assert_int_equal(foci_paper_measures(foci_paper_find("letter")), FOCI_ACRES);
    assert_int_equal(foci_paper_measures(foci_paper_find("a4")), FOCI_HECTARES);
    assert_string_equal(foci_words_area_unit(FOCI_ACRES), "acres");
    assert_string_equal(foci_words_area_unit(foci_words_other(FOCI_ACRES)), "ha");
    assert_int_equal(foci_words_other(FOCI_HECTARES), FOCI_ACRES);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(areas_lead_with_the_papers_measure),
        cmocka_unit_test(a_range_is_in_one_measure),
        cmocka_unit_test(lengths_have_two_digits),
        cmocka_unit_test(dates_say_once_what_they_share),
        cmocka_unit_test(the_paper_decides),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
