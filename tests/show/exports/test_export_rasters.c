#include <gdal.h>

#include "data/files/raster_file.h"
#include "show/exports/export_round.h"

static const char *const raster_files[] = {"severity.tif", "deviation.tif", "low.tif", "high.tif", "chance.tif"};

static const double *raster_layer(const foci_survey *round, size_t index) {
    const double *const layers[] = {round->surface.estimate, round->surface.deviation, round->surface.low,
                                    round->surface.high, round->surface.chance};
    return layers[index];
}

static void test_rasters_come_back(void **unused) {
    (void)unused;
    foci_survey round = make_round(FOCI_READING_COUNT);
    for (size_t k = 0; k < 5; k++) {
        foci_error err = {0};
        foci_grid grid = {0};
        double *layer = NULL;
        write_file(&round, raster_files[k]);
        assert_done(foci_raster_read(&grid, &layer, path_of(raster_files[k]), &err), err);
        assert_int_equal(grid.columns, SCENE_COLUMNS);
        assert_int_equal(grid.rows, SCENE_ROWS);
        assert_near(grid.west, 512340, 0);
        assert_near(grid.north, 4205660, 0);
        assert_near(grid.cell, 20, 0);
        assert_int_equal(grid.cells, round.grid.cells);
        for (size_t i = 0; i < grid.columns * grid.rows; i++)
            assert_near(layer[i], (float)raster_layer(&round, k)[i], 0);
        free(layer);
        foci_grid_free(&grid);
    }
    foci_survey_free(&round);
}

static const char *note(GDALDatasetH file, const char *key) {
    const char *text = GDALGetMetadataItem(file, key, NULL);
    return text ? text : "(none)";
}

static void test_rasters_say_how_they_were_made(void **unused) {
    (void)unused;
    static const char *const units[] = {"percent of units infected", "percent of units infected",
                                        "percent of units infected", "percent of units infected", "0 to 1"};
    static const char *const bands[] = {"severity", "deviation", "low", "high", "chance"};
    foci_survey round = make_round(FOCI_READING_COUNT);
    GDALAllRegister();
    for (size_t k = 0; k < 5; k++) {
        write_file(&round, raster_files[k]);
        GDALDatasetH file = GDALOpen(path_of(raster_files[k]), GA_ReadOnly);
        assert_non_null(file);
        assert_string_equal(note(file, "TIFFTAG_SOFTWARE"), "fieldfoci " FOCI_VERSION);
        assert_string_equal(note(file, "method"), "numbers set by hand");
        assert_string_equal(note(file, "variogram"),
                            "spherical, nugget 0.05, partial sill 0.59, range 897 m, practical range 897 m, longest "
                            "along 30 degrees from grid north, ratio 0.6, given");
        assert_string_equal(note(file, "stops"), "5");
        assert_string_equal(note(file, "threshold"), "10.385");
        assert_string_equal(note(file, "season"), "2025");
        assert_string_equal(note(file, "made"), "2025-06-15T15:06:40Z");
        assert_string_equal(note(file, "unit"), units[k]);
        assert_string_equal(note(file, "reading"), "percent of units infected");
        assert_true(strlen(note(file, "what")) > 20);
        GDALRasterBandH band = GDALGetRasterBand(file, 1);
        assert_string_equal(GDALGetRasterUnitType(band), units[k]);
        assert_string_equal(GDALGetDescription(band), bands[k]);
        assert_int_equal(GDALGetRasterDataType(band), GDT_Float32);
        GDALClose(file);
    }
    foci_survey_free(&round);
}

static void test_what_is_not_known_is_not_said(void **unused) {
    (void)unused;
    foci_survey round = make_round(FOCI_READING_VALUE);
    round.threshold = NAN;
    round.model.facts.variogram = (foci_variogram){0};
    round.season[0] = '\0';
    write_file(&round, "severity.tif");
    GDALAllRegister();
    GDALDatasetH file = GDALOpen(path_of("severity.tif"), GA_ReadOnly);
    assert_non_null(file);
    assert_string_equal(note(file, "threshold"), "(none)");
    assert_string_equal(note(file, "season"), "(none)");
    assert_string_equal(note(file, "variogram"), "none");
    GDALClose(file);
    foci_survey_free(&round);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rasters_come_back),
        cmocka_unit_test(test_rasters_say_how_they_were_made),
        cmocka_unit_test(test_what_is_not_known_is_not_said),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
