/* Rasters and GeoPackage of a comparison, read back. */
#include "show/seasons/seasons_files.h"

#include <gdal.h>

#include "data/files/raster_file.h"
#include "data/files/vector_file.h"
#include "show/read_picture.h"
#include "show/seasons/sample_seasons.h"

static foci_seasons scene_of(size_t count) {
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(sample_seasons_make(&seasons, count, &err), err);
    return seasons;
}

static void write_to(char path[256], const char *name, const foci_seasons *seasons,
                     bool (*write)(const foci_seasons *seasons, const char *path, foci_error *err)) {
    foci_error err = {0};
    scratch_name(path, name);
    assert_done(write(seasons, path, &err), err);
}

/* ---- rasters ---- */

static const char *note(GDALDatasetH file, const char *key) {
    const char *text = GDALGetMetadataItem(file, key, NULL);
    return text ? text : "(none)";
}

static void assert_layer(const char *path, const foci_seasons *seasons, bool classes) {
    foci_grid grid = {0};
    double *layer = NULL;
    foci_error err = {0};
    assert_done(foci_raster_read(&grid, &layer, path, &err), err);
    assert_int_equal(grid.columns, seasons->grid.columns);
    assert_int_equal(grid.rows, seasons->grid.rows);
    assert_near(grid.west, seasons->grid.west, 0);
    assert_near(grid.north, seasons->grid.north, 0);
    for (size_t i = 0; i < grid.columns * grid.rows; i++) {
        const int code = seasons->persistence.class_code[i];
        const double wanted = classes ? (code < 0 ? NAN : code) : (float)seasons->persistence.hot_seasons[i];
        assert_near(layer[i], wanted, 0);
    }
    free(layer);
    foci_grid_free(&grid);
}

static void test_expected_seasons_come_back(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(3);
    char path[256];
    write_to(path, "persistence.tif", &seasons, foci_seasons_persistence);
    assert_layer(path, &seasons, false);
    GDALAllRegister();
    GDALDatasetH file = GDALOpen(path, GA_ReadOnly);
    assert_non_null(file);
    assert_string_equal(note(file, "TIFFTAG_SOFTWARE"), "fieldfoci " FOCI_VERSION);
    assert_string_equal(note(file, "seasons"), "2023, 2024, 2025");
    assert_string_equal(note(file, "thresholds"), "10, 10, 10");
    assert_string_equal(note(file, "stops"), "37, 37, 37");
    assert_string_equal(note(file, "unit"), "seasons");
    assert_string_equal(note(file, "reading"), "percent of units infected");
    assert_string_equal(note(file, "method"), "numbers set by hand");
    assert_string_equal(note(file, "field"), "North Forty");
    assert_string_equal(note(file, "made"), "2026-01-09T08:00:00Z");
    assert_string_equal(note(file, "codes"), "(none)");
    GDALRasterBandH band = GDALGetRasterBand(file, 1);
    assert_string_equal(GDALGetRasterUnitType(band), "seasons");
    assert_string_equal(GDALGetDescription(band), "persistence");
    assert_int_equal(GDALGetRasterDataType(band), GDT_Float32);
    GDALClose(file);
    scratch_remove(path);
    foci_seasons_free(&seasons);
}

static void test_classes_come_back(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(3);
    char path[256];
    write_to(path, "classes.tif", &seasons, foci_seasons_classes);
    assert_layer(path, &seasons, true);
    GDALAllRegister();
    GDALDatasetH file = GDALOpen(path, GA_ReadOnly);
    assert_non_null(file);
    assert_string_equal(note(file, "codes"), "0=never 1=gone 2=new 3=often 4=always 5=unsure");
    assert_string_equal(note(file, "unit"), "class code");
    assert_string_equal(GDALGetDescription(GDALGetRasterBand(file, 1)), "classes");
    GDALClose(file);
    scratch_remove(path);
    foci_seasons_free(&seasons);
}

/* ---- GeoPackage ---- */

static const char *text_at(const foci_table *table, size_t row, const char *column) {
    const long index = foci_table_column(table, column);
    assert_true(index >= 0);
    const char *text = table->cells[row * table->column_count + (size_t)index].text;
    return text ? text : "(blank)";
}

static double number_at(const foci_table *table, size_t row, const char *column) {
    const long index = foci_table_column(table, column);
    assert_true(index >= 0);
    return table->cells[row * table->column_count + (size_t)index].number;
}

static void read_layer(foci_table *table, const char *path, const char *layer) {
    foci_error err = {0};
    assert_done(foci_table_read_layer(table, path, layer, &err), err);
}

static void test_places_come_back(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    foci_table table = {0};
    char path[256];
    write_to(path, "persistence.gpkg", &seasons, foci_seasons_geopackage);
    read_layer(&table, path, "classes");
    assert_int_equal(table.row_count, seasons.places.count);
    assert_true(seasons.places.count >= 5); /* each class but often */
    for (size_t i = 0; i < table.row_count; i++) {
        const foci_class_place *place = &seasons.places.items[i];
        const bool first = place->hot[0], second = place->hot[1];
        assert_string_equal(text_at(&table, i, "class"), foci_class_name(place->code));
        assert_near(number_at(&table, i, "id"), place->id > 0 ? place->id : NAN, 0);
        assert_near(number_at(&table, i, "area_ha"), place->area_ha, 1e-12);
        assert_near(number_at(&table, i, "chance"), place->chance, 1e-12);
        assert_string_equal(text_at(&table, i, "seasons"), first && second ? "2024, 2025"
                                                           : first         ? "2024"
                                                           : second        ? "2025"
                                                                           : "(blank)");
        assert_int_equal(table.shapes[i].kind, FOCI_SHAPE_AREA);
        assert_near(foci_multipolygon_area(&table.shapes[i].area), foci_multipolygon_area(&place->lonlat), 1e-15);
    }
    assert_string_equal(text_at(&table, 0, "class"), "always");
    assert_string_equal(text_at(&table, 0, "seasons"), "2024, 2025");
    assert_non_null(strstr(table.crs, "WGS 84"));
    foci_table_free(&table);
    scratch_remove(path);
    foci_seasons_free(&seasons);
}

static void test_field_and_stops_come_back(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    foci_table table = {0};
    char path[256];
    write_to(path, "persistence.gpkg", &seasons, foci_seasons_geopackage);
    read_layer(&table, path, "field");
    assert_int_equal(table.row_count, 1);
    assert_string_equal(text_at(&table, 0, "name"), "North Forty");
    assert_near(number_at(&table, 0, "area_ha"), seasons.rounds[0].field.area_ha, 1e-12);
    foci_table_free(&table);
    read_layer(&table, path, "stops");
    const size_t each = seasons.rounds[0].stops.count;
    assert_int_equal(table.row_count, 2 * each);
    for (size_t i = 0; i < table.row_count; i++) {
        const foci_stop *stop = &seasons.rounds[i / each].stops.items[i % each];
        assert_string_equal(text_at(&table, i, "season"), i < each ? "2024" : "2025");
        assert_string_equal(text_at(&table, i, "stop"), stop->name);
        assert_near(number_at(&table, i, "hits"), stop->hits, 0);
        assert_near(number_at(&table, i, "checked"), stop->checked, 0);
        assert_string_equal(text_at(&table, i, "date"), stop->date);
        assert_string_equal(text_at(&table, i, "used"), stop->used ? "yes" : "no");
        assert_near(table.shapes[i].point.x, stop->lonlat.x, 1e-12);
        assert_near(table.shapes[i].point.y, stop->lonlat.y, 1e-12);
    }
    assert_int_equal(foci_table_column(&table, "value"), -1);
    foci_table_free(&table);
    scratch_remove(path);
    foci_seasons_free(&seasons);
}

/* Scores have a value in place of hits and checked. */
static void test_scores_have_values(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    foci_table table = {0};
    char path[256];
    for (size_t s = 0; s < 2; s++)
        seasons.rounds[s].stops.kind = FOCI_READING_VALUE;
    seasons.rounds[1].stops.items[3].value = 2.385;
    seasons.rounds[1].stops.items[4].lonlat = (foci_point){NAN, NAN};
    write_to(path, "persistence.gpkg", &seasons, foci_seasons_geopackage);
    read_layer(&table, path, "stops");
    const size_t each = seasons.rounds[0].stops.count;
    assert_near(number_at(&table, each + 3, "value"), 2.385, 0);
    assert_int_equal(table.shapes[each + 4].kind, FOCI_SHAPE_NONE);
    assert_int_equal(foci_table_column(&table, "hits"), -1);
    foci_table_free(&table);
    scratch_remove(path);
    foci_seasons_free(&seasons);
}

/* The layers are there; that of the classes is empty. */
static void test_no_comparison_has_no_places(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    foci_table table = {0};
    char path[256];
    foci_error err = {0};
    assert_done(sample_seasons_uncompare(&seasons, &err), err);
    write_to(path, "persistence.gpkg", &seasons, foci_seasons_geopackage);
    assert_fails(foci_table_read_layer(&table, path, "classes", &err), err, FOCI_BAD_INPUT, "no feature");
    err = (foci_error){0};
    read_layer(&table, path, "stops");
    foci_table_free(&table);
    scratch_remove(path);
    foci_seasons_free(&seasons);
}

static void test_the_file_says_where_it_comes_from(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    char path[256];
    write_to(path, "persistence.gpkg", &seasons, foci_seasons_geopackage);
    GDALAllRegister();
    GDALDatasetH file = GDALOpenEx(path, GDAL_OF_VECTOR, NULL, NULL, NULL);
    assert_non_null(file);
    assert_string_equal(note(file, "program"), "fieldfoci " FOCI_VERSION);
    assert_string_equal(note(file, "made"), "2026-01-09T08:00:00Z");
    assert_string_equal(note(file, "seasons"), "2024, 2025");
    assert_string_equal(note(file, "method"), "numbers set by hand");
    GDALClose(file);
    scratch_remove(path);
    foci_seasons_free(&seasons);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_expected_seasons_come_back),
        cmocka_unit_test(test_classes_come_back),
        cmocka_unit_test(test_places_come_back),
        cmocka_unit_test(test_field_and_stops_come_back),
        cmocka_unit_test(test_scores_have_values),
        cmocka_unit_test(test_no_comparison_has_no_places),
        cmocka_unit_test(test_the_file_says_where_it_comes_from),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
