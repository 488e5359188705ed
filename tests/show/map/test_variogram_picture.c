/* The picture of semivariances, looked at pixel by pixel. */
#include "fieldfoci/map.h"

#include "show/read_picture.h"

#define INK 0x1A1A1A
#define LINE 0xA23828
#define MADE "2025-08-13T06:30:00Z"

static foci_variogram_bin bins[] = {{12, 14.3, 9.1}, {55, 31.2, 22.7}, {81, 52.9, 31.4}, {64, 71.1, 29.3}};
static const foci_semivariances four = {4, bins, 20, 80, 0};

static foci_variogram model_of(const char *name) {
    return (foci_variogram){.kind = foci_correlation_find(name),
                            .nugget = 4.7,
                            .partial_sill = 26.3,
                            .range = 47,
                            .ratio = 1,
                            .smoothness = 1.5,
                            .fit = "weighted-squares"};
}

static void draw(const char *path, const foci_semivariances *semivariances, const foci_variogram *model) {
    foci_error err = {0};
    assert_done(foci_variogram_picture_write(semivariances, model, "percent of units infected", MADE, path, &err), err);
}

static size_t count_in(const foci_semivariances *semivariances, const foci_variogram *model, uint32_t colour) {
    char path[256];
    picture read;
    scratch_name(path, "variogram.png");
    draw(path, semivariances, model);
    picture_read(&read, path);
    const size_t count = count_colour(read.rgb, (size_t)read.width * read.height, colour);
    picture_free(&read);
    scratch_remove(path);
    return count;
}

static void the_picture_says_what_it_is(void **state) {
    (void)state;
    const foci_variogram model = model_of("spherical");
    char path[256];
    picture read;
    scratch_name(path, "variogram.png");
    draw(path, &four, &model);
    picture_read(&read, path);
    assert_int_equal(read.width, 1200);
    assert_int_equal(read.height, 900);
    assert_int_equal(read.dots_per_metre, 5727);
    assert_string_equal(picture_text(&read, "Title"), "How readings vary with distance");
    assert_string_equal(picture_text(&read, "Software"), "fieldfoci " FOCI_VERSION);
    assert_string_equal(picture_text(&read, "Creation Time"), MADE);
    const char *caption = picture_text(&read, "Description");
    assert_non_null(strstr(caption, "4 classes of distance, 212 pairs of stops")); /* 12 + 55 + 81 + 64 */
    assert_non_null(strstr(caption, "spherical model, weighted-squares, nugget 4.7, partial sill 26.3, "
                                    "range parameter 47 m"));
    picture_free(&read);
    scratch_remove(path);
}

static void the_same_numbers_give_the_same_bytes(void **state) {
    (void)state;
    const foci_variogram model = model_of("exponential");
    char first[256], second[256];
    scratch_name(first, "a.png");
    scratch_name(second, "b.png");
    draw(first, &four, &model);
    draw(second, &four, &model);
    assert_same_files(first, second, true);
    foci_variogram_bin moved[4];
    memcpy(moved, bins, sizeof bins);
    moved[2].semivariance += 3;
    const foci_semivariances other = {4, moved, 20, 80, 0};
    draw(second, &other, &model);
    assert_same_files(first, second, false);
    scratch_remove(first);
    scratch_remove(second);
}

static void every_model_has_a_line(void **state) {
    (void)state;
    for (const foci_correlation *kind = foci_correlations; kind->name; kind++) {
        foci_variogram model = model_of(kind->name);
        const size_t one = count_in(&four, &model, LINE);
        assert_true(one > 3000); /* about 970 pixels wide, 5 high, less where points cover it */
        model.ratio = 0.4;
        model.heading = 30;
        assert_true(count_in(&four, &model, LINE) > one + 300); /* and a thin one across */
    }
}

static void points_grow_with_their_pairs(void **state) {
    (void)state;
    foci_variogram_bin even[] = {{80, 14.3, 9.1}, {80, 31.2, 22.7}, {80, 52.9, 31.4}, {80, 71.1, 29.3}};
    foci_variogram_bin uneven[] = {{2, 14.3, 9.1}, {2, 31.2, 22.7}, {2, 52.9, 31.4}, {80, 71.1, 29.3}};
    const size_t many = count_in(&(foci_semivariances){4, even, 20, 80, 0}, NULL, INK);
    const size_t few = count_in(&(foci_semivariances){4, uneven, 20, 80, 0}, NULL, INK);
    /* discs of radius 14 against 4 + 10 sqrt(2 / 80) = 5.6 pixels: three times 615 against 98 */
    assert_near((double)many - (double)few, 3 * (615.8 - 98.1), 180);
}

/* Without a model or without points, and where nothing varies. */
static void little_to_show_is_no_failure(void **state) {
    (void)state;
    const foci_semivariances none = {0, NULL, 0, 0, 0};
    foci_variogram_bin flat_bins[] = {{12, 14.3, 0}, {55, 31.2, 0}};
    const foci_semivariances flat = {2, flat_bins, 20, 80, 0};
    foci_variogram model = model_of("spherical");
    assert_int_equal(count_in(&four, NULL, LINE), 0);
    assert_int_equal(count_in(&four, &(foci_variogram){0}, LINE), 0);
    assert_true(count_in(&none, &model, LINE) > 1000);
    assert_int_equal(count_in(&none, NULL, LINE), 0);
    model.nugget = model.partial_sill = model.range = 0;
    assert_true(count_in(&flat, &model, INK) > 1000);
}

static void a_place_that_cannot_be_written_is_named(void **state) {
    (void)state;
    foci_error err = {0};
    assert_fails(foci_variogram_picture_write(&four, NULL, "score", MADE, "/proc/nowhere/v.png", &err), err,
                 FOCI_NO_FILE, "cannot be written");
    assert_string_equal(err.source, "/proc/nowhere/v.png");
}

static bool attempt(foci_error *err) {
    const foci_variogram model = model_of("gaussian");
    char path[256];
    scratch_name(path, "variogram.png");
    const bool ok = foci_variogram_picture_write(&four, &model, "score", MADE, path, err);
    assert_int_equal(access(path, F_OK) == 0, ok);
    scratch_remove(path);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_picture_says_what_it_is),  cmocka_unit_test(the_same_numbers_give_the_same_bytes),
        cmocka_unit_test(every_model_has_a_line),       cmocka_unit_test(points_grow_with_their_pairs),
        cmocka_unit_test(little_to_show_is_no_failure), cmocka_unit_test(a_place_that_cannot_be_written_is_named),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
