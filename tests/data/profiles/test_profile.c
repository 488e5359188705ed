#include "fieldfoci/profile.h"

#include "data/files/built_in.h"
#include "support/scratch.h"

#define FACT "{\"text\":\"t\",\"source\":\"s\"}"
#define DIG "{\"first\":true,\"text\":\"t\",\"source\":\"s\"}"

/* A profile with the member `name` given as `text` (or left out where NULL). */
static const char *with(const char *name, const char *text) {
    static const char *const members[][2] = {
        {"name", "\"wilt-of-beet\""},
        {"title", "\"Wilt of beet\""},
        {"crop", "\"beet\""},
        {"cause", "\"Fungus fungus\""},
        {"lives_in", "\"residue\""},
        {"habitat", FACT},
        {"seen", FACT},
        {"when", FACT},
        {"look_for", "[" FACT "," FACT "," FACT "]"},
        {"dig", DIG},
        {"diagnosis", FACT},
        {"unit", "\"percent of plants\""},
        {"limits", "[0.5, 9]"},
        {"value_column", "null"},
        {"hits_column", "\"wilted\""},
        {"checked_column", "\"plants\""},
        {"rated", "\"dug\""},
        {"laboratory", "true"},
        {"laboratory_why", FACT},
        {"threshold", "2.385"},
        {"threshold_why", FACT},
        {"too_late_in_season", "{\"text\":\"t\",\"source\":\"s\",\"at_symptoms\":true,\"next_season\":\"rotate\"}"},
        {"margin", FACT},
        {"aggregation", "{\"theta\":0.0385,\"text\":\"t\",\"source\":\"s\"}"},
        {"look_alikes", "[" FACT "," FACT "]"},
        {"cautions", "[" FACT "]"},
    };
    static char json[4000];
    size_t used = 0;
    bool known = false;
    json[0] = '\0';
    for (size_t i = 0; i < sizeof members / sizeof *members; i++) {
        bool this_one = strcmp(members[i][0], name) == 0;
        known = known || this_one;
        if (this_one && !text)
            continue;
        used += (size_t)snprintf(json + used, sizeof json - used, "%s\"%s\":%s", used ? "," : "{", members[i][0],
                                 this_one ? text : members[i][1]);
    }
    if (!known && text)
        used += (size_t)snprintf(json + used, sizeof json - used, ",\"%s\":%s", name, text);
    snprintf(json + used, sizeof json - used, "}");
    return json;
}

static void a_file_is_read(void **state) {
    (void)state;
    foci_error err = {0};
    foci_profile profile = {0};
    assert_done(foci_profile_read(&profile, scratch_write("beet.json", with("", NULL)), &err), err);
    assert_string_equal(profile.name, "wilt-of-beet");
    assert_string_equal(profile.cause, "Fungus fungus");
    assert_int_equal(profile.lives_in, FOCI_LIVES_RESIDUE);
    assert_string_equal(profile.habitat.text, "t");
    assert_string_equal(profile.seen.source, "s");
    assert_string_equal(profile.when.text, "t");
    assert_int_equal(profile.look_for_count, 3);
    assert_string_equal(profile.look_for[2].source, "s");
    assert_true(profile.dig_first);
    assert_string_equal(profile.dig.source, "s");
    assert_string_equal(profile.diagnosis.text, "t");
    assert_string_equal(profile.value_column, "");
    assert_string_equal(profile.checked_column, "plants");
    assert_string_equal(profile.rated, "dug");
    assert_true(profile.laboratory);
    assert_near(profile.threshold, 2.385, 0);
    assert_near(profile.least, 0.5, 0);
    assert_near(profile.most, 9, 0);
    assert_true(profile.too_late_in_season);
    assert_string_equal(profile.too_late.source, "s");
    assert_string_equal(profile.next_season, "rotate");
    assert_string_equal(profile.margin.text, "t");
    assert_near(profile.theta, 0.0385, 0);
    assert_int_equal(profile.look_alike_count, 2);
    assert_string_equal(profile.look_alikes[1].source, "s");
    assert_int_equal(profile.caution_count, 1);
    foci_profile_free(&profile);
    foci_profile_free(&profile);
    assert_done(foci_profile_read(&profile, scratch_write("beet.json", with("threshold", "null")), &err), err);
    assert_near(profile.threshold, NAN, 0);
    foci_profile_free(&profile);
    assert_done(foci_profile_read(&profile, scratch_write("beet.json", with("too_late_in_season", "null")), &err), err);
    assert_false(profile.too_late_in_season);
    assert_string_equal(profile.too_late.text, "");
    assert_string_equal(profile.next_season, "");
    foci_profile_free(&profile);
    assert_done(foci_profile_read(&profile, scratch_write("beet.json", with("margin", "null")), &err), err);
    assert_string_equal(profile.margin.text, "");
    foci_profile_free(&profile);
}

/* A user's profile from before there were such members, and one that knows nothing of them. */
static void what_is_not_known_may_be_null_or_left_out(void **state) {
    (void)state;
    static const char *const members[] = {"when", "look_for", "dig", "diagnosis"};
    for (size_t i = 0; i < sizeof members / sizeof *members; i++)
        for (int null = 0; null < 2; null++) {
            foci_error err = {0};
            foci_profile profile = {0};
            const char *path = scratch_write("old.json", with(members[i], null ? "null" : NULL));
            assert_done(foci_profile_read(&profile, path, &err), err);
            assert_string_equal(profile.when.text, i == 0 ? "" : "t");
            assert_int_equal(profile.look_for_count, i == 1 ? 0 : 3);
            assert_string_equal(profile.dig.text, i == 2 ? "" : "t");
            assert_int_equal(profile.dig_first, i != 2);
            assert_string_equal(profile.diagnosis.source, i == 3 ? "" : "s");
            foci_profile_free(&profile);
        }
}

/* A profile of no one disease. */
static void where_no_disease_is_meant_habitat_and_rating_are_null(void **state) {
    (void)state;
    foci_error err = {0};
    foci_profile profile = {0};
    assert_done(foci_profile_read(&profile, scratch_write("any.json", with("lives_in", "null")), &err), err);
    assert_int_equal(profile.lives_in, FOCI_LIVES_UNKNOWN);
    assert_null(foci_habitat_name(profile.lives_in));
    foci_profile_free(&profile);
    assert_done(foci_profile_read(&profile, scratch_write("any.json", with("rated", "null")), &err), err);
    assert_string_equal(profile.rated, "");
    foci_profile_free(&profile);
    assert_true(foci_habitat_keeps_places(FOCI_LIVES_UNKNOWN) && foci_habitat_keeps_places(FOCI_LIVES_SOIL));
    assert_false(foci_habitat_keeps_places(FOCI_LIVES_WIND) || foci_habitat_keeps_places(FOCI_LIVES_RESIDUE) ||
                 foci_habitat_keeps_places(FOCI_LIVES_VECTOR));
}

static void what_is_wrong_names_file_and_member(void **state) {
    (void)state;
    static const struct {
        const char *member, *text, *words;
    } cases[] = {
        {"seen", NULL, "member \"seen\" is missing"},
        {"treshold", "3", "unknown member \"treshold\"; did you mean \"threshold\"?"},
        {"product", "\"x\"", "unknown member \"product\""},
        {"title", "\"\"", "member \"title\" is empty"},
        {"title", "\"  \"", "member \"title\" is empty"},
        {"title", "7", "member \"title\" must be a text"},
        {"name", "\"Wilt of beet\"", "\"name\" may hold small letters"},
        {"name", "\"\"", "member \"name\" is empty"},
        {"scale", "\"1-9\"", "must name a built-in scale"},
        {"scale", "\"rust-1-9\"", "must be null where \"scale\" is given"},
        {"lives_in", "\"water\"", "\"soil\", \"residue\", \"wind\" or \"vector\""},
        {"lives_in", "1", "\"lives_in\" must be"},
        {"when", "\"in fall\"", "\"when\" must be an object"},
        {"when", "{\"text\":\"t\"}", "\"when.source\" is missing"},
        {"look_for", "[]", "\"look_for\" is empty"},
        {"look_for", FACT, "\"look_for\" must be an array"},
        {"look_for", "[" FACT ",\"spots\"]", "\"look_for[1]\" must be an object"},
        {"dig", "true", "\"dig\" must be an object with \"first\""},
        {"dig", FACT, "\"dig.first\" is missing"},
        {"dig", "{\"first\":\"yes\",\"text\":\"t\",\"source\":\"s\"}", "\"dig.first\" must be true or false"},
        {"diagnosis", "\"sure\"", "\"diagnosis\" must be an object"},
        {"rated", "\"sideways\"", "\"above-ground\" or \"dug\""},
        {"laboratory", "\"yes\"", "\"laboratory\" must be true or false"},
        {"limits", "[9, 1]", "\"limits\" must be two numbers, least first"},
        {"limits", "[9]", "\"limits\" must be two numbers, least first"},
        {"threshold", "\"5\"", "\"threshold\" must be a number above 0"},
        {"threshold", "-1", "\"threshold\" must be a number above 0"},
        {"seen", "\"leaves\"", "\"seen\" must be an object"},
        {"seen", "{\"text\":\"t\"}", "\"seen.source\" is missing"},
        {"seen", "{\"text\":\"t\",\"source\":\"\"}", "\"seen.source\" is empty"},
        {"seen", "{\"text\":\"t\",\"source\":\"s\",\"page\":\"3\"}", "unknown member \"seen.page\""},
        {"too_late_in_season", NULL, "\"too_late_in_season\" is missing"},
        {"too_late_in_season", "true", "\"too_late_in_season\" must be an object, or null"},
        {"too_late_in_season", FACT, "\"too_late_in_season.at_symptoms\" is missing"},
        {"too_late_in_season", "{\"text\":\"t\",\"source\":\"s\",\"at_symptoms\":true,\"next_season\":null}",
         "needs \"next_season\""},
        {"margin", "12", "\"margin\" must be an object"},
        {"aggregation", "0.1", "\"aggregation\" must be an object"},
        {"aggregation", "{\"theta\":-1,\"text\":\"t\",\"source\":\"s\"}", "\"aggregation.theta\" must be a number"},
        {"cautions", "[]", "\"cautions\" is empty"},
        {"cautions", FACT, "\"cautions\" must be an array"},
        {"look_alikes", "[" FACT ",{\"text\":3,\"source\":\"s\"}]", "\"look_alikes[1].text\" must be a text"},
        {"checked_column", "null", "\"checked_column\" must be given"},
        {"hits_column", "null", "\"hits_column\" must be given"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_error err = {0};
        foci_profile profile = {0};
        const char *path = scratch_write("bad.json", with(cases[i].member, cases[i].text));
        assert_fails(foci_profile_read(&profile, path, &err), err, FOCI_BAD_INPUT, cases[i].words);
        assert_string_equal(err.source, path);
        assert_null(profile.name);
    }
    foci_error err = {0};
    foci_profile profile = {0};
    assert_fails(foci_profile_read(&profile, scratch_write("bad.json", "[]"), &err), err, FOCI_BAD_INPUT,
                 "one JSON object");
    assert_fails(foci_profile_read(&profile, scratch_write("bad.json", "{\"name\":"), &err), err, FOCI_BAD_INPUT, "");
}

static void an_unknown_name_suggests_built_in_ones(void **state) {
    (void)state;
    static const char *const cases[][2] = {
        {"rust-of-peanuts", "no file 'rust-of-peanuts'; did you mean rust-of-peanut? fieldfoci profiles lists"},
        {"sclerotinia-stem", "did you mean sclerotinia-stem-rot-of-canola, sclerotinia-stem-rot-of-dry-bean, "
                             "sclerotinia-stem-rot-of-soybean? fieldfoci profiles"},
        {"xyz", "no profile and no file 'xyz'; fieldfoci profiles lists those that are built in"},
        {"", "no profile and no file ''; fieldfoci profiles"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_error err = {0};
        foci_profile profile = {0};
        assert_fails(foci_profile_read(&profile, cases[i][0], &err), err, FOCI_BAD_SETTING, cases[i][1]);
        assert_string_equal(err.key, "disease");
    }
}

static void fact_is_whole(const foci_fact *fact) {
    assert_true(strlen(fact->text) > 20);
    assert_true(strlen(fact->source) > 8);
}

/* A cited publication has a year, or says that it has no date; what has none says so. */
static void source_is_honest(const foci_fact *fact) {
    bool year = false;
    for (const char *c = fact->source; *c && !year; c++)
        year = (strncmp(c, "19", 2) == 0 || strncmp(c, "20", 2) == 0) && strspn(c, "0123456789") == 4;
    if (!year && !strstr(fact->source, "(no date)") && !strstr(fact->source, "from memory") &&
        !strstr(fact->source, "no source"))
        fail_msg("'%s' has the source '%s'", fact->text, fact->source);
    fact_is_whole(fact);
}

static void sources_are_honest(const foci_fact *facts, size_t count) {
    for (size_t i = 0; i < count; i++)
        source_is_honest(&facts[i]);
}

/* Where nothing is known it says nothing. */
static void source_is_honest_if_any(const foci_fact *fact) {
    assert_int_equal(*fact->text == '\0', *fact->source == '\0');
    if (*fact->text)
        source_is_honest(fact);
}

/* The name says the crop, and the title the organism's disease; hyphens stand for blanks in it. */
static void name_says_crop(const foci_profile *profile) {
    char words[80];
    snprintf(words, sizeof words, "%s", profile->name);
    for (char *c = words; *c; c++)
        *c = *c == '-' ? ' ' : *c;
    assert_non_null(strstr(words, profile->crop));
}

static bool names_no_disease(const foci_profile *profile) {
    return profile->lives_in == FOCI_LIVES_UNKNOWN;
}

/* A disease's profile tells all that a walker needs, organism by its Latin name; a plain reading's does not. */
static void tells_what_a_walker_needs(const foci_profile *profile) {
    assert_true(profile->look_for_count > 2);
    if (names_no_disease(profile))
        return;
    name_says_crop(profile);
    assert_true(profile->cause[0] >= 'A' && profile->cause[0] <= 'Z');
    assert_true(*profile->when.text && *profile->dig.text && *profile->diagnosis.text && *profile->too_late.text);
    assert_true(*profile->rated && (*profile->hits_column || *profile->value_column));
}

static void every_built_in_profile_is_whole(void **state) {
    (void)state;
    size_t count = 0;
    for (const char *name = NULL; (name = foci_profile_name(count)); count++) {
        foci_error err = {0};
        foci_profile profile = {0};
        assert_done(foci_profile_read(&profile, name, &err), err);
        assert_string_equal(profile.name, name); /* the file's name */
        assert_true(count == 0 || strcmp(foci_profile_name(count - 1), name) < 0);
        assert_true(isnan(profile.threshold)); /* none is published */
        tells_what_a_walker_needs(&profile);
        source_is_honest(&profile.habitat);
        source_is_honest(&profile.seen);
        source_is_honest(&profile.laboratory_why);
        source_is_honest(&profile.threshold_why);
        source_is_honest_if_any(&profile.when);
        source_is_honest_if_any(&profile.dig);
        source_is_honest_if_any(&profile.diagnosis);
        source_is_honest_if_any(&profile.too_late);
        source_is_honest_if_any(&profile.margin);
        source_is_honest_if_any(&profile.aggregation);
        sources_are_honest(profile.look_for, profile.look_for_count);
        sources_are_honest(profile.look_alikes, profile.look_alike_count);
        sources_are_honest(profile.cautions, profile.caution_count);
        foci_profile_free(&profile);
    }
    assert_true(count >= 17);
    assert_null(foci_built_in_profiles[count].json);
}

/* One common name can be two fungi: each of the two says so and names the other crop. */
static void white_mold_is_told_apart(void **state) {
    (void)state;
    static const char *const names[] = {"southern-stem-rot-of-peanut", "sclerotinia-stem-rot-of-soybean",
                                        "sclerotinia-stem-rot-of-dry-bean", "sclerotinia-stem-rot-of-canola"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        foci_error err = {0};
        foci_profile profile = {0};
        assert_done(foci_profile_read(&profile, names[i], &err), err);
        bool told = false;
        for (size_t k = 0; k < profile.look_alike_count; k++)
            told = told || (strstr(profile.look_alikes[k].text, "'white mold'") &&
                            strstr(profile.look_alikes[k].text, i == 0 ? "soybean" : "Agroathelia rolfsii"));
        assert_true(told);
        foci_profile_free(&profile);
    }
}

/* Scored by the scale that was published for the disease, and read as percent (the scales: tests/data/scales). */
static void scored_diseases_name_their_scale(void **state) {
    (void)state;
    static const struct {
        const char *name, *scale, *unit;
    } rows[] = {
        {"early-leaf-spot-of-peanut", "leaf-spot-1-10", "percent of leaves lost"},
        {"late-leaf-spot-of-peanut", "leaf-spot-1-10", "percent of leaves lost"},
        {"rust-of-peanut", "rust-1-9", "percent of leaf area damaged"},
        {"pod-rot-of-peanut", "", "percent of pods rotted"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        foci_error err = {0};
        foci_profile profile = {0};
        assert_done(foci_profile_read(&profile, rows[i].name, &err), err);
        assert_string_equal(profile.unit, rows[i].unit);
        assert_string_equal(profile.scale, rows[i].scale);
        assert_true(!*profile.scale || (profile.least == profile.most && strcmp(profile.value_column, "score") == 0));
        foci_profile_free(&profile);
    }
}

static void what_guards_rest_on_is_said(void **state) {
    (void)state;
    static const struct {
        const char *name, *lives_in;
        bool laboratory, too_late;
    } rows[] = {
        {"southern-stem-rot-of-peanut", "soil", false, false},
        {"pod-rot-of-peanut", "soil", true, false},
        {"rust-of-peanut", "wind", false, false},
        {"sclerotinia-stem-rot-of-soybean", "soil", false, true},
        {"early-leaf-spot-of-peanut", "residue", false, false},
        {"late-leaf-spot-of-peanut", "residue", false, false},
        {"soybean-cyst-nematode", "soil", true, true},
        {"phytophthora-blight-of-pepper", "soil", true, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        foci_error err = {0};
        foci_profile profile = {0};
        assert_done(foci_profile_read(&profile, rows[i].name, &err), err);
        assert_string_equal(foci_habitat_name(profile.lives_in), rows[i].lives_in);
        assert_int_equal(profile.laboratory, rows[i].laboratory);
        assert_int_equal(profile.too_late_in_season, rows[i].too_late);
        foci_profile_free(&profile);
    }
    assert_string_equal(foci_habitat_name(FOCI_LIVES_VECTOR), "vector");
    assert_string_equal(foci_habitat_name(FOCI_LIVES_RESIDUE), "residue");
}

static bool attempt(foci_error *err) {
    foci_profile profile = {0};
    bool ok = foci_profile_read(&profile, "pod-rot-of-peanut", err);
    foci_profile_free(&profile);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_file_is_read),
        cmocka_unit_test(what_is_wrong_names_file_and_member),
        cmocka_unit_test(what_is_not_known_may_be_null_or_left_out),
        cmocka_unit_test(where_no_disease_is_meant_habitat_and_rating_are_null),
        cmocka_unit_test(an_unknown_name_suggests_built_in_ones),
        cmocka_unit_test(every_built_in_profile_is_whole),
        cmocka_unit_test(white_mold_is_told_apart),
        cmocka_unit_test(scored_diseases_name_their_scale),
        cmocka_unit_test(what_guards_rest_on_is_said),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}
