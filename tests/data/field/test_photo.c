/* Photos that tell where they lie: each pixel's color is its own column and row. */
#include "fieldfoci/photo.h"

#include <cpl_conv.h>
#include <cpl_vsi.h>
#include <gdal.h>
#include <ogr_srs_api.h>
#include <sys/stat.h>

#include "data/files/photo_file.h"
#include "data/places/projection.h"
#include "support/scratch.h"

#define WORK "EPSG:32617"
#define COLUMNS 200
#define ROWS 120

/* A rectangle of 300 by 200 m near 42 N in zone 17. */
static foci_point corners[] = {{500100, 4650100}, {500400, 4650100}, {500400, 4650300}, {500100, 4650300}};
static foci_ring ring = {4, corners};
static foci_polygon polygon = {1, &ring};
static const foci_multipolygon ground = {1, &polygon};

/* Red is the column, green the row, blue 77: `bands` of them, of `type`, with the place and system given. */
static const char *draw_photo(const char *name, const char *driver, int bands, GDALDataType type, const double *place,
                              const char *crs, const char *artist) {
    static char path[400];
    const int values[] = {0, 1, 77, 255};
    snprintf(path, sizeof path, "%s/%s", scratch_folder, name);
    GDALAllRegister();
    GDALDatasetH memory = GDALCreate(GDALGetDriverByName("MEM"), "", COLUMNS, ROWS, bands, type, NULL);
    assert_non_null(memory);
    for (int band = 0; band < bands; band++) {
        double row[COLUMNS];
        for (int y = 0; y < ROWS; y++) {
            for (int x = 0; x < COLUMNS; x++)
                row[x] = (band == 0 ? x : band == 1 ? y : values[band]) * (type == GDT_UInt16 ? 256 : 1);
            assert_int_equal(GDALRasterIO(GDALGetRasterBand(memory, band + 1), GF_Write, 0, y, COLUMNS, 1, row, COLUMNS,
                                          1, GDT_Float64, 0, 0),
                             CE_None);
        }
    }
    if (place)
        assert_int_equal(GDALSetGeoTransform(memory, (double *)place), CE_None);
    if (crs) {
        OGRSpatialReferenceH system = OSRNewSpatialReference(NULL);
        char *wkt = NULL;
        assert_int_equal(OSRSetFromUserInput(system, crs), OGRERR_NONE);
        assert_int_equal(OSRExportToWkt(system, &wkt), OGRERR_NONE);
        assert_int_equal(GDALSetProjection(memory, wkt), CE_None);
        CPLFree(wkt);
        OSRDestroySpatialReference(system);
    }
    if (artist)
        GDALSetMetadataItem(memory, "TIFFTAG_COPYRIGHT", artist, NULL);
    GDALDatasetH file = GDALCreateCopy(GDALGetDriverByName(driver), path, memory, FALSE, NULL, NULL, NULL);
    assert_non_null(file);
    GDALClose(file);
    GDALClose(memory);
    return path;
}

/* 2 m a pixel, the ground in its middle. */
static const double placed[] = {500050, 2, 0, 4650320, 0, -2};

static void assert_shows(const foci_photo *photo, foci_point place, double column, double row, double tolerance) {
    uint32_t color = 0;
    assert_true(foci_photo_at(&color, photo, place));
    assert_near(color >> 16, column, tolerance);
    assert_near(color >> 8 & 0xFF, row, tolerance);
    assert_int_equal(color & 0xFF, 77);
}

static void each_place_shows_its_pixel(void **state) {
    (void)state;
    const foci_photo_options none = {0};
    foci_photo photo = {0};
    foci_error err = {0};
    uint32_t color = 0;
    const char *path = draw_photo("a.tif", "GTiff", 3, GDT_Byte, placed, WORK, "Ada Wren\n2026");
    assert_done(foci_photo_read(&photo, path, &ground, WORK, &none, &err), err);
    assert_string_equal(photo.credit, "Ada Wren 2026"); /* one line */
    assert_near(photo.dot, 2, 1e-9);                    /* no finer than the photo */
    /* Nearest dots: half a dot off at most, and the dots' grid need not be the pixels'. */
    for (int i = 0; i < 50; i++) {
        const foci_point place = {500105 + 5.83 * i, 4650295 - 3.71 * i};
        assert_shows(&photo, place, (place.x - placed[0]) / 2 - 0.5, (placed[3] - place.y) / 2 - 0.5, 1.01);
    }
    assert_false(foci_photo_at(&color, &photo, (foci_point){500000, 4650200}));
    foci_photo_free(&photo);
    foci_photo_free(&photo);
    assert_false(foci_photo_at(&color, &photo, (foci_point){500200, 4650200}));
}

/* In degrees, with a world file and --crs: by PROJ's own way there. */
static void another_system_is_brought_over(void **state) {
    (void)state;
    const double degrees[] = {-81.0001, 0.00003, 0, 42.0045, 0, -0.00003};
    const foci_photo_options given = {.crs = "EPSG:4326", .credit = "A. Wren"};
    foci_photo photo = {0};
    foci_error err = {0};
    foci_projection *projection = NULL;
    foci_point middle = {500250, 4650200};
    assert_done(foci_projection_open(&projection, "EPSG:4326", WORK, &err), err);
    assert_int_equal(foci_projection_inverse(projection, &middle, 1), 0);
    const double moved[] = {middle.x - 100 * degrees[1], degrees[1], 0, middle.y - 60 * degrees[5], 0, degrees[5]};
    const char *path = draw_photo("b.png", "PNG", 3, GDT_Byte, NULL, NULL, NULL);
    char world[400];
    snprintf(world, sizeof world, "%.12f\n0\n0\n%.12f\n%.12f\n%.12f\n", moved[1], moved[5], moved[0] + moved[1] / 2,
             moved[3] + moved[5] / 2);
    scratch_write("b.pgw", world);
    assert_done(foci_photo_read(&photo, path, &ground, WORK, &given, &err), err);
    assert_string_equal(photo.credit, "A. Wren");
    for (int i = -20; i <= 20; i++) {
        foci_point place = {500250 + 6.1 * i, 4650200 + 3.3 * i}, lonlat = place;
        assert_int_equal(foci_projection_inverse(projection, &lonlat, 1), 0);
        assert_shows(&photo, place, (lonlat.x - moved[0]) / moved[1] - 0.5, (lonlat.y - moved[3]) / moved[5] - 0.5,
                     1.6);
    }
    foci_projection_close(projection);
    foci_photo_free(&photo);
    assert_fails(foci_photo_read(&photo, path, &ground, WORK, &(foci_photo_options){0}, &err), err, FOCI_BAD_INPUT,
                 "{crs}");
}

/* Gray, sixteen bits, four bands with a last one that is no transparency. */
static void other_colors_become_three(void **state) {
    (void)state;
    const foci_photo_options none = {0};
    foci_photo photo = {0};
    foci_error err = {0};
    uint32_t color = 0;
    const foci_point place = {500250, 4650200};
    assert_done(foci_photo_read(&photo, draw_photo("gray.tif", "GTiff", 1, GDT_Byte, placed, WORK, NULL), &ground, WORK,
                                &none, &err),
                err);
    assert_true(foci_photo_at(&color, &photo, place));
    assert_true(color >> 16 == (color & 0xFF) && color >> 16 == (color >> 8 & 0xFF));
    assert_near(color & 0xFF, 99.5, 1.01);
    assert_string_equal(photo.credit, "");
    foci_photo_free(&photo);
    assert_done(foci_photo_read(&photo, draw_photo("deep.tif", "GTiff", 4, GDT_UInt16, placed, WORK, NULL), &ground,
                                WORK, &none, &err),
                err);
    assert_true(foci_photo_at(&color, &photo, place));
    assert_near(color >> 16, 99.5 * 255 / 199, 2); /* stretched from its own least to its own most */
    foci_photo_free(&photo);
}

static void what_is_no_photo_of_the_ground_is_refused(void **state) {
    (void)state;
    const foci_photo_options none = {0};
    const double elsewhere[] = {600050, 2, 0, 4650320, 0, -2};
    foci_photo photo = {0};
    foci_error err = {0};
    const struct {
        const char *path, *said;
        foci_status status;
    } cases[] = {
        {"/nowhere/photo.tif", "photo.tif", FOCI_NO_FILE},
        {scratch_write("text.tif", "not a photo"), "not a photo", FOCI_NO_FILE},
        {scratch_write("x.vrt", "<VRTDataset rasterXSize=\"1\" rasterYSize=\"1\"></VRTDataset>"), "not a photo",
         FOCI_NO_FILE},
        {"/vsicurl/http://example.org/a.tif", "/vsicurl", FOCI_NO_FILE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        assert_fails(foci_photo_read(&photo, cases[i].path, &ground, WORK, &none, &err), err, cases[i].status, "");
        char line[1024];
        foci_error_line(&err, line, sizeof line);
        assert_non_null(strstr(line, cases[i].said));
    }
    assert_fails(foci_photo_read(&photo, draw_photo("far.tif", "GTiff", 3, GDT_Byte, elsewhere, WORK, NULL), &ground,
                                 WORK, &none, &err),
                 err, FOCI_BAD_INPUT, "does not show the field");
    assert_fails(foci_photo_read(&photo, draw_photo("lost.png", "PNG", 3, GDT_Byte, NULL, NULL, NULL), &ground, WORK,
                                 &none, &err),
                 err, FOCI_BAD_INPUT, "world file");
    char pipe[400];
    snprintf(pipe, sizeof pipe, "%s/lost.pgw", scratch_folder);
    assert_int_equal(mkfifo(pipe, 0600), 0);
    snprintf(pipe, sizeof pipe, "%s/lost.png", scratch_folder);
    assert_fails(foci_photo_read(&photo, pipe, &ground, WORK, &none, &err), err, FOCI_NO_FILE, "");
    assert_null(photo.dots);
}

/* What shows the strip round the ground alone is no photo of it; what shows half of it says so. */
static void how_much_of_the_ground_is_shown(void **state) {
    (void)state;
    const foci_photo_options none = {0};
    const double beside[] = {500405, 2, 0, 4650320, 0, -2}, half[] = {500250, 2, 0, 4650320, 0, -2};
    foci_photo photo = {0};
    foci_error err = {0};
    assert_fails(foci_photo_read(&photo, draw_photo("beside.tif", "GTiff", 3, GDT_Byte, beside, WORK, NULL), &ground,
                                 WORK, &none, &err),
                 err, FOCI_BAD_INPUT, "does not show the field");
    assert_done(foci_photo_read(&photo, draw_photo("half.tif", "GTiff", 3, GDT_Byte, half, WORK, NULL), &ground, WORK,
                                &none, &err),
                err);
    assert_near(photo.share, 0.5, 0.02);
    foci_photo_free(&photo);
    assert_done(foci_photo_read(&photo, draw_photo("whole.tif", "GTiff", 3, GDT_Byte, placed, WORK, NULL), &ground,
                                WORK, &none, &err),
                err);
    assert_near(photo.share, 1, 0);
    foci_photo_free(&photo);
}

/* A picture that is sent along, as another reader has it. */
static void a_picture_becomes_a_jpeg(void **state) {
    (void)state;
    unsigned char rgb[3 * 32 * 24], *bytes = NULL, color[3] = {0};
    size_t size = 0;
    foci_error err = {0};
    for (size_t i = 0; i < sizeof rgb; i++)
        rgb[i] = (unsigned char)(i % 3 == 0 ? 200 : i % 3 == 1 ? 120 : 40);
    assert_done(foci_photo_jpeg(&bytes, &size, rgb, 32, 24, &err), err);
    assert_true(size > 100 && bytes[0] == 0xFF && bytes[1] == 0xD8);
    VSILFILE *file = VSIFileFromMemBuffer("/vsimem/sent.jpg", bytes, size, FALSE);
    GDALDatasetH sent = GDALOpen("/vsimem/sent.jpg", GA_ReadOnly);
    assert_non_null(sent);
    assert_int_equal(GDALGetRasterXSize(sent), 32);
    assert_int_equal(GDALDatasetRasterIO(sent, GF_Read, 16, 12, 1, 1, color, 1, 1, GDT_Byte, 3, NULL, 0, 0, 0),
                     CE_None);
    for (int band = 0; band < 3; band++)
        assert_near(color[band], rgb[band], 4);
    GDALClose(sent);
    VSIFCloseL(file);
    VSIUnlink("/vsimem/sent.jpg");
    free(bytes);
}

static bool attempt(foci_error *err) {
    static char path[400];
    const foci_photo_options given = {.credit = "A. Wren"};
    foci_photo photo = {0};
    if (!*path)
        snprintf(path, sizeof path, "%s", draw_photo("fail.tif", "GTiff", 3, GDT_Byte, placed, WORK, NULL));
    const bool ok = foci_photo_read(&photo, path, &ground, WORK, &given, err);
    foci_photo_free(&photo);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_place_shows_its_pixel),      cmocka_unit_test(another_system_is_brought_over),
        cmocka_unit_test(other_colors_become_three),       cmocka_unit_test(what_is_no_photo_of_the_ground_is_refused),
        cmocka_unit_test(how_much_of_the_ground_is_shown), cmocka_unit_test(a_picture_becomes_a_jpeg),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}
