/* Every file of a comparison: whole or not at all, the same bytes twice. */
#include "fieldfoci/export.h"

#include "show/read_picture.h"
#include "show/seasons/sample_seasons.h"

static foci_seasons scene_of(const sample_plan *plan, size_t count) {
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(sample_seasons_of(&seasons, plan, count, &err), err);
    return seasons;
}

static const sample_plan usual = {60, 40, 8, 5, 2, 34}, small = {24, 18, 5, 4, 2, 34};

static void test_the_files_are_those_promised(void **state) {
    (void)state;
    static const char *const files[] = {"persistence.tif", "classes.tif",     "persistence.gpkg",
                                        "persistence.png", "persistence.pdf", "report.html"};
    foci_seasons seasons = scene_of(&small, 2);
    foci_error err = {0};
    size_t count = 0;
    for (const foci_seasons_export *row = foci_seasons_export_table; row->file; row++) {
        assert_string_equal(row->file, files[count++]);
        assert_true(strlen(row->title) > 10);
        assert_true(row->applies(&seasons));
    }
    assert_int_equal(count, sizeof files / sizeof *files);
    assert_done(sample_seasons_uncompare(&seasons, &err), err);
    for (size_t i = 0; i < count; i++)
        assert_int_equal(foci_seasons_export_table[i].applies(&seasons), i >= 2); /* no raster without classes */
    foci_seasons_free(&seasons);
}

static void assert_same_twice(const foci_seasons *seasons) {
    foci_error err = {0};
    for (const foci_seasons_export *row = foci_seasons_export_table; row->file; row++) {
        char first[256], second[256];
        if (!row->applies(seasons))
            continue;
        scratch_name(first, row->file);
        scratch_name(second, row->file);
        assert_done(row->write(seasons, first, &err), err);
        assert_done(row->write(seasons, second, &err), err);
        assert_same_files(first, second, true);
        scratch_remove(first);
        scratch_remove(second);
    }
}

static void test_twice_the_same_bytes(void **state) {
    (void)state;
    setenv("SOURCE_DATE_EPOCH", "1750000000", 1);
    foci_seasons seasons = scene_of(&usual, 3);
    foci_error err = {0};
    assert_same_twice(&seasons);
    assert_done(sample_seasons_uncompare(&seasons, &err), err);
    assert_same_twice(&seasons);
    foci_seasons_free(&seasons);
}

static void test_an_unwritable_path_is_an_error(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(&small, 2);
    for (const foci_seasons_export *row = foci_seasons_export_table; row->file; row++) {
        foci_error err = {0};
        char path[128];
        snprintf(path, sizeof path, "/proc/nothing/%s", row->file);
        assert_false(row->write(&seasons, path, &err));
        assert_int_equal(err.status, FOCI_NO_FILE);
        assert_true(strlen(err.text) > 0);
    }
    foci_seasons_free(&seasons);
}

static foci_seasons scene;
static const foci_seasons_export *torn;

static bool attempt(foci_error *err) {
    char path[256];
    scratch_name(path, torn->file);
    const bool ok = torn->write(&scene, path, err);
    assert_int_equal(access(path, F_OK), ok ? 0 : -1);
    scratch_remove(path);
    return ok;
}

/* All grounds of the report are painted by one loop: those of one season are enough. */
static void leave_one_season_to_paint(foci_seasons *seasons) {
    for (size_t s = 0; s < seasons->count; s++) {
        free(seasons->rounds[s].surface.estimate);
        seasons->rounds[s].surface.estimate = NULL;
    }
    free(seasons->persistence.chance[0]);
    seasons->persistence.chance[0] = NULL;
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    const sample_plan thin = {80, 6, 10, 1, 2, 34}; /* little to paint */
    scene = scene_of(&thin, 2);
    for (torn = foci_seasons_export_table; torn->file; torn++)
        if (strcmp(torn->file, "report.html") != 0)
            support_fail_each_allocation(attempt);
        else
            break;
    leave_one_season_to_paint(&scene);
    support_fail_each_allocation(attempt);
    foci_error err = {0};
    assert_done(sample_seasons_uncompare(&scene, &err), err);
    for (torn = foci_seasons_export_table; torn->file; torn++)
        if (strcmp(torn->file, "persistence.png") == 0)
            support_fail_each_allocation(attempt);
    foci_seasons_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_files_are_those_promised),
        cmocka_unit_test(test_twice_the_same_bytes),
        cmocka_unit_test(test_an_unwritable_path_is_an_error),
        cmocka_unit_test(test_each_allocation_can_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
