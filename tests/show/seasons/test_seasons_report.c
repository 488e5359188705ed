/* report.html: well-formed, whole, and careful with other people's text. */
#include "show/seasons/seasons_files.h"

#include "show/read_html.h"
#include "show/read_picture.h"
#include "show/seasons/sample_seasons.h"

static foci_seasons scene_of(size_t count) {
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(sample_seasons_make(&seasons, count, &err), err);
    return seasons;
}

static char *write_report(const foci_seasons *seasons) {
    char path[256];
    size_t size = 0;
    foci_error err = {0};
    scratch_name(path, "report.html");
    assert_done(foci_seasons_report(seasons, path, &err), err);
    char *bytes = file_bytes(path, &size);
    bytes[size] = '\0';
    assert_int_equal(strlen(bytes), size);
    scratch_remove(path);
    return bytes;
}

static void test_the_page_is_well_formed(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    char *page = write_report(&seasons);
    xmlDocPtr document = parse(page);
    assert_ptr_equal(strstr(page, "<!DOCTYPE html>\n<html lang=\"en\">"), page);
    assert_answer(document, "string(/html/@lang)", "en");
    assert_answer(document, "string(/html/head/title)", seasons.sentences.items[0]);
    assert_answer(document, "string(//h1)", seasons.sentences.items[0]);
    assert_answer(document, "count(//h1)", "1");
    assert_answer(document, "count(//table)", "7");
    assert_answer(document,
                  "count(//table[caption and thead/tr/th[@scope='col'] and not(tbody/tr[not(th[@scope='row'])])])",
                  "7");
    /* every row has a cell below each head */
    assert_answer(document, "count(//tbody/tr[count(*) != count(../../thead/tr/th)])", "0");
    assert_answer(document, "count(//section[not(h2)])", "0");
    assert_answer(document, "count(//link | //iframe | //a | //@onclick)", "0");
    assert_answer(document, "count(//script)", "1");
    assert_answer(document, "contains(//p[@class='warning'], 'The label is the law')", "true");
    /* classes, seasons hot, and of each season its chance and its own surface: to choose from, and to see on paper */
    assert_answer(document, "count(//input[@type='radio'])", "6");
    assert_answer(document, "count(//*[local-name()='image'])", "6");
    assert_answer(document, "count(//*[local-name()='svg'][not(@role='img') or string-length(@aria-label) < 10])", "0");
    assert_answer(document, "contains(//*[@id='map']/@aria-label, 'Hotspots came back')", "true");
    assert_answer(document, "count(//*[@id='map']//*[@id='hotspots-shapes']/*)", "3");
    assert_answer(document, "count(//*[@id='stops0-shapes']/*[local-name()='circle'])", "37");
    xmlFreeDoc(document);
    free(page);
    foci_seasons_free(&seasons);
}

/* Nothing is fetched: no address stands in it. Nothing is NaN. */
static void test_nothing_from_elsewhere(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(FOCI_SEASONS_MOST);
    char *page = write_report(&seasons);
    assert_true(strlen(page) < 1700000);
    xmlDocPtr document = parse(page);
    static const char *const words[] = {"http", "url(", "@import", "nan", "NaN", "(null)", "//"};
    char question[200];
    for (size_t k = 0; k < sizeof words / sizeof *words; k++) {
        snprintf(question, sizeof question, "contains(string(//main), '%s')", words[k]);
        assert_answer(document, question, "false");
        /* chance letters of pictures and values are not words */
        snprintf(question, sizeof question,
                 "count(//@*[string-length(.) < 1000 and not(starts-with(., 'data:'))][contains(., '%s')])", words[k]);
        assert_answer(document, question, "0");
    }
    assert_answer(document,
                  "count(//@src | //@href[not(starts-with(., 'data:image/png;base64,iVBOR') or starts-with(., '#'))])",
                  "0");
    xmlFreeDoc(document);
    free(page);
    foci_seasons_free(&seasons);
}

static void test_the_numbers_are_there(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    seasons.persistence.classes[FOCI_CLASS_ALWAYS] = (foci_estimate){1.913, 0.871, 3.142};
    seasons.persistence.pairs[0].by_chance = (foci_estimate){0.613, 0.104, 1.327};
    seasons.persistence.pairs[0].kappa = NAN; /* not defined, though compared */
    char *page = write_report(&seasons);
    xmlDocPtr document = parse(page);
    assert_answer(document, "string(//section[h2='How much ground']//tr[th='both']/td[3])",
                  "1.9\u00A0(0.9\u00A0to\u00A03.1)");
    assert_answer(document, "string(//section[h2='How much ground']//tr[th='both']/td[2])",
                  "4.7\u00A0(2.2\u00A0to\u00A07.8)");
    assert_answer(document, "count(//section[h2='How much ground']//tbody/tr)", "4");
    assert_answer(document, "count(//section[h2='How much ground']//tr[th='often'])", "0");
    assert_answer(document, "string(//section[h2='Season against season']//tbody/tr/th)", "2024 and 2025");
    assert_answer(document, "string(//section[h2='Season against season']//tbody/tr/td[1])", "came back");
    assert_answer(document, "string(//section[h2='Season against season']//tbody/tr/td[2])", "0.013");
    assert_answer(document, "string(//section[h2='Season against season']//tbody/tr/td[4])",
                  "1.5\u00A0(0.3\u00A0to\u00A03.3)");
    assert_answer(document, "count(//section[h2='Season against season']//tbody/tr/td)", "6");
    assert_answer(document, "string(//section[h2='Coefficients']//tbody/tr/th)", "2024 and 2025");
    assert_answer(document, "string(//section[h2='Coefficients']//tbody/tr/td[1])", "0.61");
    assert_answer(document, "string(//section[h2='Coefficients']//tbody/tr/td[2])", "0.20");
    assert_answer(document, "string(//section[h2='Coefficients']//tbody/tr/td[4])", "0.12");
    assert_answer(document, "string(//section[h2='Coefficients']//tbody/tr/td[7])", "not defined");
    assert_answer(document, "count(//section[h2='The seasons']//tbody/tr)", "2");
    assert_answer(document, "string(//section[h2='The seasons']//tbody/tr[2]/td[1])", "2025");
    assert_answer(document, "string(//section[h2='The seasons']//tbody/tr[2]/td[3])", "10 %");
    assert_answer(document, "string(//section[h2='Where']//tbody/tr[1]/td[1])", "both");
    assert_answer(document, "string(//section[h2='Where']//tbody/tr[1]/td[2])", "2024, 2025");
    assert_answer(document, "count(//section[h2='Before anyone acts']//li)", "5");
    assert_answer(document, "string(//section[h2='Where it comes from']//div[1]//tbody/tr[2]/td[1])", "2025");
    assert_answer(document, "string(//section[h2='Where it comes from']//div[1]//tbody/tr[2]/td[2])", seasons.keys[1]);
    assert_answer(document, "string(//section[h2='Where it comes from']//div[2]//tbody/tr[1]/td[1])", "stops.csv");
    xmlFreeDoc(document);
    free(page);
    foci_seasons_free(&seasons);
}

static void test_each_place_with_a_number_is_listed(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(4);
    char *page = write_report(&seasons), wanted[16];
    xmlDocPtr document = parse(page);
    size_t count = 0;
    for (size_t i = 0; i < seasons.places.count; i++)
        count += seasons.places.items[i].id > 0;
    snprintf(wanted, sizeof wanted, "%zu", count);
    assert_true(count > 3);
    assert_answer(document, "count(//section[h2='Where']//tbody/tr)", wanted);
    for (size_t number = 1; number <= count; number++) { /* in the order of their numbers */
        char question[80];
        snprintf(question, sizeof question, "string(//section[h2='Where']//tbody/tr[%zu]/th)", number);
        snprintf(wanted, sizeof wanted, "%zu", number);
        assert_answer(document, question, wanted);
    }
    assert_answer(document, "count(//section[h2='How much ground']//tr[th='often'])", "1");
    assert_answer(document, "count(//section[h2='Season against season']//tbody/tr)", "6");
    xmlFreeDoc(document);
    free(page);
    foci_seasons_free(&seasons);
}

/* It is printed on the paper of the newest round. */
static void test_the_paper_is_the_newest(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    seasons.rounds[0].paper = foci_paper_find("a4");
    char *page = write_report(&seasons);
    assert_non_null(strstr(page, "@page { size: letter portrait;"));
    free(page);
    seasons.rounds[1].paper = foci_paper_find("a4");
    page = write_report(&seasons);
    assert_non_null(strstr(page, "@page { size: a4 portrait;"));
    free(page);
    foci_seasons_free(&seasons);
}

static void replace(char **text, const char *by) {
    foci_error err = {0};
    free(*text);
    *text = foci_copy_text(by, &err);
    assert_non_null(*text);
}

static void test_names_cannot_break_out(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    foci_error err = {0};
    static const char name[] = "A & B <c> \"d\" 'e' </td><script>alert(1)</script>";
    replace(&seasons.rounds[1].field.name, name);
    replace(&seasons.rounds[1].season, "20<25> & more");
    replace(&seasons.surveys[0], "</table> & \xFF\x01");
    replace(&seasons.rounds[0].stops.inputs[0].file, "<stops>.csv");
    replace(&seasons.rounds[0].profile.title, "rot & \"wilt\"");
    replace(&seasons.title, name);
    assert_done(foci_sentences_add(&seasons.even_so, &err, "I <know> & say so"), err);
    char *page = write_report(&seasons);
    xmlDocPtr document = parse(page);
    assert_answer(document, "string(//h1)", name);
    assert_answer(document, "string(/html/head/title)", name);
    assert_answer(document, "count(//script)", "1");
    assert_answer(document, "count(//@*[contains(., '20<25> & more')]) > 2", "true"); /* said of values, too */
    assert_answer(document, "string(//section[h2='The seasons']//tbody/tr[2]/th)", "20<25> & more");
    assert_answer(document, "string(//section[h2='The seasons']//tbody/tr[1]/td[1])", "table> & \uFFFD ");
    assert_answer(document, "string(//section[h2='The seasons']//tbody/tr[1]/td[2])", "rot & \"wilt\"");
    assert_answer(document, "string(//section[h2='Where it comes from']//div[2]//tbody/tr[1]/td[1])", "<stops>.csv");
    assert_answer(document, "count(//p[@class='warning'][contains(., 'I <know> & say so')])", "2"); /* on top, too */
    assert_answer(document, "string(//p[@class='first'])", seasons.sentences.items[0]); /* the title is the user's */
    xmlFreeDoc(document);
    free(page);
    foci_seasons_free(&seasons);
}

static void test_no_comparison_is_said(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    foci_error err = {0};
    assert_done(sample_seasons_uncompare(&seasons, &err), err);
    char *page = write_report(&seasons);
    xmlDocPtr document = parse(page);
    assert_answer(document, "count(//section[h2='How much ground' or h2='Where'])", "0");
    assert_answer(document, "string(//section[h2='Season against season']//tbody/tr/td[1])",
                  "no comparison: 2025: it shows no pattern");
    assert_answer(document, "count(//section[h2='Season against season']//tbody/tr/td[.='not compared'])", "5");
    assert_answer(document, "count(//section[h2='Coefficients']//tbody/tr/td[.='not compared'])", "7");
    assert_answer(document, "count(//input[@type='radio'])", "2"); /* the seasons' own surfaces */
    assert_answer(document, "count(//*[@id='map']//*[@id='hotspots-shapes'])", "0");
    assert_answer(document, "string(//section[h2='The seasons']//tbody/tr[1]/td[7])", "not compared");
    xmlFreeDoc(document);
    free(page);
    foci_seasons_free(&seasons);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_page_is_well_formed),
        cmocka_unit_test(test_nothing_from_elsewhere),
        cmocka_unit_test(test_the_paper_is_the_newest),
        cmocka_unit_test(test_the_numbers_are_there),
        cmocka_unit_test(test_each_place_with_a_number_is_listed),
        cmocka_unit_test(test_names_cannot_break_out),
        cmocka_unit_test(test_no_comparison_is_said),
    };
    const int failed = cmocka_run_group_tests(tests, NULL, NULL);
    xmlCleanupParser();
    return failed;
}
