#include "fieldfoci/export.h"

#include "show/exports/export_round.h"

static const char *const raster_files[] = {"severity.tif", "deviation.tif", "low.tif", "high.tif", "chance.tif"};

static void test_a_layer_that_is_not_there_is_no_file(void **unused) {
    (void)unused;
    foci_survey round = make_round(FOCI_READING_COUNT);
    for (const foci_export *row = foci_export_table; row->file; row++)
        assert_true(row->applies(&round));
    double *estimate = round.surface.estimate;
    round.surface.estimate = NULL;
    foci_surface_free(&round.surface);
    round.surface.estimate = estimate;
    for (size_t k = 0; k < 5; k++)
        assert_int_equal(row_of(raster_files[k])->applies(&round), k == 0);
    assert_true(row_of("survey.gpkg")->applies(&round));
    assert_true(row_of("map.png")->applies(&round));
    foci_survey_free(&round);
}

static void *read_bytes(const char *path, long *size) {
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    assert_int_equal(fseek(file, 0, SEEK_END), 0);
    *size = ftell(file);
    assert_true(*size > 0);
    rewind(file);
    void *bytes = malloc((size_t)*size);
    assert_non_null(bytes);
    assert_int_equal(fread(bytes, 1, (size_t)*size, file), *size);
    fclose(file);
    return bytes;
}

static void test_twice_the_same_bytes(void **unused) {
    (void)unused;
    setenv("SOURCE_DATE_EPOCH", "1750000000", 1);
    foci_survey round = make_round(FOCI_READING_COUNT);
    for (const foci_export *row = foci_export_table; row->file; row++) {
        long first_size = 0, second_size = 0;
        write_file(&round, row->file);
        void *first = read_bytes(path_of(row->file), &first_size);
        write_file(&round, row->file);
        void *second = read_bytes(path_of(row->file), &second_size);
        assert_int_equal(first_size, second_size);
        assert_memory_equal(first, second, (size_t)first_size);
        free(first);
        free(second);
    }
    foci_survey_free(&round);
}

static void test_an_unwritable_path_is_an_error(void **unused) {
    (void)unused;
    foci_survey round = make_round(FOCI_READING_COUNT);
    for (const foci_export *row = foci_export_table; row->file; row++) {
        foci_error err = {0};
        char path[128];
        snprintf(path, sizeof path, "/proc/nothing/%s", row->file);
        assert_false(row->write(&round, path, &err));
        assert_int_equal(err.status, FOCI_NO_FILE);
        assert_true(strlen(err.text) > 0);
    }
    foci_survey_free(&round);
}

static foci_survey scene;
static const foci_export *torn;

static bool attempt(foci_error *err) {
    bool ok = torn->write(&scene, path_of(torn->file), err);
    assert_int_equal(access(path_of(torn->file), F_OK), ok ? 0 : -1);
    unlink(path_of(torn->file));
    return ok;
}

static void test_memory_runs_out(void **unused) {
    (void)unused;
    static const char *const files[] = {"survey.gpkg", "severity.tif", "chance.tif"};
    scene = make_round(FOCI_READING_COUNT);
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        torn = row_of(files[i]);
        unlink(path_of(torn->file));
        support_fail_each_allocation(attempt);
    }
    foci_survey_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_layer_that_is_not_there_is_no_file),
        cmocka_unit_test(test_twice_the_same_bytes),
        cmocka_unit_test(test_an_unwritable_path_is_an_error),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
