/* report.html of a survey: well-formed, whole without a script, and careful with other people's text. */
#include "show/report/report.h"

#include "fieldfoci/page.h"
#include "show/read_html.h"
#include "show/read_picture.h"
#include "show/sample_round.h"

static int begin(void **state) {
    foci_error err = {0};
    foci_survey *round = calloc(1, sizeof *round);
    if (!round || !sample_round_make(round, &err))
        return -1;
    *state = round;
    return 0;
}

static int end(void **state) {
    foci_survey_free(*state);
    free(*state);
    return 0;
}

static char *write_report(const foci_survey *round) {
    char path[256];
    size_t size = 0;
    foci_error err = {0};
    scratch_name(path, "report.html");
    assert_done(foci_report_write(round, path, &err), err);
    char *bytes = file_bytes(path, &size);
    bytes[size] = '\0';
    assert_int_equal(strlen(bytes), size);
    scratch_remove(path);
    assert_true(size < 2000000);
    return bytes;
}

/* One dot for each stop that is used. */
static void assert_dots(xmlDocPtr document, const foci_survey *round) {
    char count[24];
    snprintf(count, sizeof count, "%zu", round->readings.count);
    assert_answer(document, "count(//*[@class='over' or @class='under'])", count);
}

static void the_page_is_well_formed(void **state) {
    char *page = write_report(*state);
    xmlDocPtr document = parse(page);
    assert_answer(document, "count(//h1)", "1");
    assert_answer(document, "string(//h1) = string(//title)", "true");
    assert_answer(document, "count(//section[not(h2)])", "0");
    assert_answer(document, "count(//tbody/tr[count(*) != count(../../thead/tr/th)])", "0");
    assert_answer(document, "count(//*[local-name()='svg'][not(@role='img') or string-length(@aria-label) < 5])", "0");
    assert_answer(document, "count(//img[string-length(@alt) < 10])", "0");
    assert_answer(document, "count(//*[local-name()='image'])", "4"); /* estimate, chance, both bounds */
    assert_answer(document, "string(//ul[@class='job']/li[1])", "threshold 10");
    assert_answer(document, "count(//section[h2='Where, and how much ground']//table[1]/tbody/tr)", "5");
    assert_dots(document, *state);
    xmlFreeDoc(document);
    free(page);
}

/* Ground that no stop speaks for is hatched, and then the key says so. */
static void hatching_is_explained(void **state) {
    foci_survey *round = *state;
    foci_error err = {0};
    char *page = write_report(round);
    assert_null(strstr(page, "Hatched ground"));
    free(page);
    round->unspoken = foci_new_array(round->grid.columns * round->grid.rows, sizeof *round->unspoken, &err);
    assert_non_null(round->unspoken);
    round->unspoken[round->grid.columns * (round->grid.rows / 2) + 7] = true;
    page = write_report(round);
    assert_non_null(strstr(page, "Hatched ground: no stop near enough to speak for this ground."));
    free(page);
}

/* Nothing is named that would have to be fetched. */
static void nothing_from_elsewhere(void **state) {
    char *page = write_report(*state);
    xmlDocPtr document = parse(page);
    assert_answer(document, "count(//link | //iframe | //a | //@onclick | //@srcset)", "0");
    assert_answer(document, "count(//script)", "1");
    assert_answer(document, "count(//script/@*)", "0");
    assert_answer(document, "count(//@src[not(starts-with(., 'data:image/png;base64,'))])", "0");
    assert_answer(document, "count(//@href[not(starts-with(., 'data:image/png;base64,') or starts-with(., '#'))])",
                  "0");
    assert_non_null(strstr(page, "Redistribution and use in source and binary forms")); /* the viewer's license */
    assert_non_null(strstr(page, "default-src 'none'; img-src data:; style-src 'sha256-"));
    xmlFreeDoc(document);
    free(page);
}

/* What others name is text everywhere, and no folder of this machine is told. */
static void names_cannot_break_out(void **state) {
    static const char *const evil =
        "</script><script>alert(1)</script>\" onload='x' \xF0\x9F\x8C\xB1 \xD7\xA9\xD7\x93\xD7\x94";
    foci_survey *round = *state;
    foci_error err = {0};
    free(round->field.name);
    free(round->stops.inputs[0].file);
    free(round->stops.items[0].name);
    free(round->title);
    round->field.name = foci_copy_text(evil, &err);
    round->title = foci_copy_text(evil, &err);
    round->stops.inputs[0].file = foci_copy_text("/home/someone/farm/<b>stops.csv", &err);
    round->stops.items[0].name = foci_copy_text(evil, &err);
    char *page = write_report(round);
    xmlDocPtr document = parse(page);
    assert_answer(document, "count(//script)", "1");
    assert_answer(document, "count(//@onload | //b)", "0");
    assert_answer(document, "string(//h1)", evil);
    assert_answer(document, "contains(string(//*[@class='over' or @class='under'][1]/*), 'alert(1)')", "true");
    assert_answer(document, "string(//table[caption='Files that were read']/tbody/tr[1]/td[1])", "<b>stops.csv");
    assert_null(strstr(page, "/home/"));
    xmlFreeDoc(document);
    free(page);
}

static void too_few_stops_make_dots_only(void **state) {
    foci_survey *round = *state;
    foci_surface_free(&round->surface);
    foci_hotspots_free(&round->hotspots);
    foci_zones_free(&round->zones);
    round->has_zones = false;
    round->pattern.verdict = FOCI_VERDICT_TOO_FEW;
    char *page = write_report(round);
    xmlDocPtr document = parse(page);
    assert_answer(document, "count(//*[local-name()='image'])", "0");
    assert_dots(document, *state);
    assert_answer(document, "count(//input[@type='radio'])", "0");
    xmlFreeDoc(document);
    free(page);
}

/* The page stays small: dots without names, each place once. */
static void many_stops_are_plain_dots(void **state) {
    (void)state;
    const sample_plan preferential = {30, 20, 64, 64, 2, 34};
    foci_survey round = {0};
    foci_error err = {0};
    assert_done(sample_round_of(&round, &preferential, &err), err);
    assert_true(round.readings.count > 3000);
    char *page = write_report(&round);
    xmlDocPtr document = parse(page);
    assert_answer(document, "count(//*[local-name()='circle'])", "0");
    assert_answer(document, "count(//*[local-name()='path'][@class='over' or @class='under'])", "2");
    assert_answer(document, "string-length(//*[local-name()='path'][@class='under']/@d) > 10000", "true");
    xmlFreeDoc(document);
    free(page);
    foci_survey_free(&round);
}

static const foci_survey *attempted;

static bool attempt(foci_error *err) {
    char path[256];
    scratch_name(path, "report.html");
    const bool ok = foci_report_write(attempted, path, err);
    assert_int_equal(access(path, F_OK) == 0, ok);
    scratch_remove(path);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    const sample_plan small = {12, 8, 3, 3, 1, 34};
    foci_survey round = {0};
    foci_error err = {0};
    assert_done(sample_round_of(&round, &small, &err), err);
    attempted = &round;
    double **const others[] = {&round.surface.low, &round.surface.high, &round.surface.chance}; /* drawn in one loop */
    for (size_t i = 0; i < 3; i++) {
        free(*others[i]);
        *others[i] = NULL;
    }
    support_fail_each_allocation(attempt);
    foci_survey_free(&round);
}

static void assets_are_found_by_name(void **state) {
    (void)state;
    size_t count = 0;
    for (const foci_page_asset *asset = foci_page_assets; asset->name; asset++, count++) {
        assert_ptr_equal(foci_page_asset_text(asset->name), asset->text);
        assert_true(strlen(asset->text) > 500);
        assert_null(strstr(asset->text, "</script"));
    }
    assert_int_equal(count, 4);
    assert_null(foci_page_asset_text("viewer"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_page_is_well_formed, begin, end),
        cmocka_unit_test_setup_teardown(hatching_is_explained, begin, end),
        cmocka_unit_test_setup_teardown(nothing_from_elsewhere, begin, end),
        cmocka_unit_test_setup_teardown(names_cannot_break_out, begin, end),
        cmocka_unit_test_setup_teardown(too_few_stops_make_dots_only, begin, end),
        cmocka_unit_test(many_stops_are_plain_dots),
        cmocka_unit_test(each_allocation_may_fail),
        cmocka_unit_test(assets_are_found_by_name),
    };
    const int failed = cmocka_run_group_tests(tests, NULL, NULL);
    xmlCleanupParser();
    return failed;
}
