#include "base/dates.h"

#include "support/support.h"

static void test_dates(void **state) {
    (void)state;
    const char *good[][2] = {{"2026-07-14", "2026-07-14"},
                             {" 2026/07/14 ", "2026-07-14"},
                             {"2024-02-29", "2024-02-29"},
                             {"2000-02-29", "2000-02-29"},
                             {"2026-07-14T09:30:00Z", "2026-07-14"},
                             {"2026/07/14 09:30:00+00", "2026-07-14"},
                             {"2026-07-14 23:59", "2026-07-14"},
                             {"2026-07-14 9:30 PM", "2026-07-14"},
                             {"2026-07-14T09:30:00.250-05:00", "2026-07-14"}};
    const char *bad[] = {"",           "2026-02-29",       "1900-02-29",       "2026-13-01", "2026-00-10",
                         "2026-04-31", "2026-07-00",       "2026-7-14",        "26-07-14",   "14.07.2026",
                         "2026-07/14", "2026-07-14x",      "20260714",         "2026-07",    "2026-07-14 noon",
                         "0000-01-01", "2026-07-14T25:00", "2026-07-14 09:61", "07/14/2026", "2026-07-14T"};
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        char date[11] = "";
        if (!foci_date_parse(good[i][0], date))
            fail_msg("'%s' was refused", good[i][0]);
        assert_string_equal(date, good[i][1]);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        char date[11] = "untouched";
        if (foci_date_parse(bad[i], date))
            fail_msg("'%s' was taken for %s", bad[i], date);
        assert_string_equal(date, "untouched");
    }
    assert_false(foci_date_parse(NULL, NULL));
}

static void the_year_may_come_last(void **state) {
    (void)state;
    const struct {
        const char *text, *by_day, *by_month; /* NULL: no such day */
        bool named, short_year;
    } dates[] = {
        {"14/7/2026", "2026-07-14", NULL, false, false},
        {"7/14/2026 2:30 PM", NULL, "2026-07-14", false, false},
        {"3/7/2026", "2026-07-03", "2026-03-07", false, false},
        {"03.07.2026", "2026-07-03", "2026-03-07", false, false},
        {"3. 7. 2026", "2026-07-03", "2026-03-07", false, false},
        {"3-7-26", "2026-07-03", "2026-03-07", false, true},
        {"14-Jul-2026", "2026-07-14", "2026-07-14", true, false},
        {"14 July 2026 14:05", "2026-07-14", "2026-07-14", true, false},
        {"July 14, 2026", "2026-07-14", "2026-07-14", true, false},
        {"Sept 3 2026", "2026-09-03", "2026-09-03", true, false},
        {"29/2/2026", NULL, NULL, false, false},
        {"31/31/2026", NULL, NULL, false, false},
    };
    for (size_t i = 0; i < sizeof dates / sizeof *dates; i++) {
        foci_late_year parts;
        char date[11] = "";
        if (!foci_late_year_split(&parts, dates[i].text))
            fail_msg("'%s' was refused", dates[i].text);
        assert_int_equal(parts.named, dates[i].named);
        assert_int_equal(parts.short_year, dates[i].short_year);
        assert_int_equal(foci_late_year_date(&parts, true, date), dates[i].by_day != NULL);
        if (dates[i].by_day)
            assert_string_equal(date, dates[i].by_day);
        assert_int_equal(foci_late_year_date(&parts, false, date), dates[i].by_month != NULL);
        if (dates[i].by_month)
            assert_string_equal(date, dates[i].by_month);
    }
    const char *bad[] = {"",           "2026-07-14", "14/7",      "14/7/026",   "14/7.2026",
                         "114/7/2026", "14/7/2026x", "July 2026", "14 Ju 2026", "Julius 14, 2026",
                         "46206",      "14//2026",   "soon"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        if (foci_late_year_split(&(foci_late_year){0}, bad[i]))
            fail_msg("'%s' was taken for a date", bad[i]);
    assert_false(foci_late_year_split(&(foci_late_year){0}, NULL));
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_dates), cmocka_unit_test(the_year_may_come_last)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
