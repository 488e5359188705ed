#include "support/scratch.h"
#include "support/small_disk.h"

#include "data/files/raster_file.h"

static const foci_note notes[] = {
    {"TIFFTAG_SOFTWARE", "fieldfoci 0.1.0"}, {"model", "spherical, nugget 0.05 <&> \"x\""}, {0}};

static foci_grid grid_of(size_t columns, size_t rows) {
    return (foci_grid){.west = 640005, .north = 3480250, .cell = 2.5, .columns = columns, .rows = rows};
}

/* Numbers that are no round ones, every seventh cell without one. */
static double *layer_of(const foci_grid *grid) {
    size_t count = grid->columns * grid->rows;
    double *layer = malloc(count * sizeof *layer);
    assert_non_null(layer);
    for (size_t i = 0; i < count; i++)
        layer[i] = i % 7 == 3 ? NAN : 50 + 49 * sin(0.37 * (double)i) + 1e-3 * (double)(i % 13);
    return layer;
}

static bool write_layer(const char *path, const foci_grid *grid, foci_error *err) {
    double *layer = layer_of(grid);
    bool ok = foci_raster_write(path, grid, "EPSG:32617", layer, "percent", "severity", notes, err);
    free(layer);
    return ok;
}

static char *content(const char *name, size_t *size) {
    FILE *stream = fopen(scratch_path(name), "rb");
    assert_non_null(stream);
    char *text = calloc(1, 8 << 20);
    assert_non_null(text);
    *size = fread(text, 1, (8 << 20) - 1, stream);
    fclose(stream);
    return text;
}

static bool holds(const char *bytes, size_t size, const char *words) {
    return memmem(bytes, size, words, strlen(words)) != NULL;
}

static void test_comes_back(void **state) {
    (void)state;
    foci_error err = {0};
    foci_grid grid = grid_of(31, 17), back = {0};
    double *layer = layer_of(&grid), *read = NULL;
    assert_done(write_layer(scratch_path("severity.tif"), &grid, &err), err);
    assert_done(foci_raster_read(&back, &read, scratch_path("severity.tif"), &err), err);
    assert_near(back.west, 640005, 0);
    assert_near(back.north, 3480250, 0);
    assert_near(back.cell, 2.5, 0);
    assert_int_equal(back.columns, 31);
    assert_int_equal(back.rows, 17);
    size_t cells = 0;
    for (size_t i = 0; i < 31 * 17; i++) {
        assert_near(read[i], (float)layer[i], 0);
        assert_near(back.share[i], isnan(layer[i]) ? 0 : 1, 0);
        cells += !isnan(layer[i]);
    }
    assert_int_equal(back.cells, cells);
    free(layer);
    free(read);
    free(back.share);
}

/* The words are in the file itself (TIFF 6.0 tags; GDAL_METADATA), and nothing lies beside it. */
static void test_words_are_in_the_file(void **state) {
    (void)state;
    size_t size = 0;
    char *bytes = content("severity.tif", &size);
    assert_memory_equal(bytes, "II*", 3);
    assert_true(holds(bytes, size, "LAYOUT=IFDS_BEFORE_DATA")); /* a cloud-optimised one */
    assert_true(holds(bytes, size, "fieldfoci 0.1.0"));
    assert_true(holds(bytes, size, "role=\"unittype\">percent<"));
    assert_true(holds(bytes, size, "role=\"description\">severity<"));
    assert_true(holds(bytes, size, "name=\"model\">spherical, nugget 0.05 "));
    assert_true(holds(bytes, size, "WGS 84 / UTM zone 17N"));
    assert_int_equal(access(scratch_path("severity.tif.aux.xml"), F_OK), -1);
    free(bytes);
}

/* A raster large enough for overviews. */
static void test_same_bytes_twice(void **state) {
    (void)state;
    foci_error err = {0};
    foci_grid grid = grid_of(900, 700);
    assert_done(write_layer(scratch_path("large.tif"), &grid, &err), err);
    assert_done(write_layer(scratch_path("again.tif"), &grid, &err), err);
    size_t size = 0, again_size = 0;
    char *a = content("large.tif", &size), *b = content("again.tif", &again_size);
    assert_int_equal(size, again_size);
    assert_memory_equal(a, b, size);
    free(a);
    free(b);
    assert_int_equal(small_disk_files(scratch_folder), 3);
}

static void test_one_cell_and_extremes(void **state) {
    (void)state;
    foci_error err = {0};
    foci_grid grid = grid_of(1, 1), back = {0};
    double *read = NULL, value = NAN;
    assert_done(foci_raster_write(scratch_path("none.tif"), &grid, "EPSG:32617", &value, "", "", NULL, &err), err);
    assert_done(foci_raster_read(&back, &read, scratch_path("none.tif"), &err), err);
    assert_near(read[0], NAN, 0);
    assert_int_equal(back.cells, 0);
    free(read);
    free(back.share);
    value = 1e39;
    assert_fails(foci_raster_write(scratch_path("huge.tif"), &grid, "EPSG:32617", &value, "", "", NULL, &err), err,
                 FOCI_BAD_INPUT, "too large");
}

static void test_what_is_refused(void **state) {
    (void)state;
    foci_error err = {0};
    foci_grid grid = grid_of(3, 2), back = {0};
    double *read = NULL;
    assert_fails(write_layer(scratch_path("severity.tif"), &grid, &err), err, FOCI_NO_FILE, "already");
    assert_fails(write_layer("/no/such/folder/severity.tif", &grid, &err), err, FOCI_NO_FILE, "cannot be written");
    assert_fails(foci_raster_read(&back, &read, scratch_path("missing.tif"), &err), err, FOCI_NO_FILE, "no such file");
    FILE *stream = fopen(scratch_path("text.tif"), "w");
    assert_non_null(stream);
    fputs("walk the north end\n", stream);
    fclose(stream);
    assert_fails(foci_raster_read(&back, &read, scratch_path("text.tif"), &err), err, FOCI_NO_FILE, "not a GeoTIFF");
    double values[6] = {2.385};
    assert_fails(foci_raster_write(scratch_path("x.tif"), &grid, "EPSG:99999", values, "", "", NULL, &err), err,
                 FOCI_NO_FILE, "cannot be written");
    assert_int_equal(access(scratch_path("x.tif"), F_OK), -1);
    assert_null(read);
}

/* The second half of a file is cut off: what is left must not be taken for the whole. */
static void test_torn_file(void **state) {
    (void)state;
    foci_error err = {0};
    foci_grid back = {0};
    double *read = NULL;
    size_t size = 0;
    char *bytes = content("large.tif", &size);
    FILE *stream = fopen(scratch_path("torn.tif"), "wb");
    assert_non_null(stream);
    assert_int_equal(fwrite(bytes, 1, size / 2, stream), size / 2);
    fclose(stream);
    free(bytes);
    assert_fails(foci_raster_read(&back, &read, scratch_path("torn.tif"), &err), err, FOCI_NO_FILE, "cannot be read");
    assert_null(read);
}

static void test_full_disk_leaves_nothing(void **state) {
    (void)state;
    char disk[] = "/tmp/fieldfoci-disk-XXXXXX", path[64];
    foci_error err = {0};
    assert_non_null(mkdtemp(disk));
    small_disk_mount(disk);
    const foci_grid large = grid_of(900, 700);
    snprintf(path, sizeof path, "%s/severity.tif", disk);
    bool ok = write_layer(path, &large, &err);
    int left = small_disk_files(disk);
    small_disk_unmount(disk);
    rmdir(disk);
    assert_false(ok);
    assert_int_equal(err.status, FOCI_NO_FILE);
    assert_non_null(strstr(err.text, "cannot be written"));
    assert_int_equal(left, 0);
}

static bool write_and_read(foci_error *err) {
    foci_grid grid = grid_of(5, 4), back = {0};
    double *read = NULL;
    remove(scratch_path("memory.tif"));
    bool ok = write_layer(scratch_path("memory.tif"), &grid, err) &&
              foci_raster_read(&back, &read, scratch_path("memory.tif"), err);
    free(read);
    free(back.share);
    return ok;
}

static void test_out_of_memory(void **state) {
    (void)state;
    support_fail_each_allocation(write_and_read);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_comes_back),
        cmocka_unit_test(test_words_are_in_the_file),
        cmocka_unit_test(test_same_bytes_twice),
        cmocka_unit_test(test_one_cell_and_extremes),
        cmocka_unit_test(test_what_is_refused),
        cmocka_unit_test(test_torn_file),
        cmocka_unit_test(test_full_disk_leaves_nothing),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}
