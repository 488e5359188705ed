#include "support/support.h"

#include "fieldfoci/variogram.h"

static void test_whole_model(void **state) {
    (void)state;
    foci_error err = {0};
    foci_variogram model = {0};
    bool complete = false;
    assert_done(foci_variogram_parse(&model, &complete,
                                     "spherical,nugget=0.05,partial-sill=0.59,range=897,heading=30,ratio=0.6", &err),
                err);
    assert_true(complete);
    assert_string_equal(model.kind->name, "spherical");
    assert_near(model.nugget, 0.05, 0);
    assert_near(model.partial_sill, 0.59, 0);
    assert_near(model.range, 897, 0);
    assert_near(model.heading, 30, 0);
    assert_near(model.ratio, 0.6, 0);
    assert_string_equal(model.fit, "given");
    assert_near(model.squares, NAN, 0);
}

static void test_defaults(void **state) {
    (void)state;
    foci_error err = {0};
    foci_variogram model = {0};
    bool complete = false;
    assert_done(foci_variogram_parse(&model, &complete, "Matern,range=23.85,nugget=0,partial-sill=2.385", &err), err);
    assert_true(complete);
    assert_near(model.heading, 0, 0);
    assert_near(model.ratio, 1, 0);
    assert_near(model.smoothness, 1.5, 0);
    assert_done(foci_variogram_parse(&model, &complete, "exponential", &err), err);
    assert_false(complete);
    assert_string_equal(model.kind->name, "exponential");
    assert_done(foci_variogram_parse(&model, &complete, "matern,smoothness=2.5", &err), err);
    assert_false(complete);
    assert_near(model.smoothness, 2.5, 0);
}

static void test_wrong_text(void **state) {
    (void)state;
    const struct {
        const char *text, *words;
    } wrong[] = {
        {"sperical", "did you mean 'spherical'"},
        {"linear", "use one of spherical, exponential, gaussian, matern"},
        {"", "no variogram model ''"},
        {"spherical,nuget=1", "did you mean 'nugget'"},
        {"spherical,zzzzzzzz=1", "use one of nugget, partial-sill, range"},
        {"spherical,nugget", "write name=number"},
        {"spherical,nugget=much,partial-sill=1,range=9", "is no number"},
        {"spherical,nugget=,partial-sill=1,range=9", "is no number"},
        {"spherical,nugget=-0.1,partial-sill=1,range=9", "nugget -0.1 is not possible; give 0 or more"},
        {"spherical,nugget=0,partial-sill=-1,range=9", "partial-sill -1"},
        {"spherical,nugget=0,partial-sill=1,range=0", "range 0 is not possible; give meters above 0"},
        {"spherical,nugget=0,partial-sill=1,range=-3", "range -3"},
        {"spherical,nugget=0,partial-sill=1,range=3,ratio=0", "ratio 0"},
        {"spherical,nugget=0,partial-sill=1,range=3,ratio=1.5", "ratio 1.5"},
        {"spherical,nugget=0,partial-sill=1,range=3,heading=400", "heading 400"},
        {"spherical,nugget=0,partial-sill=1,range=3,smoothness=2", "no smoothness"},
        {"matern,nugget=0,partial-sill=1,range=3,smoothness=0", "smoothness 0"},
        {"spherical,nugget=0,nugget=1,partial-sill=1,range=3", "given twice"},
        {"spherical,nugget=0,partial-sill=1", "range is missing"},
        {"spherical,heading=30", "nugget is missing"},
        {"spherical,nugget=0,partial-sill=0,range=3", "both 0"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        foci_error err = {0};
        foci_variogram model = {.range = 2.385};
        bool complete = false;
        assert_fails(foci_variogram_parse(&model, &complete, wrong[i].text, &err), err, FOCI_BAD_SETTING,
                     wrong[i].words);
        assert_string_equal(err.key, "variogram");
        assert_near(model.range, 2.385, 0);
    }
}

static bool attempt(foci_error *err) {
    foci_variogram model = {0};
    bool complete = false;
    return foci_variogram_parse(&model, &complete, "gaussian,nugget=1,partial-sill=2,range=3", err);
}

static void test_each_allocation(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_whole_model),
        cmocka_unit_test(test_defaults),
        cmocka_unit_test(test_wrong_text),
        cmocka_unit_test(test_each_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
