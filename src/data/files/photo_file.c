#include "data/files/photo_file.h"

#include <cpl_string.h>
#include <cpl_vsi.h>
#include <gdal.h>
#include <gdal_alg.h>
#include <gdal_utils.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/memory.h"
#include "base/plain_file.h"
#include "data/files/crs_text.h"
#include "data/files/gdal_session.h"
#include "data/files/geopackage_guard.h"

#define MOST_BYTES (2L << 30)
#define MOST_DOTS 1600  /* each way: as many as the map's frame has pixels on a sheet */
#define MOST_PIXELS 2e9 /* of the file: all of them may have to be unpacked */

/* No driver that follows references to other files or addresses is on this list. */
static const char *const allowed_drivers[] = {"GTiff", "JP2OpenJPEG", "GPKG", "PNG", "JPEG", NULL};

typedef struct {
    const char *file;
    foci_gdal_talk talk;
    GDALDatasetH own, colors, ground; /* as it is; as three bands of bytes; as it is asked for */
} photo_reading;

/* ---- the file ---- */

/* Whether what stands beside the photo, its name's first `length` letters and one of the endings, is an ordinary file:
 * a pipe would keep its reader waiting. */
static bool check_beside(const char *file, size_t length, const char *const *endings, foci_error *err) {
    bool ok = true;
    for (; ok && *endings; endings++) {
        char *path = foci_format_text(err, "%.*s%s", (int)length, file, *endings);
        ok = path && (access(path, F_OK) != 0 || foci_file_check(path, MOST_BYTES, err));
        free(path);
    }
    return ok;
}

static bool check_companions(const char *file, foci_error *err) {
    static const char *const after[] = {".aux.xml", ".ovr", ".msk", NULL};
    static const char *const instead[] = {".wld",  ".tfw", ".pgw", ".jgw", ".pngw", ".jpgw", ".tifw", ".j2w",
                                          ".tfwx", ".WLD", ".TFW", ".PGW", ".JGW",  ".prj",  NULL};
    const char *slash = strrchr(file, '/'), *dot = strrchr(slash ? slash : file, '.');
    return check_beside(file, strlen(file), after, err) &&
           check_beside(file, dot ? (size_t)(dot - file) : strlen(file), instead, err);
}

static bool open_photo(photo_reading *from, foci_error *err) {
    if (!foci_file_check(from->file, MOST_BYTES, err) || !check_companions(from->file, err) ||
        !foci_geopackage_check(from->file, err))
        return false;
    from->own =
        GDALOpenEx(from->file, GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, allowed_drivers, NULL, NULL);
    if (!from->own || GDALGetRasterCount(from->own) < 1)
        return foci_fail(err, FOCI_NO_FILE, from->file, 0,
                         "not a photo that can be read (GeoTIFF, JPEG 2000, GeoPackage, PNG, JPEG)%s%.200s",
                         from->talk.failures ? ": " : "", from->talk.failures ? from->talk.text : "");
    const double pixels = (double)GDALGetRasterXSize(from->own) * GDALGetRasterYSize(from->own);
    return pixels <= MOST_PIXELS || foci_fail(err, FOCI_NO_FILE, from->file, 0,
                                              "has %.3g pixels; cut out the field, or save it coarser", pixels);
}

/* Whether it says where it lies, and in which system: its own text through `crs`, or the one that was given. */
static bool find_system(char **crs, const photo_reading *from, const char *given, foci_error *err) {
    double corner[6];
    if (GDALGetGeoTransform(from->own, corner) != CE_None)
        return foci_fail(err, FOCI_BAD_INPUT, from->file, 0,
                         "says nothing of where it lies; give a GeoTIFF, or a world file beside it");
    const char *own = GDALGetProjectionRef(from->own);
    if (own && *own && !foci_crs_text_check(own, from->file, err))
        return false;
    if (!(own && *own) && !given)
        return foci_fail(err, FOCI_BAD_INPUT, from->file, 0,
                         "has no coordinate reference system; say which with {crs}, as in {crs} EPSG:4326");
    *crs = foci_copy_text(own && *own ? own : given, err);
    return *crs != NULL;
}

/* ---- three bands of bytes ---- */

static char **color_options(GDALDatasetH photo) {
    GDALRasterBandH first = GDALGetRasterBand(photo, 1);
    const int bands = GDALGetRasterCount(photo);
    char **options = CSLAddString(NULL, "-of");
    options = CSLAddString(options, "VRT");
    if (GDALGetRasterColorTable(first)) {
        options = CSLAddString(options, "-expand");
        return CSLAddString(options, "rgba");
    }
    for (int band = 1; band <= 3; band++) {
        char number[16];
        snprintf(number, sizeof number, "%d", bands >= 3 ? band : 1);
        options = CSLAddString(CSLAddString(options, "-b"), number);
    }
    for (int band = 2; band <= bands; band++)
        if (GDALGetRasterColorInterpretation(GDALGetRasterBand(photo, band)) == GCI_AlphaBand &&
            (band == 2 || band == 4)) {
            char number[16];
            snprintf(number, sizeof number, "%d", band);
            options = CSLAddString(CSLAddString(options, "-b"), number);
        }
    if (GDALGetRasterDataType(first) != GDT_Byte) {
        static const char *const bytes[] = {"-ot", "Byte", "-scale"};
        for (size_t i = 0; i < 3; i++)
            options = CSLAddString(options, bytes[i]);
    }
    return options;
}

static bool take_colors(photo_reading *from, foci_error *err) {
    char **words = color_options(from->own);
    GDALTranslateOptions *options = words ? GDALTranslateOptionsNew(words, NULL) : NULL;
    int failed = 0;
    if (options)
        from->colors = GDALTranslate("", from->own, options, &failed);
    GDALTranslateOptionsFree(options);
    CSLDestroy(words);
    return (from->colors && !failed) ||
           foci_fail(err, FOCI_BAD_INPUT, from->file, 0, "its colors cannot be read: %s", from->talk.text);
}

/* ---- as it is asked for ---- */

static char **add_number(char **words, double number) {
    char text[40];
    snprintf(text, sizeof text, "%.17g", number);
    return CSLAddString(words, text);
}

static GDALDatasetH warp(GDALDatasetH colors, const foci_photo *wanted, const char *crs, const char *work_crs,
                         bool coarser) {
    const double east = wanted->west + wanted->dot * (double)wanted->columns;
    const double south = wanted->north - wanted->dot * (double)wanted->rows;
    const double edges[] = {wanted->west, south, east, wanted->north};
    const char *const fixed[] = {"-of",    "MEM", "-dstalpha", "-r",     coarser ? "average" : "bilinear",
                                 "-s_srs", crs,   "-t_srs",    work_crs, "-te"};
    char **words = NULL;
    for (size_t i = 0; i < sizeof fixed / sizeof *fixed; i++)
        words = CSLAddString(words, fixed[i]);
    for (size_t i = 0; i < 4; i++)
        words = add_number(words, edges[i]);
    words = add_number(add_number(CSLAddString(words, "-ts"), (double)wanted->columns), (double)wanted->rows);
    GDALWarpAppOptions *options = words ? GDALWarpAppOptionsNew(words, NULL) : NULL;
    int failed = 0;
    GDALDatasetH out = options ? GDALWarp("", NULL, 1, &colors, options, &failed) : NULL;
    GDALWarpAppOptionsFree(options);
    CSLDestroy(words);
    return out;
}

/* Side of one of the photo's own pixels about its middle, meters of the work system; NaN where it has none there. */
static double own_dot(const photo_reading *from, const char *crs, const char *work_crs) {
    char **words = CSLAddNameValue(CSLAddNameValue(NULL, "SRC_SRS", crs), "DST_SRS", work_crs);
    void *transformer = GDALCreateGenImgProjTransformer2(from->colors, NULL, words);
    double x[2] = {GDALGetRasterXSize(from->colors) / 2.0, GDALGetRasterXSize(from->colors) / 2.0 + 1};
    double y[2] = {GDALGetRasterYSize(from->colors) / 2.0, GDALGetRasterYSize(from->colors) / 2.0}, z[2] = {0, 0};
    int done[2] = {0, 0};
    const bool ok = transformer && GDALGenImgProjTransform(transformer, FALSE, 2, x, y, z, done) && done[0] && done[1];
    if (transformer)
        GDALDestroyGenImgProjTransformer(transformer);
    CSLDestroy(words);
    return ok ? hypot(x[1] - x[0], y[1] - y[0]) : NAN;
}

static bool read_dots(foci_photo *out, const photo_reading *from, foci_error *err) {
    const size_t count = out->columns * out->rows;
    const int columns = (int)out->columns, rows = (int)out->rows;
    unsigned char *bytes = foci_new_array(4 * count, 1, err);
    out->dots = bytes ? foci_new_array(count, sizeof *out->dots, err) : NULL;
    bool ok = out->dots != NULL;
    if (ok && (GDALGetRasterCount(from->ground) < 4 ||
               GDALDatasetRasterIOEx(from->ground, GF_Read, 0, 0, columns, rows, bytes, columns, rows, GDT_Byte, 4,
                                     NULL, 4, (GSpacing)4 * columns, 1, NULL) != CE_None))
        ok = foci_fail(err, FOCI_NO_FILE, from->file, 0, "cannot be read whole: %s", from->talk.text);
    for (size_t i = 0; ok && i < count; i++) {
        const unsigned char *b = bytes + 4 * i;
        out->dots[i] = (uint32_t)b[3] << 24 | (uint32_t)b[0] << 16 | (uint32_t)b[1] << 8 | b[2];
    }
    free(bytes);
    return ok;
}

/* ---- the credit ---- */

static bool find_credit(char **credit, GDALDatasetH photo, foci_error *err) {
    static const char *const keys[] = {"TIFFTAG_COPYRIGHT", "EXIF_Copyright", "Copyright", "COPYRIGHT",
                                       "TIFFTAG_ARTIST",    "EXIF_Artist",    "Author",    NULL};
    const char *found = NULL;
    for (const char *const *key = keys; *key && !(found && *found); key++)
        found = GDALGetMetadataItem(photo, *key, NULL);
    *credit = foci_copy_text(found ? found : "", err);
    return *credit != NULL;
}

/* ---- the whole ---- */

static void close_all(photo_reading *from) {
    GDALDatasetH *const open[] = {&from->ground, &from->colors, &from->own};
    for (size_t i = 0; i < sizeof open / sizeof *open; i++)
        if (*open[i])
            GDALClose(*open[i]);
}

bool foci_photo_file_read(foci_photo *out, const char *file, foci_box box, const char *work_crs, const char *own_crs,
                          foci_error *err) {
    photo_reading from = {.file = file};
    foci_photo photo = {.west = box.west, .north = box.north};
    const double east = box.east - box.west, north = box.north - box.south;
    char *crs = NULL;
    bool ok = false;
    foci_gdal_begin(&from.talk);
    foci_geopackage_begin();
    if (!open_photo(&from, err) || !find_system(&crs, &from, own_crs, err) || !take_colors(&from, err))
        goto done;
    const double own = own_dot(&from, crs, work_crs), least = fmax(east, north) / MOST_DOTS;
    photo.dot = own > least ? fmin(own, fmax(east, north) / 16) : least;
    photo.columns = (size_t)fmax(1, ceil(east / photo.dot));
    photo.rows = (size_t)fmax(1, ceil(north / photo.dot));
    from.ground = warp(from.colors, &photo, crs, work_crs, own < photo.dot);
    if (!from.ground) {
        foci_fail(err, FOCI_BAD_INPUT, file, 0, "cannot be brought into %s: %s", work_crs, from.talk.text);
        goto done;
    }
    if (!read_dots(&photo, &from, err) || !find_credit(&photo.credit, from.own, err))
        goto done;
    *out = photo;
    photo = (foci_photo){0};
    ok = true;
done:
    close_all(&from);
    foci_geopackage_end();
    foci_gdal_end();
    free(crs);
    free(photo.dots);
    free(photo.credit);
    return ok;
}

/* ---- a picture to be sent along ---- */

/* A dataset of the dots; `bytes` stays the caller's and must outlive it. */
static GDALDatasetH dots_dataset(const unsigned char *bytes, int columns, int rows) {
    GDALDatasetH dots = GDALCreate(GDALGetDriverByName("MEM"), "", columns, rows, 3, GDT_Byte, NULL);
    if (dots && GDALDatasetRasterIOEx(dots, GF_Write, 0, 0, columns, rows, (void *)bytes, columns, rows, GDT_Byte, 3,
                                      NULL, 3, (GSpacing)3 * columns, 1, NULL) != CE_None) {
        GDALClose(dots);
        dots = NULL;
    }
    return dots;
}

bool foci_photo_jpeg(unsigned char **out, size_t *size, const unsigned char *rgb, size_t columns, size_t rows,
                     foci_error *err) {
    char name[64];
    foci_gdal_talk talk;
    vsi_l_offset length = 0;
    GDALDatasetH dots = NULL, file = NULL;
    bool ok = false;
    snprintf(name, sizeof name, "/vsimem/fieldfoci-%p.jpg", (const void *)rgb);
    foci_gdal_begin(&talk);
    GDALDriverH driver = GDALGetDriverByName("JPEG");
    char **options = CSLAddString(CSLAddString(NULL, "QUALITY=75"), "WRITE_EXIF_METADATA=NO");
    dots = dots_dataset(rgb, (int)columns, (int)rows);
    file = dots && driver ? GDALCreateCopy(driver, name, dots, FALSE, options, NULL, NULL) : NULL;
    CSLDestroy(options);
    if (file)
        GDALClose(file);
    if (dots)
        GDALClose(dots);
    GByte *bytes = file ? VSIGetMemFileBuffer(name, &length, FALSE) : NULL;
    if (!bytes || length == 0)
        foci_fail(err, FOCI_NO_FILE, NULL, 0, "the photo cannot be put into the report: %s",
                  driver ? talk.text : "GDAL was built without JPEG");
    else if ((*out = foci_new_array((size_t)length, 1, err)) != NULL) {
        memcpy(*out, bytes, (size_t)length);
        *size = (size_t)length;
        ok = true;
    }
    VSIUnlink(name);
    foci_gdal_end();
    return ok;
}
