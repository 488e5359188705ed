#include "fieldfoci/rating.h"

#include "support/support.h"

static void words_are_found_as_people_write_them(void **state) {
    (void)state;
    assert_ptr_equal(foci_rating_find("above-ground"), &foci_rating_table[0]);
    assert_ptr_equal(foci_rating_find("Above Ground"), &foci_rating_table[0]);
    assert_ptr_equal(foci_rating_find("DUG"), &foci_rating_table[1]);
    assert_null(foci_rating_find("inverted"));
    assert_null(foci_rating_find(""));
    assert_null(foci_rating_table[2].name);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(words_are_found_as_people_write_them)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
