#include "fieldfoci/notes.h"

#include "support/support.h"

static void notes_are_kept_once_and_moved(void **state) {
    (void)state;
    foci_error err = {0};
    foci_notes notes = {0}, all = {0};
    assert_done(foci_notes_add(&notes, &err, "%s stand between the cells", "tabs"), err);
    assert_done(foci_notes_add(&notes, &err, "tabs stand between the cells"), err);
    assert_int_equal(notes.count, 1);
    assert_done(foci_notes_add(&all, &err, "first"), err);
    assert_done(foci_notes_move(&all, &notes, &err), err);
    assert_int_equal(notes.count, 0);
    assert_int_equal(all.count, 2);
    assert_string_equal(all.items[1], "tabs stand between the cells");
    assert_done(foci_notes_move(&all, &notes, &err), err);
    foci_notes_free(&all);
    foci_notes_free(&all);
    assert_null(all.items);
}

static bool attempt(foci_error *err) {
    foci_notes notes = {0}, all = {0};
    bool ok =
        foci_notes_add(&notes, err, "one") && foci_notes_add(&notes, err, "two") && foci_notes_move(&all, &notes, err);
    foci_notes_free(&notes);
    foci_notes_free(&all);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(notes_are_kept_once_and_moved),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
