/* Pictures written and read back by libpng's own reader. */
#include "show/draw/png_file.h"

#include "show/read_picture.h"

#include <signal.h>
#include <sys/resource.h>

#define WIDTH 37
#define HEIGHT 23

/* No two neighbours alike, so that a swapped row or channel shows. */
static unsigned char *make_pixels(unsigned width, unsigned height) {
    unsigned char *rgb = malloc((size_t)3 * width * height);
    assert_non_null(rgb);
    uint32_t state = 2385;
    for (size_t i = 0; i < (size_t)3 * width * height; i++) {
        state = state * 1664525U + 1013904223U;
        rgb[i] = (unsigned char)(state >> 24);
    }
    return rgb;
}

static const foci_png_text texts[] = {{"Title", "Two hotspots, 3.1 acres (1.3 ha)"},
                                      {"Software", "fieldfoci 0"},
                                      {"Description", "20 \xC2\xB0"
                                                      "C"},
                                      {0}};

static void what_is_written_is_read(void **state) {
    (void)state;
    foci_error err = {0};
    char path[256];
    picture read;
    unsigned char *rgb = make_pixels(WIDTH, HEIGHT);
    scratch_name(path, "picture.png");
    assert_done(foci_png_write(path, rgb, WIDTH, HEIGHT, 5727, texts, &err), err);
    picture_read(&read, path);
    assert_int_equal(read.width, WIDTH);
    assert_int_equal(read.height, HEIGHT);
    assert_int_equal(read.dots_per_metre, 5727);
    assert_memory_equal(read.rgb, rgb, 3 * WIDTH * HEIGHT);
    assert_int_equal(read.text_count, 3);
    assert_string_equal(picture_text(&read, "Title"), texts[0].text);
    assert_string_equal(picture_text(&read, "Software"), texts[1].text);
    assert_string_equal(picture_text(&read, "Description"), texts[2].text);
    picture_free(&read);
    free(rgb);
    scratch_remove(path);
}

/* The PNG specification (section 11.3.4): tEXt is Latin-1, iTXt is UTF-8. */
static void other_letters_go_into_itxt(void **state) {
    (void)state;
    foci_error err = {0};
    char path[256];
    picture read;
    unsigned char *rgb = make_pixels(WIDTH, HEIGHT);
    scratch_name(path, "picture.png");
    assert_done(foci_png_write(path, rgb, WIDTH, HEIGHT, 5727, texts, &err), err);
    picture_read(&read, path);
    for (int i = 0; i < read.text_count; i++)
        assert_int_equal(read.kinds[i], strcmp(read.keys[i], "Description") == 0 ? PNG_ITXT_COMPRESSION_NONE
                                                                                 : PNG_TEXT_COMPRESSION_NONE);
    picture_free(&read);
    free(rgb);
    scratch_remove(path);
}

static void the_same_picture_gives_the_same_bytes(void **state) {
    (void)state;
    foci_error err = {0};
    char first[256], second[256];
    unsigned char *rgb = make_pixels(WIDTH, HEIGHT);
    scratch_name(first, "a.png");
    scratch_name(second, "b.png");
    assert_done(foci_png_write(first, rgb, WIDTH, HEIGHT, 5727, texts, &err), err);
    assert_done(foci_png_write(second, rgb, WIDTH, HEIGHT, 5727, texts, &err), err);
    assert_same_files(first, second, true);
    rgb[17] ^= 1;
    assert_done(foci_png_write(second, rgb, WIDTH, HEIGHT, 5727, texts, &err), err);
    assert_same_files(first, second, false);
    free(rgb);
    scratch_remove(first);
    scratch_remove(second);
}

static void a_place_that_cannot_be_written_is_named(void **state) {
    (void)state;
    foci_error err = {0};
    unsigned char *rgb = make_pixels(WIDTH, HEIGHT);
    assert_fails(foci_png_write("/proc/nowhere/picture.png", rgb, WIDTH, HEIGHT, 5727, texts, &err), err, FOCI_NO_FILE,
                 "cannot be written");
    assert_string_equal(err.source, "/proc/nowhere/picture.png");
    free(rgb);
}

/* A limit on the size of files stands for a disk that fills up: once in libpng's writes, once in the last flush. */
static void a_full_disk_leaves_nothing_behind(void **state) {
    (void)state;
    const unsigned sides[] = {600, 20};
    const rlim_t limits[] = {100000, 600};
    struct rlimit before;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    signal(SIGXFSZ, SIG_IGN);
    for (int i = 0; i < 2; i++) {
        foci_error err = {0};
        char path[256];
        unsigned char *rgb = make_pixels(sides[i], sides[i]);
        scratch_name(path, "picture.png");
        const struct rlimit little = {limits[i], before.rlim_max};
        assert_int_equal(setrlimit(RLIMIT_FSIZE, &little), 0);
        const bool ok = foci_png_write(path, rgb, sides[i], sides[i], 5727, texts, &err);
        assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
        assert_false(ok);
        assert_int_equal(err.status, FOCI_NO_FILE);
        assert_non_null(strstr(err.text, "File too large"));
        assert_int_not_equal(access(path, F_OK), 0);
        free(rgb);
        scratch_remove(path);
    }
}

/* Zero width is libpng's own refusal. */
static void what_libpng_says_is_told(void **state) {
    (void)state;
    foci_error err = {0};
    char path[256];
    const unsigned char rgb[3] = {0};
    scratch_name(path, "picture.png");
    assert_fails(foci_png_write(path, rgb, 0, 1, 5727, texts, &err), err, FOCI_NO_FILE, "Invalid IHDR");
    assert_int_not_equal(access(path, F_OK), 0);
    scratch_remove(path);
}

static void bytes_in_memory_are_those_of_the_file(void **state) {
    (void)state;
    foci_error err = {0};
    char path[256];
    unsigned char *rgb = make_pixels(61, 37), *bytes = NULL;
    size_t size = 0, file_size = 0;
    scratch_name(path, "picture.png");
    assert_true(foci_png_write(path, rgb, 61, 37, 5727, texts, &err));
    assert_true(foci_png_bytes(&bytes, &size, rgb, 61, 37, 5727, texts, &err));
    char *file = file_bytes(path, &file_size);
    assert_int_equal(size, file_size);
    assert_memory_equal(bytes, file, size);
    assert_fails(foci_png_bytes(&bytes, &size, rgb, 0, 1, 5727, texts, &err), err, FOCI_NO_FILE, "Invalid IHDR");
    free(file);
    free(bytes);
    free(rgb);
    scratch_remove(path);
}

static void what_is_written_quickly_is_read(void **state) {
    (void)state;
    foci_error err = {0};
    char path[256];
    picture read;
    unsigned char *rgb = make_pixels(WIDTH, HEIGHT), *bytes = NULL;
    size_t size = 0;
    scratch_name(path, "picture.png");
    assert_done(foci_png_quick_bytes(&bytes, &size, rgb, WIDTH, HEIGHT, 3780, &err), err);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, size, file), size);
    assert_int_equal(fclose(file), 0);
    picture_read(&read, path);
    assert_int_equal(read.width, WIDTH);
    assert_int_equal(read.height, HEIGHT);
    assert_int_equal(read.dots_per_metre, 3780);
    assert_memory_equal(read.rgb, rgb, 3 * WIDTH * HEIGHT);
    assert_int_equal(read.text_count, 0);
    picture_free(&read);
    free(bytes);
    free(rgb);
    scratch_remove(path);
}

static bool attempt(foci_error *err) {
    unsigned char rgb[27] = {0}, *bytes = NULL;
    size_t size = 0;
    const bool ok = foci_png_bytes(&bytes, &size, rgb, 3, 3, 5727, texts, err);
    free(bytes);
    return ok;
}

static void each_allocation_in_memory_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_written_is_read),
        cmocka_unit_test(what_is_written_quickly_is_read),
        cmocka_unit_test(other_letters_go_into_itxt),
        cmocka_unit_test(the_same_picture_gives_the_same_bytes),
        cmocka_unit_test(a_place_that_cannot_be_written_is_named),
        cmocka_unit_test(a_full_disk_leaves_nothing_behind),
        cmocka_unit_test(what_libpng_says_is_told),
        cmocka_unit_test(bytes_in_memory_are_those_of_the_file),
        cmocka_unit_test(each_allocation_in_memory_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
