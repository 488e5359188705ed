/* What is to be read of the stops: from the settings, and where they leave it open from the disease. */
#include "run/steps/look.h"

#include "support/support.h"

#include "fieldfoci/settings.h"

static bool look(foci_stops_options *out, const foci_profile *profile, const char *limits, const char *hits,
                 foci_error *err) {
    foci_settings settings = foci_settings_make();
    bool ok = !limits || foci_settings_set(&settings, "limits", limits, FOCI_FOR_MAP, err);
    settings.survey.stops.hits = hits;
    settings.survey.stops.value = hits ? NULL : "score";
    return ok && foci_look_reading(out, &settings.survey, profile, err);
}

static void limits_are_the_profiles_unless_given(void **state) {
    (void)state;
    char unit[] = "score of 1 to 9", none[] = "";
    const foci_profile profile = {.unit = unit,
                                  .scale = none,
                                  .value_column = none,
                                  .hits_column = none,
                                  .checked_column = none,
                                  .least = 1,
                                  .most = 9};
    foci_stops_options options;
    foci_error err = {0};
    assert_done(look(&options, NULL, NULL, NULL, &err), err);
    assert_true(options.least == 0 && options.most == 0);
    assert_done(look(&options, &profile, NULL, NULL, &err), err);
    assert_true(options.least == 1 && options.most == 9);
    assert_done(look(&options, &profile, "-2.5,40.25", NULL, &err), err);
    assert_true(options.least == -2.5 && options.most == 40.25);
}

/* What a profile expects is told apart from what the user says it is. */
static void the_scale_is_the_profiles_unless_given(void **state) {
    (void)state;
    char unit[] = "percent of leaves lost", none[] = "", scale[] = "leaf-spot-1-10";
    const foci_profile profile = {
        .unit = unit, .scale = scale, .value_column = scale, .hits_column = none, .checked_column = none};
    foci_stops_options options;
    foci_error err = {0};
    assert_done(look(&options, &profile, NULL, NULL, &err), err);
    assert_string_equal(options.scale_of, "leaf-spot-1-10");
    assert_true(options.scale_by_profile);
    assert_done(look(&options, &profile, NULL, "infected", &err), err); /* counts are percent already */
    assert_null(options.scale_of);
    assert_false(look(&options, &profile, "1,10", NULL, &err));
    assert_int_equal(err.status, FOCI_BAD_SETTING);
    assert_string_equal(err.key, "limits");
}

static void impossible_limits_are_refused(void **state) {
    (void)state;
    static const char *const wrong[] = {"10,1", "3,3", "5", "one,10", "1,ten", ",", "1,10,20"};
    foci_stops_options options;
    foci_error err = {0};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        assert_fails(look(&options, NULL, wrong[i], NULL, &err), err, FOCI_BAD_SETTING, "least first");
        assert_string_equal(err.key, "limits");
    }
    assert_fails(look(&options, NULL, "1,10", "infected", &err), err, FOCI_BAD_SETTING, "goes with {value}");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(limits_are_the_profiles_unless_given),
        cmocka_unit_test(the_scale_is_the_profiles_unless_given),
        cmocka_unit_test(impossible_limits_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
