#include "support/scratch.h"

#include "data/files/csv_rows.h"

static char *names[] = {"lon", "lat", "v", "note", "stop", "date", "checked"};

/* The rows of a file with these columns. */
static size_t count_rows(const char *text, size_t columns) {
    foci_error err = {0};
    size_t rows = 0;
    assert_done(foci_csv_rows_count(&rows, scratch_write("rows.csv", text), names, columns, &err), err);
    return rows;
}

/* RFC 4180, section 2: quoted cells, doubled quote marks, line ends and delimiters inside quotes. */
static void test_rows_that_fit(void **state) {
    (void)state;
    const struct {
        const char *text;
        size_t columns, rows;
    } files[] = {
        {"lon,lat,v\n1,2,3\n4,5,6\n", 3, 2},
        {"lon,lat,v\r\n1,2,3\r\n", 3, 1},
        {"lon,lat,v\n1,2\n\n\n7\n", 3, 2},                  /* short rows and empty lines */
        {"lon,lat,v\n1,2,3,,\n4,5,6, ,\"\"\n", 3, 2},       /* nothing in the cells beyond */
        {"lon,lat,v\n1,2,\"3,5\"\n\"a\nb\",5,\"6\"", 3, 2}, /* quoted commas and line ends */
        {"lon,lat,v\n1,2,\"say \"\"3,5\"\"\"\n", 3, 1},
        {"lon,lat,v\n1,2,\"12\"\" deep\"\n1,2,\"\"\"\"\n", 3, 2},
        {"lon,lat,v\n1,2, \"3,5\" \n", 3, 1}, /* blanks around quotes */
        {"\xEF\xBB\xBF\"lon\",lat,v\n1,2,3\n", 3, 1},
        {"lon,lat,v\n1,2,\"one\ntwo, three\nfour\"\n", 3, 1},
        {"lon;lat;v\n1,5;2,5;3,1\n", 3, 1},
        {"lon\tlat\n1,5\t2,5\n", 2, 1},
        {"lon|lat\n1,5|2,5\n", 2, 1},
        {"note\nnorth, then east\n", 1, 1},
        {"lon,lat,v\n", 3, 0},
        {"", 0, 0},
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++)
        assert_int_equal(count_rows(files[i].text, files[i].columns), files[i].rows);
}

/* Columns that were given names stand over a file whose first row is data already. */
static void test_without_a_header(void **state) {
    (void)state;
    char *given[] = {"field_1", "field_2"};
    foci_error err = {0};
    size_t rows = 0;
    assert_done(foci_csv_rows_count(&rows, scratch_write("rows.csv", "1,2\n3,4\n"), given, 2, &err), err);
    assert_int_equal(rows, 2);
    assert_done(foci_csv_rows_count(&rows, scratch_write("rows.csv", ",\n1,2\n3,4\n"), given, 2, &err), err);
    assert_int_equal(rows, 2);
}

/* Decimal commas push the values into the wrong columns. */
static void test_rows_that_do_not_fit(void **state) {
    (void)state;
    foci_error err = {0};
    size_t rows = 0;
    assert_fails(foci_csv_rows_count(&rows, scratch_write("rows.csv", "lon,lat,v\n1,2,3\n1,5,2,5,3\n"), names, 3, &err),
                 err, FOCI_BAD_INPUT, "5 cells under 3 columns");
    assert_int_equal(err.row, 2);
    assert_fails(
        foci_csv_rows_count(&rows, scratch_write("rows.csv", "lon;lat\n\n\"1\n;2\";4\n1;;5;\n"), names, 2, &err), err,
        FOCI_BAD_INPUT, "3 cells under 2 columns");
    assert_int_equal(err.row, 2);
    assert_fails(foci_csv_rows_count(&rows, "/no/such/file.csv", names, 2, &err), err, FOCI_NO_FILE, "no such file");
}

/* Section 2, rules 5 to 7: a quote mark inside a cell is written twice, and the cell stands in quotes. */
static void test_stray_quotes(void **state) {
    (void)state;
    const struct {
        const char *text, *words;
        long row;
    } files[] = {
        {"lon,lat,v\n1,2,3\n1,2,12\" deep\n4,5,6\n", "quote mark inside a cell", 2},
        {"lon,lat,v\n1,2,12\" deep\n4,5,6\n1,2,12\" deep\n", "quote mark inside a cell", 1},
        {"lon,lat,v\n1,2,\"12\" deep\n", "quote mark inside a cell", 1},
        {"lon,lat,v\n1,2,\"3\" \"4\"\n", "quote mark inside a cell", 1},
        {"lon,lat,v\n1,2,3\n\"1,2,3\n4,5,6\n", "does not end", 2},
        {"lon,lat,v\n1,2,\"3 \"\"4\"\"\n5,6\n", "does not end", 1},
        {"lon,lat,v\n1,2,\"north\n4,5,6\n7,8,south\"\n", "a whole row", 1},
        {"lon,lat,v\n83\xC2\xB0"
         "20'1\",42\xC2\xB0"
         "58'30\",3\n",
         "decimal degrees", 1},
        {"lon,lat,a \"b\n1,2,3\n", "the header has a quote mark", 0},
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        foci_error err = {0};
        size_t rows = 77;
        assert_fails(foci_csv_rows_count(&rows, scratch_write("rows.csv", files[i].text), names, 3, &err), err,
                     FOCI_BAD_INPUT, files[i].words);
        assert_int_equal(err.row, files[i].row);
        assert_int_equal(rows, 77);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rows_that_fit),
        cmocka_unit_test(test_without_a_header),
        cmocka_unit_test(test_rows_that_do_not_fit),
        cmocka_unit_test(test_stray_quotes),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}
