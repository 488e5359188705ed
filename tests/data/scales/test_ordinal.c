#include "fieldfoci/ordinal.h"

#include "support/scratch.h"

static foci_ordinal scale_of(const char *name) {
    foci_error err = {0};
    foci_ordinal scale = {0};
    assert_done(foci_ordinal_read(&scale, name, &err), err);
    return scale;
}

static void are_the_percents(const char *name, double first, const double *percent, size_t count, double within) {
    foci_ordinal scale = scale_of(name);
    assert_int_equal(scale.count, count);
    for (size_t i = 0; i < count; i++) {
        foci_step step;
        assert_true(foci_ordinal_step(&step, &scale, first + (double)i));
        assert_near(step.percent, percent[i], within);
        assert_true(step.low <= step.percent && step.percent <= step.high);
        assert_true(i == 0 ? step.low == 0 : step.low == scale.steps[i - 1].high);
    }
    assert_true(scale.steps[count - 1].high == 100);
    foci_ordinal_free(&scale);
}

/* Li et al. 2012, Peanut Science 39:30-37, from memory: 100 / (1 + exp(-(score - 6.0672) / 0.7975)), worked by hand. */
static void leaf_spot_goes_by_its_curve(void **state) {
    (void)state;
    static const double percent[] = {0.2, 0.6, 2.1, 7.0, 20.8, 47.9, 76.3, 91.9, 97.5, 99.3};
    are_the_percents("leaf-spot-1-10", 1, percent, 10, 0.05);
    foci_ordinal scale = scale_of("leaf-spot-1-10");
    foci_step step;
    assert_near(scale.middle, 6.0672, 0); /* the score of 50 percent */
    assert_true(foci_ordinal_step(&step, &scale, 6.5));
    assert_near(step.percent, 63.24, 0.01);
    assert_near(step.low, 47.9, 0.05);
    assert_near(step.high, 76.3, 0.05);
    for (size_t i = 0; i < 4; i++)
        assert_false(foci_ordinal_step(&step, &scale, (const double[]){0, 10.5, 4.3, NAN}[i]));
    foci_ordinal_free(&scale);
}

/* Subrahmanyam et al. 1995, ICRISAT Information Bulletin 47, from memory: 0, 1-5, 6-10, 11-20 ... 81-100. */
static void rust_and_late_leaf_spot_have_the_bulletins_middles(void **state) {
    (void)state;
    static const double percent[] = {0, 3, 8, 15.5, 25.5, 35.5, 50.5, 70.5, 90.5};
    are_the_percents("rust-1-9", 1, percent, 9, 0);
    are_the_percents("late-leaf-spot-1-9", 1, percent, 9, 0);
    foci_ordinal scale = scale_of("rust-1-9");
    foci_step step;
    assert_false(foci_ordinal_step(&step, &scale, 2.5));
    assert_false(foci_ordinal_step(&step, &scale, 0));
    assert_true(foci_ordinal_step(&step, &scale, 4));
    assert_near(step.low, 10.5, 0); /* between 6 to 10 and 11 to 20 percent */
    assert_near(step.high, 20.5, 0);
    assert_true(foci_ordinal_step_of_percent(&step, &scale, 15.5) && step.score == 4);
    assert_false(foci_ordinal_step_of_percent(&step, &scale, 15.4));
    foci_ordinal_free(&scale);
}

/* Horsfall & Barratt 1945, Phytopathology 35:655: grades 1 to 12, a break at 87 percent; many count from 0. */
static void horsfall_barratt_is_two_scales(void **state) {
    (void)state;
    static const double percent[] = {0, 1.5, 4.5, 9, 18.5, 37.5, 62.5, 81, 90.5, 95.5, 98.5, 100};
    are_the_percents("horsfall-barratt-1-12", 1, percent, 12, 0);
    are_the_percents("horsfall-barratt-0-11", 0, percent, 12, 0);
    foci_error err = {0};
    foci_ordinal scale = {0};
    assert_false(foci_ordinal_read(&scale, "horsfall-barratt", &err));
    assert_int_equal(err.status, FOCI_BAD_SETTING);
    assert_non_null(strstr(err.text, "did you mean horsfall-barratt-0-11, horsfall-barratt-1-12?"));
}

static void every_built_in_scale_is_whole(void **state) {
    (void)state;
    size_t count = 0;
    for (const char *name = NULL; (name = foci_ordinal_name(count)) != NULL; count++) {
        foci_ordinal scale = scale_of(name);
        assert_string_equal(scale.name, name);
        assert_non_null(strstr(scale.unit, "percent"));
        assert_true(strstr(scale.source, "from memory") || strstr(scale.source, "common practice, no source") ||
                    strstr(scale.source, "19"));
        for (size_t i = 0; i < scale.count; i++)
            assert_true(*scale.steps[i].text != '\0');
        foci_ordinal_free(&scale);
    }
    assert_int_equal(count, 7);
}

#define CLASSES                                                                                                        \
    "[{\"score\":0,\"text\":\"none\",\"low\":0,\"high\":0},{\"score\":1,\"text\":\"some\",\"low\":1,\"high\":30},"     \
    "{\"score\":2,\"text\":\"much\",\"low\":31,\"high\":100,\"percent\":55}]"

static const char *own(const char *classes, const char *more) {
    static char json[1000];
    snprintf(json, sizeof json,
             "{\"name\":\"own\",\"title\":\"Own scale\",\"unit\":\"percent of roots\",\"source\":\"mine\"%s,"
             "\"classes\":%s}",
             more, classes);
    return scratch_write("scale.json", json);
}

static void a_users_own_is_read(void **state) {
    (void)state;
    foci_ordinal scale = scale_of(own(CLASSES, ""));
    foci_step step;
    assert_true(foci_ordinal_step(&step, &scale, 2));
    assert_near(step.percent, 55, 0);
    assert_near(step.low, 30.5, 0);
    assert_true(foci_ordinal_step(&step, &scale, 1));
    assert_near(step.percent, 15.5, 0);
    assert_near(step.low, 0.5, 0);
    foci_ordinal_free(&scale);
    foci_ordinal_free(&scale);
}

static void what_is_wrong_names_file_and_member(void **state) {
    (void)state;
    static const struct {
        const char *classes, *more, *words;
    } cases[] = {
        {"[]", "", "\"classes\" must be an array of 2 to 32"},
        {CLASSES, ",\"limits\":[0,1]", "unknown member \"limits\""},
        {CLASSES, ",\"logistic\":{\"middle\":1,\"step\":0}", "\"logistic\" must be"},
        {CLASSES, ",\"logistic\":{\"middle\":1,\"step\":1}", "have no \"low\""},
        {"[{\"score\":0,\"text\":\"a\",\"low\":0,\"high\":5},{\"score\":2,\"text\":\"b\",\"low\":6,\"high\":9}]", "",
         "one more from class to class"},
        {"[{\"score\":0,\"text\":\"a\",\"low\":0,\"high\":5},{\"score\":1,\"text\":\"b\",\"low\":4,\"high\":9}]", "",
         "must not overlap"},
        {"[{\"score\":0,\"text\":\"a\",\"low\":0,\"high\":500},{\"score\":1,\"text\":\"b\",\"low\":4,\"high\":9}]", "",
         "from 0 to 100 percent"},
        {"[{\"score\":0,\"text\":\" \",\"low\":0,\"high\":5},{\"score\":1,\"text\":\"b\",\"low\":6,\"high\":9}]", "",
         "\"text\" must be a text"},
        {"[{\"score\":0,\"low\":0,\"hi\":5},3]", "", "unknown member \"hi\"; did you mean \"high\"?"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_error err = {0};
        foci_ordinal scale = {0};
        const char *path = own(cases[i].classes, cases[i].more);
        assert_false(foci_ordinal_read(&scale, path, &err));
        assert_int_equal(err.status, FOCI_BAD_INPUT);
        assert_string_equal(err.source, path);
        if (!strstr(err.text, cases[i].words))
            fail_msg("\"%s\" does not say \"%s\"", err.text, cases[i].words);
    }
}

/* Scores 0 to 5 held by 10, 6, 4, 3, 1 and 1 plants: 100 x 32 / (25 x 5), by the formula of McKinney 1923. */
static void the_severity_index_is_mckinneys(void **state) {
    (void)state;
    const double scores[] = {0, 1, 2, 3, 4, 5}, plants[] = {10, 6, 4, 3, 1, 1}, one_up[] = {1, 2, 3, 4, 5, 6};
    foci_error err = {0};
    double percent = 0;
    assert_done(foci_severity_index(&percent, scores, plants, 6, &err), err);
    assert_near(percent, 25.6, 1e-12);
    assert_done(foci_severity_index(&percent, one_up, plants, 6, &err), err); /* the soundest class counts nothing */
    assert_near(percent, 25.6, 1e-12);
    const double bad[][2] = {{0, 0}, {1.5, 1}, {-1, 2}, {NAN, 2}};
    for (size_t i = 0; i < 4; i++) {
        foci_error why = {0};
        assert_false(foci_severity_index(&percent, scores, bad[i], 2, &why));
        assert_int_equal(why.status, FOCI_BAD_INPUT);
    }
    foci_error why = {0};
    assert_false(foci_severity_index(&percent, (const double[]){1, 1}, plants, 2, &why));
    assert_near(percent, 25.6, 1e-12);
}

static bool attempt(foci_error *err) {
    foci_ordinal scale = {0};
    bool ok = foci_ordinal_read(&scale, "rust-1-9", err);
    foci_ordinal_free(&scale);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(leaf_spot_goes_by_its_curve),
        cmocka_unit_test(rust_and_late_leaf_spot_have_the_bulletins_middles),
        cmocka_unit_test(horsfall_barratt_is_two_scales),
        cmocka_unit_test(every_built_in_scale_is_whole),
        cmocka_unit_test(a_users_own_is_read),
        cmocka_unit_test(what_is_wrong_names_file_and_member),
        cmocka_unit_test(the_severity_index_is_mckinneys),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
