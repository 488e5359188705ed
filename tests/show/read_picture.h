/* A PNG file read back: its pixels, its resolution and its texts. */
#ifndef FOCI_TESTS_READ_PICTURE_H
#define FOCI_TESTS_READ_PICTURE_H

#include "support/support.h"

#include <png.h>
#include <unistd.h>

typedef struct {
    unsigned width, height;
    unsigned char *rgb;
    unsigned dots_per_metre;
    int text_count;
    char keys[8][40];
    char texts[8][2048];
    int kinds[8]; /* PNG_TEXT_COMPRESSION_NONE for tEXt */
} picture;

static inline void picture_read(picture *out, const char *path) {
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    assert_non_null(png);
    png_infop info = png_create_info_struct(png);
    assert_non_null(info);
    png_init_io(png, file);
    png_read_png(png, info, PNG_TRANSFORM_IDENTITY, NULL);
    memset(out, 0, sizeof *out);
    out->width = png_get_image_width(png, info);
    out->height = png_get_image_height(png, info);
    assert_int_equal(png_get_color_type(png, info), PNG_COLOR_TYPE_RGB);
    assert_int_equal(png_get_bit_depth(png, info), 8);
    out->rgb = malloc((size_t)3 * out->width * out->height);
    assert_non_null(out->rgb);
    png_bytepp rows = png_get_rows(png, info);
    for (unsigned row = 0; row < out->height; row++)
        memcpy(out->rgb + (size_t)3 * out->width * row, rows[row], (size_t)3 * out->width);
    out->dots_per_metre = png_get_pixels_per_meter(png, info);
    png_textp texts = NULL;
    png_get_text(png, info, &texts, &out->text_count);
    assert_true(out->text_count <= 8);
    for (int i = 0; i < out->text_count; i++) {
        snprintf(out->keys[i], sizeof out->keys[i], "%s", texts[i].key);
        snprintf(out->texts[i], sizeof out->texts[i], "%s", texts[i].text);
        out->kinds[i] = texts[i].compression;
    }
    png_destroy_read_struct(&png, &info, NULL);
    fclose(file);
}

static inline void picture_free(picture *read) {
    free(read->rgb);
    read->rgb = NULL;
}

/* The text of a keyword; the test fails where there is none. */
static inline const char *picture_text(const picture *read, const char *key) {
    for (int i = 0; i < read->text_count; i++)
        if (strcmp(read->keys[i], key) == 0)
            return read->texts[i];
    fail_msg("no text '%s'", key);
    return "";
}

/* Of pixels as they come from a canvas or a file. */
static inline uint32_t pixel_at(const unsigned char *rgb, unsigned width, int x, int y) {
    const unsigned char *pixel = rgb + 3 * ((size_t)y * width + (size_t)x);
    return (uint32_t)pixel[0] << 16 | (uint32_t)pixel[1] << 8 | pixel[2];
}

static inline size_t count_colour(const unsigned char *rgb, size_t pixels, uint32_t colour) {
    size_t count = 0;
    for (size_t i = 0; i < pixels; i++)
        count += pixel_at(rgb, (unsigned)pixels, (int)i, 0) == colour;
    return count;
}

/* A name in a new folder of its own. */
static inline void scratch_name(char path[256], const char *name) {
    char folder[] = "/tmp/fieldfoci-show-XXXXXX";
    assert_non_null(mkdtemp(folder));
    snprintf(path, 256, "%s/%s", folder, name);
}

static inline void scratch_remove(char path[256]) {
    remove(path);
    *strrchr(path, '/') = '\0';
    assert_int_equal(rmdir(path), 0); /* nothing but the file itself was left there */
}

/* A whole file; owned by the caller. */
static inline char *file_bytes(const char *path, size_t *size) {
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    fseek(file, 0, SEEK_END);
    *size = (size_t)ftell(file);
    rewind(file);
    char *bytes = malloc(*size + 1);
    assert_non_null(bytes);
    assert_int_equal(fread(bytes, 1, *size, file), *size);
    fclose(file);
    return bytes;
}

static inline void assert_same_files(const char *first, const char *second, bool same) {
    size_t sizes[2];
    char *a = file_bytes(first, &sizes[0]), *b = file_bytes(second, &sizes[1]);
    assert_int_equal(sizes[0] == sizes[1] && memcmp(a, b, sizes[0]) == 0, same);
    free(a);
    free(b);
}

#endif
