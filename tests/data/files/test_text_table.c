#include "support/scratch.h"

#include "data/files/vector_file.h"

static foci_table read_text(const char *text) {
    foci_error err = {0};
    foci_table table = {0};
    assert_done(foci_table_read(&table, scratch_write("rows.csv", text), NULL, &err), err);
    return table;
}

static void refused(const char *text, const char *words, long row) {
    foci_error err = {0};
    foci_table table = {0};
    assert_fails(foci_table_read(&table, scratch_write("rows.csv", text), NULL, &err), err, FOCI_BAD_INPUT, words);
    assert_int_equal(err.row, row);
    assert_null(table.columns);
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
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        foci_table table = read_text(files[i].text);
        assert_int_equal(table.column_count, files[i].columns);
        assert_int_equal(table.row_count, files[i].rows);
        foci_table_free(&table);
    }
    refused("lon,lat,v\n", "holds no features", 0);
    refused("\n\n", "holds no features", 0);
}

static void test_cells_are_what_stands_there(void **state) {
    (void)state;
    foci_table table = read_text("lon, \"a \"\"b\"\"\" ,v\r1,\"x, \"\"y\"\"\r\nz\",\" 3 \"\r\r,, 5 \r");
    assert_int_equal(table.row_count, 2);
    assert_string_equal(table.columns[1], "a \"b\"");
    assert_string_equal(table.cells[1].text, "x, \"y\"\r\nz");
    assert_string_equal(table.cells[2].text, " 3 "); /* blanks in quotes stay, and are a number all the same */
    assert_near(table.cells[2].number, 3, 0);
    assert_null(table.cells[3].text);
    assert_string_equal(table.cells[5].text, "5");
    assert_int_equal(foci_table_row(&table, 1), 2);
    foci_table_free(&table);
}

/* Rows of blanks count, but hold nothing. */
static void test_rows_keep_their_numbers(void **state) {
    (void)state;
    foci_table table = read_text("made up\n\nlon,lat,v\n1,2,3\n,,\n , ,\n4,5,6\nTotal,,9\n,,\n");
    assert_int_equal(table.row_count, 2);
    assert_int_equal(foci_table_row(&table, 1), 4);
    assert_int_equal(table.notes.count, 2);
    assert_string_equal(table.notes.items[0], "the names of its columns are in line 3, and 1 line above is left out");
    assert_string_equal(table.notes.items[1], "1 line of totals (from line 8 on) is left out");
    foci_table_free(&table);
}

/* A title is only what stands above a wider line of names; a header narrower than its rows is none. */
static void test_what_is_no_title(void **state) {
    (void)state;
    refused("lon,lat,v\n1,5,2,5,3\n1,5,2,5,4\n", "5 cells under 3 columns", 1);
    foci_table table = read_text("stop,lon\nnorth,here,there,x\nsouth,1,2,3\n");
    assert_int_equal(table.column_count, 4); /* words above data, wider than what is above them */
    assert_string_equal(table.columns[0], "north");
    foci_table_free(&table);
    table = read_text("lon,lat,v\ndegrees,degrees,percent\n1,2,3\n");
    assert_string_equal(table.columns[0], "lon");
    assert_int_equal(table.row_count, 2);
    foci_table_free(&table);
}

/* Columns are given names over a file whose first row is data already. */
static void test_without_a_header(void **state) {
    (void)state;
    foci_table table = read_text("1,2\n3,4\n");
    assert_int_equal(table.row_count, 2);
    assert_string_equal(table.columns[1], "field_2");
    assert_string_equal(table.notes.items[0], "its columns have no names and are called field_1, field_2 ...");
    foci_table_free(&table);
    refused("1,2,north\n3,4,south\n", "line 1 holds data where the names of the columns should stand", 0);
}

/* Decimal commas push the values into the wrong columns. */
static void test_rows_that_do_not_fit(void **state) {
    (void)state;
    refused("lon,lat,v\n1,2,3\n1,5,2,5,3\n", "5 cells under 3 columns", 2);
    refused("lon;lat\n\n\"1\n;2\";4\n1;;5;\n", "3 cells under 2 columns", 2);
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
        {"lon,lat,v\n\"83\xC2\xB0"
         "20'1\"E\",42,3\n",
         "a seconds mark inside a cell in quotes", 1},
        {"lon,lat,a \"b\n1,2,3\n", "the header has a quote mark", 0},
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++)
        refused(files[i].text, files[i].words, files[i].row);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rows_that_fit),
        cmocka_unit_test(test_cells_are_what_stands_there),
        cmocka_unit_test(test_rows_keep_their_numbers),
        cmocka_unit_test(test_what_is_no_title),
        cmocka_unit_test(test_without_a_header),
        cmocka_unit_test(test_rows_that_do_not_fit),
        cmocka_unit_test(test_stray_quotes),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}
