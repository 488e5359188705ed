/* The picture of the stops, looked at pixel by pixel. */
#include "fieldfoci/map.h"

#include "show/read_picture.h"
#include "show/sample_round.h"

#define INK 0x1A1A1A

static size_t ink_of(const foci_survey *survey, picture *out) {
    foci_error err = {0};
    char path[256];
    picture read;
    scratch_name(path, "dots.png");
    assert_done(foci_dot_map_write_png(survey, path, &err), err);
    picture_read(&read, path);
    const size_t count = count_colour(read.rgb, (size_t)read.width * read.height, INK);
    scratch_remove(path);
    if (out)
        *out = read;
    else
        picture_free(&read);
    return count;
}

static void the_picture_says_what_it_is(void **state) {
    (void)state;
    foci_error err = {0};
    foci_survey survey = {0};
    picture read;
    assert_done(sample_round_make(&survey, &err), err);
    assert_true(ink_of(&survey, &read) > 5000);
    assert_int_equal(read.width, 1600);
    assert_string_equal(picture_text(&read, "Title"), "The stops as they were read");
    assert_non_null(strstr(picture_text(&read, "Description"), "no map"));
    picture_free(&read);
    foci_survey_free(&survey);
}

/* A disc for much is larger than one for little, and that is larger than the ring for nothing. */
static void more_disease_takes_more_ink(void **state) {
    (void)state;
    foci_error err = {0};
    foci_survey survey = {0};
    size_t ink[3];
    const double parts[] = {0, 0.2, 0.6};
    assert_done(sample_round_make(&survey, &err), err);
    survey.used.surface.threshold = 25;
    for (size_t i = 0; i < survey.stops.count; i++)
        survey.stops.items[i].name[0] = '\0'; /* names would move about */
    for (int k = 0; k < 3; k++) {
        for (size_t i = 0; i < survey.readings.count; i++)
            survey.readings.values[i] = 100 * parts[k];
        ink[k] = ink_of(&survey, NULL);
    }
    assert_true(ink[1] > ink[0] + 20 * survey.readings.count);
    assert_true(ink[2] > ink[1] + 100 * survey.readings.count);
    foci_survey_free(&survey);
}

static foci_survey *drawn;

static bool attempt(foci_error *err) {
    char path[256];
    scratch_name(path, "dots.png");
    const bool ok = foci_dot_map_write_png(drawn, path, err);
    unlink(path);
    return ok;
}

static void allocations_may_fail(void **state) {
    (void)state;
    foci_error err = {0};
    foci_survey survey = {0};
    assert_done(sample_round_make(&survey, &err), err);
    drawn = &survey;
    for (long n = 0, done = 0; !done; n += 9) { /* a picture each: not every one */
        err = (foci_error){0};
        foci_memory_fail_after(n);
        done = attempt(&err);
        foci_memory_fail_after(-1);
        assert_int_equal(err.status, done ? FOCI_OK : FOCI_NO_MEMORY);
    }
    foci_survey_free(&survey);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_picture_says_what_it_is),
        cmocka_unit_test(more_disease_takes_more_ink),
        cmocka_unit_test(allocations_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
