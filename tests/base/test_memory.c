#include "support/support.h"

static void test_new_array_is_zeroed(void **state) {
    (void)state;
    foci_error err = {0};
    double *array = foci_new_array(37, sizeof *array, &err);
    assert_non_null(array);
    for (size_t i = 0; i < 37; i++)
        assert_true(array[i] == 0);
    free(array);
    void *nothing = foci_new_array(0, 8, &err);
    assert_non_null(nothing);
    free(nothing);
    assert_int_equal(err.status, FOCI_OK);
}

static void test_overflow_is_no_memory(void **state) {
    (void)state;
    foci_error err = {0};
    assert_fails(foci_new_array(SIZE_MAX / 4, 5, &err), err, FOCI_NO_MEMORY, "not enough memory");
    int *array = NULL;
    size_t capacity = 0;
    assert_fails(foci_grow_array((void **)&array, &capacity, SIZE_MAX / 2, 4, &err), err, FOCI_NO_MEMORY, "not enough");
    assert_null(array);
    assert_int_equal(capacity, 0);
}

static void test_growing_keeps_what_is_there(void **state) {
    (void)state;
    foci_error err = {0};
    int *array = NULL;
    size_t capacity = 0;
    for (int i = 0; i < 1000; i++) {
        assert_done(foci_grow_array((void **)&array, &capacity, (size_t)i + 1, sizeof *array, &err), err);
        assert_true(capacity > (size_t)i);
        array[i] = 7 * i;
    }
    for (int i = 0; i < 1000; i++)
        assert_int_equal(array[i], 7 * i);
    int *before = array;
    foci_memory_fail_after(0);
    bool grown = foci_grow_array((void **)&array, &capacity, 100000, sizeof *array, &err);
    foci_memory_fail_after(-1);
    assert_false(grown);
    assert_ptr_equal(array, before);
    assert_int_equal(array[999], 6993);
    free(array);
}

static void test_texts(void **state) {
    (void)state;
    foci_error err = {0};
    char *copy = foci_copy_text("12 stops", &err);
    assert_string_equal(copy, "12 stops");
    char *longer = foci_format_text(&err, "%s%*d", copy, 500, 3);
    assert_int_equal(strlen(longer), 508);
    assert_int_equal(longer[507], '3');
    free(longer);
    free(copy);
}

static bool make_all(foci_error *err) {
    size_t capacity = 0;
    void *array = NULL, *grown = NULL;
    char *copy = NULL, *text = NULL;
    bool ok = (array = foci_new_array(3, 4, err)) && foci_grow_array(&grown, &capacity, 9, 4, err) &&
              (copy = foci_copy_text("a", err)) && (text = foci_format_text(err, "%d", 12));
    free(array);
    free(grown);
    free(copy);
    free(text);
    return ok;
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    foci_error err = {0};
    for (long n = 0; n < 4; n++) {
        foci_memory_fail_after(n);
        assert_fails(make_all(&err), err, FOCI_NO_MEMORY, "not enough memory");
    }
    foci_memory_fail_after(-1);
    support_fail_each_allocation(make_all);
}

static size_t seen;

static void see(void) {
    seen++;
}

static void test_each_allocation_is_seen(void **state) {
    (void)state;
    foci_error err = {0};
    foci_memory_watch(see);
    const bool ok = make_all(&err);
    foci_memory_watch(NULL);
    assert_done(ok, err);
    assert_int_equal(seen, 4);
    assert_done(make_all(&err), err);
    assert_int_equal(seen, 4);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_new_array_is_zeroed),         cmocka_unit_test(test_overflow_is_no_memory),
        cmocka_unit_test(test_growing_keeps_what_is_there), cmocka_unit_test(test_texts),
        cmocka_unit_test(test_each_allocation_can_fail),    cmocka_unit_test(test_each_allocation_is_seen),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
