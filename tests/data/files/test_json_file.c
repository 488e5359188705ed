#include "support/support.h"

#include <time.h>

#include "base/plain_file.h"
#include "data/files/json_file.h"

static void test_prints_in_order_with_17_digits(void **state) {
    (void)state;
    foci_error err = {0};
    foci_json *object = foci_json_object(&err), *array = foci_json_array(&err);
    assert_done(foci_json_put_number(object, "zulu", 2.385, &err), err);
    assert_done(foci_json_put_whole(object, "alpha", -9007199254740993LL, &err), err);
    assert_done(foci_json_put_text(object, "text", "caf\xC3\xA9 \"x\"\n", &err), err);
    assert_done(foci_json_put_text(object, "none", NULL, &err), err);
    assert_done(foci_json_put_number(object, "nan", NAN, &err), err);
    assert_done(foci_json_put_number(object, "infinity", -INFINITY, &err), err);
    assert_done(foci_json_put_bool(object, "yes", true, &err), err);
    assert_done(foci_json_put_null(object, "null", &err), err);
    assert_done(foci_json_add_number(array, 0.1, &err), err);
    assert_done(foci_json_add_text(array, "b", &err), err);
    assert_done(foci_json_add(array, foci_json_object(&err), &err), err);
    assert_done(foci_json_put(object, "array", array, &err), err);
    char *text = foci_json_print(object, &err);
    assert_non_null(text);
    assert_string_equal(text, "{\n"
                              "  \"zulu\": 2.3849999999999998,\n"
                              "  \"alpha\": -9007199254740993,\n"
                              "  \"text\": \"caf\xC3\xA9 \\\"x\\\"\\n\",\n"
                              "  \"none\": null,\n"
                              "  \"nan\": null,\n"
                              "  \"infinity\": null,\n"
                              "  \"yes\": true,\n"
                              "  \"null\": null,\n"
                              "  \"array\": [\n"
                              "    0.10000000000000001,\n"
                              "    \"b\",\n"
                              "    {}\n"
                              "  ]\n"
                              "}");
    free(text);
    foci_json_free(object);
    foci_json_free(NULL);
}

static void test_numbers_come_back_to_the_last_bit(void **state) {
    (void)state;
    const double numbers[] = {2.385, 0.1 + 0.2, 1.0 / 3, 6.02214076e23, 5e-324, -1.7976931348623157e308, 12, 0};
    foci_error err = {0};
    foci_json *array = foci_json_array(&err), *back = NULL;
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        assert_done(foci_json_add_number(array, numbers[i], &err), err);
    char *text = foci_json_print(array, &err);
    assert_non_null(text);
    assert_done(foci_json_parse(&back, text, "numbers", &err), err);
    assert_int_equal(foci_json_size(back), sizeof numbers / sizeof *numbers);
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        double number = NAN;
        assert_true(foci_json_number(foci_json_at(back, i), &number));
        assert_memory_equal(&number, &numbers[i], sizeof number);
    }
    free(text);
    foci_json_free(array);
    foci_json_free(back);
}

static void test_reads(void **state) {
    (void)state;
    foci_error err = {0};
    foci_json *value = NULL;
    assert_done(foci_json_parse(&value,
                                "\xEF\xBB\xBF{\"b\": 7, \"a\": \"x\", \"c\": [true, null, 2.5], \"d\": {\"e\": false}}",
                                "here", &err),
                err);
    double number = 0;
    bool yes = false;
    assert_true(foci_json_is_object(value));
    assert_int_equal(foci_json_size(value), 4);
    assert_string_equal(foci_json_key_after(value, NULL), "b");
    assert_string_equal(foci_json_key_after(value, "c"), "d");
    assert_null(foci_json_key_after(value, "d"));
    assert_true(foci_json_number(foci_json_get(value, "b"), &number));
    assert_near(number, 7, 0);
    assert_false(foci_json_number(foci_json_get(value, "a"), &number));
    assert_string_equal(foci_json_text(foci_json_get(value, "a")), "x");
    assert_null(foci_json_text(foci_json_get(value, "b")));
    assert_null(foci_json_get(value, "absent"));
    const foci_json *array = foci_json_get(value, "c");
    assert_true(foci_json_is_array(array));
    assert_false(foci_json_is_object(array));
    assert_null(foci_json_get(array, "a"));
    assert_null(foci_json_key_after(array, NULL));
    assert_true(foci_json_bool(foci_json_at(array, 0), &yes) && yes);
    assert_true(foci_json_is_null(foci_json_at(array, 1)));
    assert_false(foci_json_is_null(foci_json_at(array, 3)));
    assert_null(foci_json_at(array, 3));
    assert_false(foci_json_bool(foci_json_at(array, 2), &yes));
    assert_true(foci_json_bool(foci_json_get(foci_json_get(value, "d"), "e"), &yes) && !yes);
    assert_int_equal(foci_json_size(foci_json_at(array, 2)), 0);
    foci_json_free(value);
}

static void test_says_where_it_is_wrong(void **state) {
    (void)state;
    foci_error err = {0};
    foci_json *value = NULL;
    assert_fails(foci_json_parse(&value, "{\n \"a\": 1,\n \"b\" 2}", "job.json", &err), err, FOCI_BAD_INPUT,
                 "not valid JSON");
    assert_string_equal(err.source, "job.json");
    assert_int_equal(err.row, 3);
    assert_fails(foci_json_parse(&value, "{\"a\": 1, \"a\": 2}", "job.json", &err), err, FOCI_BAD_INPUT, "duplicate");
    assert_fails(foci_json_parse(&value, "", "job.json", &err), err, FOCI_BAD_INPUT, "not valid JSON");
    assert_fails(foci_json_parse(&value, "[1, 2,]", "job.json", &err), err, FOCI_BAD_INPUT, "not valid JSON");
    assert_fails(foci_json_parse(&value, "[NaN]", "job.json", &err), err, FOCI_BAD_INPUT, "not valid JSON");
    assert_fails(foci_json_parse(&value, "[\"a\nb\"]", "job.json", &err), err, FOCI_BAD_INPUT, "not valid JSON");
    assert_null(strchr(err.text, '\n'));
    assert_fails(foci_json_read(&value, support_testdata("no such file.json"), FOCI_MOST_OF_SUMMARY, &err), err,
                 FOCI_NO_FILE, "no such file");
    assert_fails(foci_json_read(&value, support_testdata(""), FOCI_MOST_OF_SUMMARY, &err), err, FOCI_NO_FILE,
                 "is a folder");
    assert_null(value);
}

static void test_refuses_text_that_is_not_utf8(void **state) {
    (void)state;
    foci_error err = {0};
    foci_json *object = foci_json_object(&err);
    assert_fails(foci_json_put_text(object, "name", "caf\xE9", &err), err, FOCI_BAD_INPUT, "not UTF-8");
    assert_fails(foci_json_put_whole(object, "caf\xE9", 1, &err), err, FOCI_BAD_INPUT, "not UTF-8");
    foci_json_free(object);
}

/* A file longer than one piece of reading. */
static void test_reads_a_long_file(void **state) {
    (void)state;
    foci_error err = {0};
    char path[] = "/tmp/fieldfoci-json-XXXXXX";
    int file = mkstemp(path);
    assert_true(file >= 0);
    FILE *stream = fdopen(file, "w");
    fprintf(stream, "[0");
    for (int i = 1; i < 50000; i++)
        fprintf(stream, ",\n%d", i);
    fprintf(stream, "]");
    assert_int_equal(fclose(stream), 0);
    foci_json *value = NULL;
    assert_done(foci_json_read(&value, path, FOCI_MOST_OF_SUMMARY, &err), err);
    assert_int_equal(foci_json_size(value), 50000);
    double number = 0;
    assert_true(foci_json_number(foci_json_at(value, 49999), &number));
    assert_near(number, 49999, 0);
    foci_json_free(value);
    remove(path);
}

static bool print_something(foci_error *err) {
    foci_json *object = foci_json_object(err);
    char *text = NULL;
    if (object && foci_json_put_number(object, "severity", 2.385, err))
        text = foci_json_print(object, err);
    bool ok = text != NULL;
    free(text);
    foci_json_free(object);
    return ok;
}

static bool read_something(foci_error *err) {
    char path[] = "/tmp/fieldfoci-json-XXXXXX";
    int file = mkstemp(path);
    FILE *stream = fdopen(file, "w");
    fputs("{\"severity\": 2.385}", stream);
    fclose(stream);
    foci_json *value = NULL;
    bool ok = foci_json_read(&value, path, FOCI_MOST_OF_SUMMARY, err);
    foci_json_free(value);
    remove(path);
    return ok;
}

static void test_out_of_memory(void **state) {
    (void)state;
    support_fail_each_allocation(print_something);
    support_fail_each_allocation(read_something);
}

/* What a terminal would obey is escaped, so that text comes back the same (RFC 8259, section 7). */
static void test_prints_no_commands(void **state) {
    (void)state;
    static const char evil[] = "\x1B\x7F\xC2\x9B\xE2\x80\xAE\xE2\x80\xA8 caf\xC3\xA9";
    foci_error err = {0};
    foci_json *object = foci_json_object(&err), *again = NULL;
    assert_done(foci_json_put_text(object, "name", evil, &err), err);
    char *text = foci_json_print(object, &err);
    assert_non_null(text);
    assert_string_equal(text, "{\n  \"name\": \"\\u001B\\u007f\\u009b\\u202e\\u2028 caf\xC3\xA9\"\n}");
    assert_done(foci_json_parse(&again, text, "x", &err), err);
    assert_string_equal(foci_json_text(foci_json_get(again, "name")), evil);
    free(text);
    foci_json_free(object);
    foci_json_free(again);
}

/* As a job may have that somebody made by a program: looking each key up by its number takes a minute. */
static void test_walks_a_long_object(void **state) {
    (void)state;
    foci_error err = {0};
    foci_json *object = foci_json_object(&err);
    char name[20];
    for (long i = 0; i < 200000; i++) {
        snprintf(name, sizeof name, "k%ld", i);
        assert_done(foci_json_put_whole(object, name, i, &err), err);
    }
    const clock_t start = clock();
    const char *key = NULL;
    size_t count = 0;
    while ((key = foci_json_key_after(object, key)) != NULL)
        count++;
    assert_int_equal(count, 200000);
    assert_true(clock() - start < 2 * CLOCKS_PER_SEC);
    foci_json_free(object);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_prints_in_order_with_17_digits),
        cmocka_unit_test(test_prints_no_commands),
        cmocka_unit_test(test_numbers_come_back_to_the_last_bit),
        cmocka_unit_test(test_reads),
        cmocka_unit_test(test_says_where_it_is_wrong),
        cmocka_unit_test(test_refuses_text_that_is_not_utf8),
        cmocka_unit_test(test_reads_a_long_file),
        cmocka_unit_test(test_walks_a_long_object),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
