/* The letter as the grower gets it: what it says, and that nobody's name can change what it is. */
#include "show/letter/letter.h"

#include "fieldfoci/words.h"
#include "decide/words/letter_words.h"
#include "decide/words/survey_words.h"
#include "show/read_picture.h"
#include "show/sample_round.h"

static int make_round(void **state) {
    static foci_survey round;
    foci_error err = {0};
    *state = &round;
    return sample_round_make(&round, &err) ? 0 : -1;
}

static int free_round(void **state) {
    foci_survey_free(*state);
    return 0;
}

/* The written letter, ended by a zero; owned by the caller. */
static char *written(const foci_survey *round, bool html) {
    char path[256];
    size_t size = 0;
    foci_error err = {0};
    scratch_name(path, html ? "letter.html" : "letter.txt");
    assert_done(html ? foci_letter_write_html(round, path, &err) : foci_letter_write_text(round, path, &err), err);
    char *bytes = file_bytes(path, &size), *text = foci_new_array(size + 1, 1, &err);
    assert_non_null(text);
    memcpy(text, bytes, size);
    free(bytes);
    scratch_remove(path);
    return text;
}

/* Whether the words stand there, wherever the lines end. */
static bool says(const char *text, const char *words) {
    const char *at = text;
    for (; *at; at++) {
        const char *here = at, *word = words;
        while (*word && *here) {
            if ((*here == '\n' || *here == ' ') && *word == ' ') {
                here += strspn(here, " \n");
                word++;
            } else if (*here == *word) {
                here++;
                word++;
            } else {
                break;
            }
        }
        if (!*word)
            return true;
    }
    return false;
}

static void it_says_what_was_found_and_what_to_do(void **state) {
    foci_survey *round = *state;
    foci_error err = {0};
    char *finding = foci_words_finding(round, &err), *text = written(round, false);
    assert_true(says(text, finding));
    assert_true(says(text, "We looked at 37 places in the field on August 11-12, 2025."));
    assert_true(says(text, "Hotspot 1, "));
    assert_true(says(text, "Hotspot 2, "));
    assert_true(says(text, "numbered places on the map") == (round->digs.count > 0));
    assert_true(says(text, round->has_profile && round->profile.too_late_in_season ? "This season there is no hurry"
                                                                                   : "Go by August 19, 2025"));
    assert_true(says(text, "not a diagnosis"));
    for (size_t i = 0; i < round->cautions.count; i++)
        assert_true(says(text, round->cautions.items[i]));
    for (size_t i = 0; i < round->warnings.count; i++)
        assert_true(says(text, round->warnings.items[i]));
    for (const char *line = text; *line; line += strcspn(line, "\n") + 1) {
        size_t letters = 0;
        for (size_t i = 0; i < strcspn(line, "\n"); i++)
            letters += ((unsigned char)line[i] & 0xC0) != 0x80;
        assert_true(letters <= 76);
        if (!strchr(line, '\n'))
            break;
    }
    free(finding);
    free(text);
}

/* Nobody signs where nobody is named. */
static void it_is_signed_where_that_is_asked_for(void **state) {
    foci_survey *round = *state;
    foci_error err = {0};
    char *text = written(round, false);
    assert_true(strstr(text, "(digs.gpx).\n") && strcmp(strstr(text, "(digs.gpx)."), "(digs.gpx).\n") == 0);
    free(text);
    round->letter_from = foci_copy_text("Ada Wren, county extension", &err);
    text = written(round, false);
    assert_true(says(text, "(digs.gpx). Ada Wren, county extension"));
    free(text);
    free(round->letter_from);
    round->letter_from = NULL;
}

/* In which third of the field: the sample's pockets lie in its northwest and southeast. */
static void places_are_named_as_on_the_map(void **state) {
    const foci_survey *round = *state;
    const foci_box box = foci_multipolygon_box(&round->field.shape);
    char *text = written(round, false);
    for (size_t i = 0; i < round->hotspots.count; i++) {
        const foci_point at = foci_multipolygon_centroid(&round->hotspots.items[i].shape);
        char wanted[64];
        const bool north = at.y > box.south + (box.north - box.south) * 2 / 3;
        const bool south = at.y < box.south + (box.north - box.south) / 3;
        const bool east = at.x > box.west + (box.east - box.west) * 2 / 3;
        const bool west = at.x < box.west + (box.east - box.west) / 3;
        const bool middle = !north && !south && !east && !west;
        snprintf(wanted, sizeof wanted, "Hotspot %zu, %s%s%s:", i + 1, middle ? "near the middle" : "in the ",
                 north   ? "north"
                 : south ? "south"
                         : "",
                 east   ? "east"
                 : west ? "west"
                        : "");
        assert_true(says(text, wanted));
    }
    free(text);
}

static void names_are_text_in_the_page(void **state) {
    foci_survey *round = *state;
    foci_error err = {0};
    char *name = round->field.name;
    round->field.name = foci_copy_text("</title><script>alert(1)</script>&\"'", &err);
    round->letter_from = foci_copy_text("<img src=x onerror=alert(1)>", &err);
    char *page = written(round, true);
    assert_null(strstr(page, "<script"));
    assert_null(strstr(page, "<img"));
    assert_non_null(strstr(page, "&lt;script&gt;alert(1)&lt;/script&gt;&amp;&quot;&#39;"));
    assert_non_null(strstr(page, "contenteditable=\"true\""));
    assert_null(strstr(page, "http:")); /* it asks nobody for anything */
    assert_null(strstr(page, "https:"));
    assert_null(strstr(page, "//"));
    free(page);
    free(round->field.name);
    free(round->letter_from);
    round->letter_from = NULL;
    round->field.name = name;
}

/* Every verdict, no disease at all, no surface: a letter each, and none tells to treat single spots. */
static void every_verdict_has_its_letter(void **state) {
    foci_survey *round = *state;
    const foci_verdict before = round->pattern.verdict;
    for (int verdict = 0; verdict < FOCI_VERDICT_END; verdict++) {
        round->pattern.verdict = (foci_verdict)verdict;
        char *text = written(round, false);
        assert_int_equal(says(text, "Do not treat single spots"), verdict != FOCI_VERDICT_PATCHY);
        free(text);
    }
    round->pattern.verdict = before;
}

static const foci_survey *attempted;

/* The page's policy is the report's: nothing is fetched, and no script is in it. */
static void the_page_fetches_nothing(void **state) {
    char *page = written(*state, true);
    assert_non_null(strstr(page, "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src "
                                 "data:; style-src 'sha256-"));
    assert_non_null(strstr(page, "@page { size: letter portrait; }"));
    assert_null(strstr(page, "<script"));
    free(page);
}

static bool attempt(foci_error *err) {
    char text[256], page[256];
    scratch_name(text, "letter.txt");
    scratch_name(page, "letter.html");
    const bool ok = foci_letter_write_text(attempted, text, err) && foci_letter_write_html(attempted, page, err);
    scratch_remove(text);
    scratch_remove(page);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    attempted = *state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_says_what_was_found_and_what_to_do),
        cmocka_unit_test(it_is_signed_where_that_is_asked_for),
        cmocka_unit_test(places_are_named_as_on_the_map),
        cmocka_unit_test(names_are_text_in_the_page),
        cmocka_unit_test(every_verdict_has_its_letter),
        cmocka_unit_test(the_page_fetches_nothing),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, make_round, free_round);
}
