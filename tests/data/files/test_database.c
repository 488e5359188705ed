/* The door to databases, on a GeoPackage; scripted/test_postgis.sh goes through it to a server. */
#include "support/scratch.h"

#include "data/files/database.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const foci_column place_columns[] = {
    {"name", FOCI_COLUMN_TEXT}, {"depth", FOCI_COLUMN_NUMBER}, {"visits", FOCI_COLUMN_WHOLE}};
static const foci_column plot_columns[] = {{"owner", FOCI_COLUMN_TEXT}};
static const foci_database_table tables[] = {
    {"places", FOCI_SHAPE_POINT, place_columns, COUNT(place_columns), 0, "name", NULL, NULL},
    {"plots", FOCI_SHAPE_AREA, plot_columns, COUNT(plot_columns), 0, NULL, NULL, NULL},
    {0},
};

static const char *database_path(void) {
    static char path[200];
    snprintf(path, sizeof path, "%s/places.gpkg", scratch_folder);
    return path;
}

static bool add_place(foci_database *database, const char *name, double depth, foci_error *err) {
    const char *texts[] = {name, NULL, NULL};
    const double numbers[] = {NAN, depth, 3};
    const foci_point point = {-93.123456789012345, 42.987654321098765};
    return foci_database_add(database, &tables[0], texts, numbers, &point, NULL, err);
}

static void record_place(const char *name, double depth) {
    foci_database *database = NULL;
    foci_error err = {0};
    assert_done(foci_database_change(&database, database_path(), tables, NULL, &err), err);
    assert_done(add_place(database, name, depth, &err), err);
    assert_done(foci_database_commit(database, &err), err);
}

static size_t count_places(const char *name, foci_table *rows) {
    foci_database *database = NULL;
    foci_table found = {0};
    foci_error err = {0};
    assert_done(foci_database_open(&database, database_path(), tables, NULL, &err), err);
    assert_done(foci_database_find(&found, database, &tables[0], name ? "name" : NULL, name, &err), err);
    size_t count = found.row_count;
    foci_database_close(database);
    if (rows)
        *rows = found;
    else
        foci_table_free(&found);
    return count;
}

static void what_goes_in_comes_out(void **state) {
    (void)state;
    foci_table rows = {0};
    record_place("it's \"wet\"", 0.1 + 0.2);
    record_place("dry", NAN);
    assert_int_equal(count_places(NULL, NULL), 2);
    assert_int_equal(count_places("none", NULL), 0);
    assert_int_equal(count_places("it's \"wet\"", &rows), 1);
    assert_string_equal(rows.cells[0].text, "it's \"wet\"");
    assert_near(rows.cells[1].number, 0.1 + 0.2, 0);
    assert_near(rows.cells[2].number, 3, 0);
    assert_near(rows.shapes[0].point.x, -93.123456789012345, 0);
    assert_near(rows.shapes[0].point.y, 42.987654321098765, 0);
    foci_table_free(&rows);
    assert_int_equal(count_places("dry", &rows), 1);
    assert_null(rows.cells[1].text);
    assert_near(rows.cells[1].number, NAN, 0);
    foci_table_free(&rows);
}

static void an_area_keeps_its_corners(void **state) {
    (void)state;
    foci_point corners[] = {{1.125, 2.25}, {3.5, 2.25}, {3.5, 4.75}};
    foci_ring ring = {.points = corners, .count = 3};
    foci_polygon polygon = {.rings = &ring, .count = 1};
    const foci_multipolygon area = {.polygons = &polygon, .count = 1};
    const char *texts[] = {"Thistledown"};
    const double numbers[] = {NAN};
    foci_database *database = NULL;
    foci_table rows = {0};
    foci_error err = {0};
    assert_done(foci_database_change(&database, database_path(), tables, NULL, &err), err);
    assert_done(foci_database_add(database, &tables[1], texts, numbers, NULL, &area, &err), err);
    assert_done(foci_database_find(&rows, database, &tables[1], "owner", "Thistledown", &err), err);
    assert_int_equal(rows.row_count, 1);
    const foci_ring *read = &rows.shapes[0].area.polygons[0].rings[0];
    assert_int_equal(read->count, 3);
    assert_memory_equal(read->points, corners, sizeof corners);
    foci_table_free(&rows);
    foci_database_close(database);
}

static void a_key_stands_once_and_what_fails_leaves_nothing(void **state) {
    (void)state;
    foci_database *database = NULL;
    foci_error err = {0};
    record_place("gate", 2.385);
    assert_done(foci_database_change(&database, database_path(), tables, NULL, &err), err);
    assert_done(add_place(database, "corner", 1.5, &err), err);
    assert_fails(add_place(database, "gate", 7.5, &err), err, FOCI_NO_FILE, "UNIQUE");
    foci_database_close(database);
    assert_int_equal(count_places("corner", NULL), 0);
    assert_int_equal(count_places("gate", NULL), 1);
}

static void a_whole_number_is_one(void **state) {
    (void)state;
    const char *texts[] = {"far", NULL, NULL};
    const double numbers[] = {NAN, NAN, 1e300};
    foci_database *database = NULL;
    foci_error err = {0};
    assert_done(foci_database_change(&database, database_path(), tables, NULL, &err), err);
    assert_fails(foci_database_add(database, &tables[0], texts, numbers, NULL, NULL, &err), err, FOCI_BAD_INPUT,
                 "1e+300 is no 'visits'");
    foci_database_close(database);
}

static void a_text_is_put_into_the_row_of_a_key(void **state) {
    (void)state;
    foci_database *database = NULL;
    foci_error err = {0};
    record_place("spring", 2.385);
    assert_done(foci_database_change(&database, database_path(), tables, NULL, &err), err);
    assert_done(foci_database_set(database, &tables[0], "spring", "name", "well", &err), err);
    assert_done(foci_database_commit(database, &err), err);
    assert_int_equal(count_places("spring", NULL), 0);
    assert_int_equal(count_places("well", NULL), 1);
}

/* The table as a later version has it: a column more, and each visit of one place. */
static const foci_column later_columns[] = {{"name", FOCI_COLUMN_TEXT},
                                            {"depth", FOCI_COLUMN_NUMBER},
                                            {"visits", FOCI_COLUMN_WHOLE},
                                            {"rows", FOCI_COLUMN_WHOLE}};
static const foci_column visit_columns[] = {{"place", FOCI_COLUMN_TEXT}};
static const foci_database_table tied[] = {
    {"places", FOCI_SHAPE_POINT, later_columns, COUNT(later_columns), 1, "name", NULL, NULL},
    {"visits", FOCI_SHAPE_NONE, visit_columns, COUNT(visit_columns), 0, NULL, "place", "places"},
    {0},
};

static bool add_visit(foci_database *database, const char *place, foci_error *err) {
    return foci_database_add(database, &tied[1], (const char *[]){place}, (double[]){NAN}, NULL, NULL, err);
}

static bool add_tied_place(foci_database *database, const char *name, foci_error *err) {
    const char *texts[] = {name, NULL, NULL, NULL};
    const double numbers[] = {NAN, 2.385, 3, 1};
    const foci_point point = {-93.5, 42.5};
    return foci_database_add(database, &tied[0], texts, numbers, &point, NULL, err);
}

static void no_row_is_without_the_one_that_it_is_of(void **state) {
    (void)state;
    foci_database *database = NULL;
    foci_error err = {0};
    const char *path = database_path();
    size_t count = 0;
    unlink(path);
    assert_done(foci_database_change(&database, path, tied, NULL, &err), err);
    assert_done(add_tied_place(database, "pond", &err), err);
    assert_done(add_visit(database, "pond", &err), err);
    assert_fails(add_visit(database, "lake", &err), err, FOCI_NO_FILE, "needs the row of places");
    assert_done(foci_database_commit(database, &(foci_error){0}), err);
    assert_done(foci_database_change(&database, path, tied, NULL, &err), err);
    assert_fails(foci_database_remove(database, &tied[0], "name", "pond", &err), err, FOCI_NO_FILE, "must go first");
    err = (foci_error){0};
    assert_done(foci_database_remove(database, &tied[1], "place", "pond", &err), err);
    assert_done(foci_database_remove(database, &tied[0], "name", "pond", &err), err);
    assert_done(foci_database_count(&count, database, &tied[0], "name", "pond", &err), err);
    assert_int_equal(count, 0);
    foci_database_close(database);
    unlink(path);
}

static void a_file_of_an_earlier_version_is_read_and_grows(void **state) {
    (void)state;
    static const foci_database_table later[] = {
        {"places", FOCI_SHAPE_POINT, later_columns, COUNT(later_columns), 1, "name", NULL, NULL}, {0}};
    foci_database *database = NULL;
    foci_table rows = {0};
    foci_error err = {0};
    unlink(database_path());
    record_place("mill", 2.385);
    for (int changing = 0; changing <= 1; changing++) {
        assert_done(
            (changing ? foci_database_change : foci_database_open)(&database, database_path(), later, NULL, &err), err);
        assert_done(foci_database_find(&rows, database, &later[0], "name", "mill", &err), err);
        assert_int_equal(rows.row_count, 1);
        assert_near(rows.cells[3].number, NAN, 0);
        foci_table_free(&rows);
        if (changing)
            assert_done(foci_database_commit(database, &err), err);
        else
            foci_database_close(database);
    }
    assert_done(foci_table_read_layer(&rows, database_path(), "places", &err), err);
    assert_int_equal(foci_table_column(&rows, "rows"), 3);
    foci_table_free(&rows);
    unlink(database_path());
}

static void what_cannot_be_opened_says_why(void **state) {
    (void)state;
    foci_database *database = NULL;
    foci_error err = {0};
    static const foci_database_table others[] = {
        {"roads", FOCI_SHAPE_POINT, place_columns, COUNT(place_columns), 0, NULL, NULL, NULL}, {0}};
    static const foci_column more[] = {{"name", FOCI_COLUMN_TEXT}, {"colour", FOCI_COLUMN_TEXT}};
    static const foci_database_table wider[] = {{"places", FOCI_SHAPE_POINT, more, COUNT(more), 0, NULL, NULL, NULL},
                                                {0}};
    record_place("barn", 2.385);
    assert_fails(foci_database_open(&database, database_path(), others, NULL, &err), err, FOCI_BAD_INPUT,
                 "no table 'roads'");
    assert_fails(foci_database_change(&database, database_path(), wider, NULL, &err), err, FOCI_BAD_INPUT,
                 "no column 'colour'");
    assert_fails(foci_database_open(&database, scratch_write("a.gpkg", "beans"), tables, NULL, &err), err, FOCI_NO_FILE,
                 "is no GeoPackage");
    assert_fails(foci_database_open(&database, "/nowhere/a.gpkg", tables, NULL, &err), err, FOCI_NO_FILE, "its folder");
    assert_fails(foci_database_change(&database, "/tmp/fieldfoci-none.txt", tables, NULL, &err), err, FOCI_BAD_SETTING,
                 "end in .gpkg");
    assert_fails(foci_database_open(&database, "PG:host=/nowhere dbname=none", tables, NULL, &err), err, FOCI_NO_FILE,
                 "cannot be reached");
    assert_null(database);
    assert_true(foci_database_is_connection("PG:dbname=farm"));
    assert_false(foci_database_is_connection("/data/PG:farm.gpkg"));
}

static bool stop_at_once(void *context, double done) {
    assert_true(done >= 0 && done <= 1);
    ++*(int *)context;
    return false;
}

static void waiting_for_another_can_be_stopped(void **state) {
    (void)state;
    foci_database *first = NULL, *second = NULL;
    foci_error err = {0};
    int asked = 0;
    const foci_execution how = {.progress = {.tell = stop_at_once, .context = &asked}};
    record_place("pond", 2);
    assert_done(foci_database_change(&first, database_path(), tables, &how, &err), err);
    assert_int_equal(asked, 0); /* nobody was waited for */
    assert_fails(foci_database_open(&second, database_path(), tables, &how, &err), err, FOCI_STOPPED, "stopped");
    assert_int_equal(asked, 1);
    assert_null(second);
    foci_database_close(first);
}

static bool attempt(foci_error *err) {
    foci_database *database = NULL;
    foci_table rows = {0};
    if (!foci_database_change(&database, database_path(), tables, NULL, err))
        return false;
    bool ok = add_place(database, "shed", 2.385, err) &&
              foci_database_set(database, &tables[0], "shed", "name", "hut", err) &&
              foci_database_find(&rows, database, &tables[0], "name", "hut", err);
    foci_table_free(&rows);
    if (ok)
        return foci_database_commit(database, err);
    foci_database_close(database);
    return false;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    unlink(database_path());
    support_fail_each_allocation(attempt);
    assert_int_equal(count_places("hut", NULL), 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_goes_in_comes_out),
        cmocka_unit_test(an_area_keeps_its_corners),
        cmocka_unit_test(a_key_stands_once_and_what_fails_leaves_nothing),
        cmocka_unit_test(a_whole_number_is_one),
        cmocka_unit_test(a_text_is_put_into_the_row_of_a_key),
        cmocka_unit_test(no_row_is_without_the_one_that_it_is_of),
        cmocka_unit_test(a_file_of_an_earlier_version_is_read_and_grows),
        cmocka_unit_test(what_cannot_be_opened_says_why),
        cmocka_unit_test(waiting_for_another_can_be_stopped),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}
