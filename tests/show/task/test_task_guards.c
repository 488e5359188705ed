#include "show/task/task_guards.h"

#include "support/support.h"

/* What guards read of a survey.json. */
static const char survey[] = "{\"disease\": {\"laboratory\": %s, \"too_late_in_season\": %s}, \"no_zones_why\": %s,"
                             " \"pattern\": {\"verdict\": \"%s\"}, \"zones\": {\"treat\": {\"chance\": %s},"
                             " \"dig\": {\"chance\": null}}}";

static bool passes(const char *laboratory, const char *late, const char *no_zones, const char *verdict,
                   const char *chance, const char *even_so, foci_error *err) {
    char text[600];
    foci_json *root = NULL;
    *err = (foci_error){0};
    snprintf(text, sizeof text, survey, laboratory, late, no_zones, verdict, chance);
    assert_done(foci_json_parse(&root, text, "survey.json", err), *err);
    bool ok = foci_task_pass_guards(root, "survey.json", even_so, err);
    foci_json_free(root);
    return ok;
}

static void each_guard_gives_way_to_a_reason(void **state) {
    (void)state;
    static const struct {
        const char *laboratory, *late, *verdict, *chance, *words;
    } rows[] = {
        {"true", "false", "patchy", "0.7", "laboratory's word"},
        {"false", "true", "patchy", "0.7", "too late"},
        {"false", "false", "unclear", "0.7", "dig and leave zones only"},
        {"false", "false", "patchy", "null", "how sure they are"},
    };
    foci_error err;
    assert_true(passes("false", "false", "null", "patchy", "0.7", NULL, &err));
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_fails(passes(rows[i].laboratory, rows[i].late, "null", rows[i].verdict, rows[i].chance, NULL, &err), err,
                     FOCI_BAD_INPUT, rows[i].words);
        assert_non_null(strstr(err.text, "{even-so}"));
        assert_true(passes(rows[i].laboratory, rows[i].late, "null", rows[i].verdict, rows[i].chance, "we know", &err));
    }
}

static void no_reason_makes_zones(void **state) {
    (void)state;
    foci_error err;
    for (int reason = 0; reason < 2; reason++)
        assert_fails(passes("false", "false", "\"No pattern was found.\"", "no pattern found", "null",
                            reason ? "we know" : NULL, &err),
                     err, FOCI_BAD_INPUT, "No pattern was found.");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_guard_gives_way_to_a_reason),
        cmocka_unit_test(no_reason_makes_zones),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
