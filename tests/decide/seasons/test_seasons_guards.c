/* What one season may be held against. */
#include "support/support.h"

#include "decide/seasons/seasons_guards.h"

/* A round with a rectangular field of `width` x 200 m that begins `east` metres to the east. */
typedef struct {
    foci_survey round;
    foci_point corners[4];
    foci_ring ring;
    foci_polygon polygon;
    char name[64], title[64], unit[64], rated[32];
} scene;

static void make(scene *s, double east, double width) {
    *s = (scene){.name = "white-rot-of-onion",
                 .title = "White rot of onion",
                 .unit = "percent of units infected",
                 .rated = "dug"};
    const double west = 512000 + east, south = 4205000;
    const foci_point corners[4] = {
        {west, south}, {west + width, south}, {west + width, south + 200}, {west, south + 200}};
    memcpy(s->corners, corners, sizeof corners);
    s->ring = (foci_ring){4, s->corners};
    s->polygon = (foci_polygon){1, &s->ring};
    s->round.field.shape = (foci_multipolygon){1, &s->polygon};
    s->round.has_profile = true;
    s->round.profile.name = s->name;
    s->round.profile.title = s->title;
    s->round.profile.lives_in = FOCI_LIVES_SOIL;
    s->round.stops.kind = FOCI_READING_COUNT;
    s->round.stops.unit = s->unit;
    s->round.rated = s->rated;
    s->round.threshold = NAN;
}

static void like_goes_with_like(void **state) {
    (void)state;
    scene one, other;
    foci_error err = {0};
    make(&one, 0, 300);
    make(&other, 0, 300);
    other.round.threshold = 12.5; /* may differ */
    assert_done(foci_seasons_guard_pair(&one.round, &other.round, "old", &err), err);
    one.round.has_profile = other.round.has_profile = false;
    *one.rated = *other.rated = '\0';
    assert_done(foci_seasons_guard_pair(&one.round, &other.round, "old", &err), err);
}

static void unlike_seasons_are_refused(void **state) {
    (void)state;
    scene one, other;
    foci_error err = {0};
    make(&one, 0, 300);
    make(&other, 0, 300);
    snprintf(other.name, sizeof other.name, "pink-rot-of-onion");
    snprintf(other.title, sizeof other.title, "Pink rot of onion");
    assert_fails(foci_seasons_guard_pair(&one.round, &other.round, "old", &err), err, FOCI_BAD_INPUT,
                 "another disease: Pink rot of onion, not White rot of onion");
    assert_string_equal(err.source, "old");
    other.round.has_profile = false;
    assert_fails(foci_seasons_guard_pair(&one.round, &other.round, "old", &err), err, FOCI_BAD_INPUT,
                 "names no disease; the survey it is held against is of White rot of onion");
    make(&other, 0, 300);
    other.round.stops.kind = FOCI_READING_VALUE;
    assert_fails(foci_seasons_guard_pair(&one.round, &other.round, "old", &err), err, FOCI_BAD_INPUT,
                 "has scores, not counts");
    make(&other, 0, 300);
    snprintf(other.unit, sizeof other.unit, "class 1 to 5");
    assert_fails(foci_seasons_guard_pair(&one.round, &other.round, "old", &err), err, FOCI_BAD_INPUT,
                 "'class 1 to 5', not 'percent of units infected'");
    make(&other, 0, 300);
    snprintf(other.rated, sizeof other.rated, "above-ground");
    assert_fails(foci_seasons_guard_pair(&one.round, &other.round, "old", &err), err, FOCI_BAD_INPUT,
                 "above-ground, not dug");
}

static void fields_must_overlap(void **state) {
    (void)state;
    static const struct {
        double east, width, overlap;
        bool same;
    } rows[] = {{0, 300, 1, true},         {7.5, 300, 0.9512195, true}, {7.9, 300, 0.9486846, false},
                {0, 286.2, 0.954, true},   {0, 284.4, 0.948, false},    {900, 300, 0, false},
                {0, 316.455, 0.948, false}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        scene one, other;
        foci_error err = {0};
        double overlap = 0;
        make(&one, 0, 300);
        make(&other, rows[i].east, rows[i].width);
        assert_done(foci_seasons_overlap(&overlap, &one.round.field, &other.round.field, &err), err);
        assert_near(overlap, rows[i].overlap, 1e-5);
        assert_int_equal(foci_seasons_guard_pair(&one.round, &other.round, "old", &err), rows[i].same);
        if (!rows[i].same)
            assert_non_null(strstr(err.text, "and 95 % is needed"));
    }
}

static void what_flies_needs_a_reason(void **state) {
    (void)state;
    scene one;
    foci_error err = {0};
    foci_sentences even_so = {0};
    make(&one, 0, 300);
    assert_done(foci_seasons_guard_soil(&even_so, &one.round, "{earlier}", NULL, &err), err);
    one.round.profile.lives_in = FOCI_LIVES_WIND;
    assert_fails(foci_seasons_guard_soil(&even_so, &one.round, "{earlier}", NULL, &err), err, FOCI_BAD_SETTING,
                 "does not live in the soil");
    assert_string_equal(err.key, "earlier");
    assert_int_equal(even_so.count, 0);
    assert_done(foci_seasons_guard_soil(&even_so, &one.round, "--earlier", "a field trial", &err), err);
    assert_int_equal(even_so.count, 1);
    assert_non_null(strstr(even_so.items[0], "soil: a field trial"));
    foci_sentences_free(&even_so);
    one.round.has_profile = false;
    assert_done(foci_seasons_guard_soil(&even_so, &one.round, "{earlier}", NULL, &err), err);
}

/* The same stops scouted again with nothing found are no copy; the same day's stops are. */
static void a_copy_is_known(void **state) {
    (void)state;
    foci_point places[] = {{10.5, 20.25}, {30.5, 41.75}}, moved[] = {{10.5, 20.25}, {30.5, 41.5}};
    double none[] = {0, 0}, some[] = {0, 2.5};
    char day[] = "2024-08-22", later[] = "2026-08-20";
    const foci_survey one = {.readings = {.count = 2, .places = places, .values = none}, .first_date = day};
    foci_survey other = one;
    assert_true(foci_seasons_same_readings(&one, &other));
    other.first_date = later;
    assert_false(foci_seasons_same_readings(&one, &other));
    other.first_date = day;
    other.readings.values = some;
    assert_false(foci_seasons_same_readings(&one, &other));
    other.readings.values = none;
    other.readings.places = moved;
    assert_false(foci_seasons_same_readings(&one, &other));
    other.readings.places = places;
    other.readings.count = 1;
    assert_false(foci_seasons_same_readings(&one, &other));
}

static bool attempt(foci_error *err) {
    scene one, other;
    foci_sentences even_so = {0};
    make(&one, 0, 300);
    make(&other, 3, 300);
    one.round.profile.lives_in = FOCI_LIVES_WIND;
    bool ok = foci_seasons_guard_pair(&one.round, &other.round, "old", err) &&
              foci_seasons_guard_soil(&even_so, &one.round, "--earlier", "a field trial", err);
    foci_sentences_free(&even_so);
    return ok;
}

static void allocations_fail_cleanly(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(like_goes_with_like), cmocka_unit_test(unlike_seasons_are_refused),
        cmocka_unit_test(fields_must_overlap), cmocka_unit_test(what_flies_needs_a_reason),
        cmocka_unit_test(a_copy_is_known),     cmocka_unit_test(allocations_fail_cleanly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
