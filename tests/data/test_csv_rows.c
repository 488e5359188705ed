#include "support/support.h"

#include "data/csv_rows.h"

static char folder[] = "/tmp/fieldfoci-rows-XXXXXX";

static int make_folder(void **state) {
    (void)state;
    return mkdtemp(folder) == NULL;
}

static int remove_folder(void **state) {
    (void)state;
    char command[128];
    snprintf(command, sizeof command, "rm -r '%s'", folder);
    return system(command); /* NOLINT: a folder of our own making */
}

static const char *in_folder(const char *name) {
    static char path[256];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

/* Writes a file below the folder and gives its path. */
static const char *file_with(const char *name, const char *text) {
    const char *path = in_folder(name);
    FILE *stream = fopen(path, "w");
    assert_non_null(stream);
    assert_true(fputs(text, stream) >= 0);
    assert_int_equal(fclose(stream), 0);
    return path;
}

static void test_rows_that_fit(void **state) {
    (void)state;
    const struct {
        const char *text;
        size_t columns;
    } files[] = {
        {"lon,lat,v\n1,2,3\n4,5,6\n", 3},
        {"lon,lat,v\r\n1,2,3\r\n", 3},
        {"lon,lat,v\n1,2\n\n\n7\n", 3},                  /* short rows and empty lines */
        {"lon,lat,v\n1,2,3,,\n4,5,6, ,\"\"\n", 3},       /* nothing in the cells beyond */
        {"lon,lat,v\n1,2,\"3,5\"\n\"a\nb\",5,\"6\"", 3}, /* quoted commas and line ends */
        {"lon,lat,v\n1,2,\"say \"\"3,5\"\"\"\n", 3},
        {"lon;lat;v\n1,5;2,5;3,1\n", 3},
        {"lon\tlat\n1,5\t2,5\n", 2},
        {"lon|lat\n1,5|2,5\n", 2},
        {"note\nnorth, then east\n", 1},
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        foci_error err = {0};
        assert_done(foci_csv_rows_fit(file_with("rows.csv", files[i].text), files[i].columns, &err), err);
    }
}

/* Decimal commas push the values into the wrong columns. */
static void test_rows_that_do_not_fit(void **state) {
    (void)state;
    foci_error err = {0};
    assert_fails(foci_csv_rows_fit(file_with("rows.csv", "lon,lat,v\n1,2,3\n1,5,2,5,3\n"), 3, &err), err,
                 FOCI_BAD_INPUT, "5 cells under 3 columns");
    assert_int_equal(err.row, 2);
    assert_fails(foci_csv_rows_fit(file_with("rows.csv", "lon;lat\n\n\"1\n;2\";4\n1;;5;\n"), 2, &err), err,
                 FOCI_BAD_INPUT, "3 cells under 2 columns");
    assert_int_equal(err.row, 2);
    assert_fails(foci_csv_rows_fit("/no/such/file.csv", 2, &err), err, FOCI_NO_FILE, "cannot be opened");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rows_that_fit),
        cmocka_unit_test(test_rows_that_do_not_fit),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
