#include "fieldfoci/pattern.h"

#include "support/support.h"

static foci_runs counted(const char *row, char sick) {
    bool infected[64] = {false};
    for (size_t i = 0; i < strlen(row); i++)
        infected[i] = row[i] == sick;
    foci_runs runs;
    foci_runs_count(&runs, infected, strlen(row));
    return runs;
}

/* The sequence of an encyclopedia's article on the runs test (from memory); formula of Madden et al. 1982, values
 * worked out by hand. Z without the correction: -2.551264. */
static void test_known_rows(void **state) {
    (void)state;
    static const struct {
        const char *row;
        char sick;
        double runs, expected, deviation, z;
    } rows[] = {
        {"++++---+++--++++++----", '+', 6, 11.636364, 2.209243, -2.324943},
        {"00000111110000000000", '1', 3, 8.5, 1.601808, -3.121472},
        {"00100001000010000010", '1', 9, 7.4, 1.348684, 1.557074},
        {"0000111001110000011100000000", '1', 7, 13.214286, 2.252361, -2.537021},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        foci_runs runs = counted(rows[i].row, rows[i].sick);
        assert_near(runs.runs, rows[i].runs, 0);
        assert_near(runs.expected, rows[i].expected, 5e-7);
        assert_near(runs.deviation, rows[i].deviation, 5e-7);
        assert_near(runs.z, rows[i].z, 1e-6);
    }
    assert_near((6 - 11.636364) / counted(rows[0].row, '+').deviation, -2.551264, 1e-6);
    assert_near(counted(rows[1].row, '1').p, 0.5 * erfc(3.121472 / sqrt(2)), 1e-8);
}

static void test_what_has_no_answer(void **state) {
    (void)state;
    assert_true(isnan(counted("", '1').runs) && isnan(counted("", '1').z));
    assert_true(counted("0000", '1').runs == 1 && isnan(counted("0000", '1').z));
    assert_true(counted("1", '1').runs == 1 && isnan(counted("1", '1').deviation));
    assert_true(counted("10", '1').runs == 2 && isnan(counted("10", '1').p));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_known_rows),
        cmocka_unit_test(test_what_has_no_answer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
