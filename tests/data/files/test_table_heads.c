/* The first rows of each layer, for who only wants to know what a file is. */
#include "support/scratch.h"

#include "data/files/vector_file.h"

enum { ROWS = 30 };

static foci_table head_of(const char *path, size_t most_cells) {
    foci_error err = {0};
    foci_table *tables = NULL, head;
    size_t count = 0;
    assert_done(foci_table_read_heads(&tables, &count, path, most_cells, &err), err);
    assert_int_equal(count, 1);
    head = tables[0];
    free(tables);
    return head;
}

static const char *write_csv(const char *last) {
    char text[1000] = "stop,score\n";
    for (int i = 1; i < ROWS; i++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "%d,%d\n", i, i % 7);
    strcat(text, last);
    return scratch_write("stops.csv", text);
}

static void test_csv(void **state) {
    (void)state;
    const char *path = write_csv("30,2\n");
    /* a row takes its two cells and its shape */
    foci_table head = head_of(path, 3 * 12);
    assert_int_equal(head.row_count, 12);
    assert_int_equal(head.rows_there, ROWS);
    assert_string_equal(head.cells[2 * 11].text, "12");
    foci_table_free(&head);
    head = head_of(path, 1);
    assert_int_equal(head.row_count, FOCI_HEAD_ROWS);
    foci_table_free(&head);
    head = head_of(path, 3 * ROWS);
    assert_int_equal(head.row_count, ROWS);
    assert_int_equal(head.rows_there, ROWS);
    foci_table_free(&head);
}

static void test_geojson(void **state) {
    (void)state;
    char text[4000] = "{\"type\":\"FeatureCollection\",\"features\":[";
    for (int i = 0; i < ROWS; i++)
        snprintf(
            text + strlen(text), sizeof text - strlen(text),
            "%s{\"type\":\"Feature\",\"properties\":{\"a\":%d},\"geometry\":{\"type\":\"Point\",\"coordinates\":[%d,"
            "1]}}",
            i ? "," : "", i, i);
    strcat(text, "]}");
    foci_table head = head_of(scratch_write("stops.geojson", text), 2 * 10);
    assert_int_equal(head.row_count, 10);
    assert_int_equal(head.rows_there, ROWS);
    assert_near(head.shapes[9].point.x, 9, 0);
    foci_table_free(&head);
}

/* What is wrong behind the first rows is still found: the whole file is gone through. */
static void test_broken_behind(void **state) {
    (void)state;
    foci_error err;
    foci_table *tables = NULL;
    size_t count = 0;
    const char *path = write_csv("30,\"2\n");
    assert_fails(foci_table_read_heads(&tables, &count, path, 3 * 10, &err), err, FOCI_BAD_INPUT, "quote");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_csv),
        cmocka_unit_test(test_geojson),
        cmocka_unit_test(test_broken_behind),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}
