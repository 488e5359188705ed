/* A column that says how stops were rated. */
#include "fieldfoci/stops.h"

#include "support/scratch.h"

#define HEAD "lon,lat,score,Rated\n"
#define ABOVE "-39.34,42.97,3,Above-Ground\n"
#define DUG "-39.35,42.98,4,dug\n"
#define BLANK "-39.36,42.99,5,\n"
#define NO_READING "-39.37,42.99,,above-ground\n"

static bool read_stops(foci_stops *stops, const char *text, const foci_rating *asked, foci_error *err) {
    const char *path = scratch_write("stops.csv", text);
    const foci_stops_options options = {.value = "score", .rating = asked};
    return foci_stops_read(stops, &path, 1, &options, err);
}

static void says(const char *text, const char *asked, const char *rating) {
    foci_error err = {0};
    foci_stops stops = {0};
    assert_done(read_stops(&stops, text, asked ? foci_rating_find(asked) : NULL, &err), err);
    if (rating)
        assert_string_equal(stops.rating->name, rating);
    else
        assert_null(stops.rating);
    foci_stops_free(&stops);
}

static void one_kind_is_the_surveys(void **state) {
    (void)state;
    says("lon,lat,score\n-39.34,42.97,3\n", NULL, NULL);
    says("lon,lat,score\n-39.34,42.97,3\n", "dug", "dug");
    says(HEAD DUG DUG, NULL, "dug");
    says(HEAD BLANK ABOVE BLANK, NULL, "above-ground"); /* a blank says nothing */
    says(HEAD BLANK BLANK, NULL, NULL);
    says(HEAD BLANK DUG, "dug", "dug");
    says(HEAD DUG NO_READING, NULL, "dug"); /* it mixes nothing */
}

static void fails(const char *text, const char *asked, long row, const char *words) {
    foci_error err = {0};
    foci_stops stops = {0};
    assert_fails(read_stops(&stops, text, asked ? foci_rating_find(asked) : NULL, &err), err, FOCI_BAD_INPUT, words);
    assert_int_equal(err.row, row);
    assert_null(stops.items);
}

static void two_kinds_are_refused(void **state) {
    (void)state;
    fails(HEAD DUG BLANK ABOVE, NULL, 3, "was rated above-ground, but a stop before it dug");
    fails(HEAD BLANK DUG, "above-ground", 2, "was rated dug, but {rated} says above-ground");
    fails(HEAD DUG "-39.36,42.99,5,sideways\n", NULL, 2, "says 'sideways'; write above-ground or dug");
}

/* In files of their own they are one survey all the same. */
static void two_files_are_one_survey(void **state) {
    (void)state;
    char one[4096], other[4096];
    snprintf(one, sizeof one, "%s", scratch_write("one.csv", HEAD DUG));
    snprintf(other, sizeof other, "%s", scratch_write("other.csv", HEAD BLANK ABOVE));
    const char *const files[] = {one, other};
    const foci_stops_options options = {.value = "score"};
    foci_error err = {0};
    foci_stops stops = {0};
    assert_fails(foci_stops_read(&stops, files, 2, &options, &err), err, FOCI_BAD_INPUT, "but a stop before it dug");
    assert_string_equal(err.source, other);
    assert_int_equal(err.row, 2);
}

/* A column of that name that is read as something else says nothing of the rating. */
static void a_column_read_otherwise_is_left_alone(void **state) {
    (void)state;
    foci_error err = {0};
    foci_stops stops = {0};
    const char *path = scratch_write("stops.csv", "lon,lat,rated\n-39.34,42.97,3\n-39.35,42.98,4\n");
    const foci_stops_options options = {.value = "rated"};
    assert_done(foci_stops_read(&stops, &path, 1, &options, &err), err);
    assert_null(stops.rating);
    assert_near(stops.items[1].value, 4, 0);
    foci_stops_free(&stops);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_kind_is_the_surveys),
        cmocka_unit_test(two_kinds_are_refused),
        cmocka_unit_test(two_files_are_one_survey),
        cmocka_unit_test(a_column_read_otherwise_is_left_alone),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}
