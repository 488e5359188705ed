/* The sheet as a whole: what it says of itself, and that it can be drawn for any round. */
#include "fieldfoci/map.h"

#include "show/map/map_legends.h"
#include "decide/words/survey_words.h"
#include "show/read_page.h"
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

static void write_sheet(const foci_survey *round, const char *path) {
    foci_error err = {0};
    assert_done(foci_map_write_png(round, path, &err), err);
}

static void the_sheet_says_what_it_is(void **state) {
    char path[256];
    picture read;
    scratch_name(path, "map.png");
    write_sheet(*state, path);
    picture_read(&read, path);
    assert_int_equal(read.width, 1600);
    assert_int_equal(read.height, 1236);
    assert_near(read.dots_per_metre * 0.0254, 1600 / 11.0, 0.02); /* letter, landscape: 11 inches wide */
    assert_string_equal(picture_text(&read, "Title"),
                        "Two hotspots, 1.7 acres (0.7 ha), hold about 55 % of the Sclerotinia stem rot of soybean");
    assert_string_equal(picture_text(&read, "Software"), "fieldfoci " FOCI_VERSION);
    assert_string_equal(picture_text(&read, "Creation Time"), "2025-08-13T06:30:00Z");
    assert_non_null(strstr(picture_text(&read, "Description"), "37 stops, not a diagnosis and not a recommendation"));
    assert_non_null(strstr(picture_text(&read, "Description"), "near ones count most"));
    picture_free(&read);
    scratch_remove(path);
}

static void the_same_round_gives_the_same_bytes(void **state) {
    foci_survey *round = *state;
    char first[256], second[256];
    scratch_name(first, "a.png");
    scratch_name(second, "b.png");
    write_sheet(round, first);
    write_sheet(round, second);
    assert_same_files(first, second, true);
    round->readings.values[3] += 35; /* a stop's symbol, and nothing else */
    write_sheet(round, second);
    assert_same_files(first, second, false);
    scratch_remove(first);
    scratch_remove(second);
}

/* Every class that the surface has covers about as many pixels as its share of the field: the legend alone has about
 * 1,800 of each. Stops and outlines hide some. */
static void the_surface_is_on_the_sheet(void **state) {
    const foci_survey *round = *state;
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    double edges[FOCI_LEGEND_MOST], share[FOCI_LEGEND_MOST] = {0}, all = 0;
    size_t pixels[FOCI_LEGEND_MOST], sum = 0;
    char path[256];
    picture read;
    scratch_name(path, "map.png");
    write_sheet(round, path);
    picture_read(&read, path);
    legend->breaks(edges, round);
    for (size_t cell = 0; cell < round->grid.columns * round->grid.rows; cell++) {
        if (!(round->grid.share[cell] > 0))
            continue;
        all += round->grid.share[cell];
        share[foci_map_legend_class(legend, edges, round->surface.estimate[cell])] += round->grid.share[cell];
    }
    for (size_t i = 0; i < legend->classes; i++)
        sum += pixels[i] = count_colour(read.rgb, (size_t)read.width * read.height, legend->colours[i]);
    for (size_t i = 0; i < legend->classes; i++)
        assert_near((double)pixels[i] / (double)sum, share[i] / all, 0.02);
    assert_true(sum > 400000); /* a fifth of the sheet at least */
    picture_free(&read);
    scratch_remove(path);
}

/* The page is the same sheet: a PDF, the same bytes twice, other bytes for another round. */
static void the_page_is_a_pdf(void **state) {
    foci_survey *round = *state;
    char first[256], second[256];
    size_t size = 0;
    foci_error err = {0};
    scratch_name(first, "a.pdf");
    scratch_name(second, "b.pdf");
    assert_done(foci_map_write_pdf(round, first, &err), err);
    assert_done(foci_map_write_pdf(round, second, &err), err);
    assert_same_files(first, second, true);
    char *bytes = file_bytes(first, &size);
    assert_memory_equal(bytes, "%PDF-", 5);
    assert_memory_equal(bytes + size - 6, "%%EOF\n", 6);
    free(bytes);
    /* Tagged (ISO 32000-1, 14.8), and its letters are in it. */
    assert_true(page_holds(first, "/Type /StructTreeRoot") && page_holds(first, "/S /H1") &&
                page_holds(first, "/S /P"));
    assert_true(page_holds(first, "/FontFile2"));
    round->readings.values[3] += 35;
    assert_done(foci_map_write_pdf(round, second, &err), err);
    assert_same_files(first, second, false);
    scratch_remove(first);
    scratch_remove(second);
}

/* The page is that of the round's paper, letter where none is named; the picture knows no paper. */
static void the_page_is_of_the_rounds_paper(void **state) {
    foci_survey *round = *state;
    char pages[2][256], letter[256], picture_after[256];
    foci_error err = {0};
    picture read;
    scratch_name(letter, "letter.pdf");
    scratch_name(pages[0], "a.pdf");
    scratch_name(pages[1], "b.pdf");
    scratch_name(picture_after, "b.png");
    assert_done(foci_map_write_pdf(round, letter, &err), err);
    assert_paper(letter, "letter");
    round->paper = foci_paper_find("a4");
    for (int i = 0; i < 2; i++) {
        assert_done(foci_map_write_pdf(round, pages[i], &err), err);
        assert_paper(pages[i], "a4");
    }
    write_sheet(round, picture_after);
    assert_same_files(pages[0], pages[1], true);
    picture_read(&read, picture_after); /* where that paper is used hectares lead */
    assert_string_equal(picture_text(&read, "Title"),
                        "Two hotspots, 0.7 ha (1.7 acres), hold about 55 % of the Sclerotinia stem rot of soybean");
    picture_free(&read);
    scratch_remove(letter);
    scratch_remove(pages[0]);
    scratch_remove(pages[1]);
    scratch_remove(picture_after);
}

/* Dig-checks are on the sheet, on the map and in the key; without them it is as it was. */
static void dig_checks_are_on_the_sheet(void **state) {
    foci_survey *round = *state;
    char first[256], second[256];
    const foci_point pocket = sample_pocket(&(sample_plan){60, 40, 8, 5, 2, 34}, 0);
    foci_dig_point items[] = {{.visit = 1, .place = pocket}, {.visit = 2, .place = {pocket.x + 61.5, pocket.y}}};
    picture without, with;
    scratch_name(first, "a.png");
    scratch_name(second, "b.png");
    write_sheet(round, first);
    round->digs = (foci_dig_points){.count = 2, .items = items};
    write_sheet(round, second);
    round->digs = (foci_dig_points){0};
    picture_read(&without, first);
    picture_read(&with, second);
    size_t on_map = 0, in_key = 0;
    for (int y = 0; y < 1236; y++)
        for (int x = 0; x < 1600; x++)
            if (pixel_at(without.rgb, 1600, x, y) != pixel_at(with.rgb, 1600, x, y)) {
                assert_true(x < 1040); /* the column beside the map is as it was */
                *(y > 850 ? &in_key : &on_map) += 1;
            }
    assert_true(on_map > 2 * 500);
    assert_true(in_key > 500);
    picture_free(&without);
    picture_free(&with);
    scratch_remove(first);
    scratch_remove(second);
}

static void a_place_that_cannot_be_written_is_named(void **state) {
    foci_error err = {0};
    assert_fails(foci_map_write_png(*state, "/proc/nowhere/map.png", &err), err, FOCI_NO_FILE, "cannot be written");
    assert_string_equal(err.source, "/proc/nowhere/map.png");
}

static void assert_sheet(const foci_survey *round, const char *title) {
    char path[256];
    picture read;
    scratch_name(path, "map.png");
    write_sheet(round, path);
    picture_read(&read, path);
    assert_string_equal(picture_text(&read, "Title"), title);
    picture_free(&read);
    scratch_remove(path);
}

/* One pocket, none, long and thin either way, many stops. */
static void any_field_has_a_sheet(void **state) {
    (void)state;
    const struct {
        sample_plan plan;
        const char *words; /* of the finding */
    } cases[] = {
        {{60, 40, 8, 5, 1, 30}, "One hotspot, "},    {{60, 40, 8, 5, 0, 1}, "No hotspot: nowhere"},
        {{60, 40, 8, 5, 0, 0}, "No disease found"},  {{240, 16, 30, 2, 2, 34}, "Two hotspots, "},
        {{14, 160, 2, 20, 2, 34}, "Two hotspots, "}, {{90, 80, 15, 10, 2, 60}, "Two hotspots, "},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_survey round = {0};
        foci_error err = {0};
        assert_done(sample_round_of(&round, &cases[i].plan, &err), err);
        char *finding = foci_words_finding(&round, &err);
        assert_non_null(finding);
        assert_ptr_equal(strstr(finding, cases[i].words), finding);
        assert_sheet(&round, finding);
        free(finding);
        foci_survey_free(&round);
    }
}

static void a_title_of_the_users_is_the_headline(void **state) {
    foci_survey *round = *state;
    char *own = round->title, title[] = "Where to look before planting";
    round->title = title;
    assert_sheet(round, title);
    round->title = own;
}

/* Without chances, and without zones. */
static void what_is_missing_is_no_failure(void **state) {
    foci_survey *round = *state;
    double *chance = round->surface.chance;
    round->surface.chance = NULL;
    round->method.method = foci_surface_method_find("idw");
    round->model.facts.variogram.kind = NULL;
    assert_sheet(round, "Two hotspots of Sclerotinia stem rot of soybean, 1.7 acres (0.7 ha)");
    round->surface.chance = chance;
    round->has_zones = false;
    const size_t count = round->hotspots.count;
    round->hotspots.count = 0;
    assert_sheet(round, "Sclerotinia stem rot of soybean averages 4.7 % over the field: no hotspots are drawn");
    round->hotspots.count = count;
    round->threshold = NAN;
    round->surface.chance = NULL;
    assert_sheet(round, "Sclerotinia stem rot of soybean averages 4.7 % over the field: no hotspots are drawn");
    round->surface.chance = chance;
}

/* Too few stops for a surface: the boundary, the dots and what they say together; no color of any class. */
static void stops_without_a_surface_are_shown_as_they_are(void **state) {
    foci_survey *round = *state;
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    foci_error err = {0};
    char path[256];
    picture read;
    foci_surface_free(&round->surface);
    foci_hotspots_free(&round->hotspots);
    foci_zones_free(&round->zones);
    foci_grid_free(&round->grid);
    free(round->no_zones_why);
    round->no_zones_why = foci_copy_text("A map takes 20 stops or more.", &err);
    round->has_zones = false;
    round->has_pattern = true;
    round->pattern.field = (foci_field_mean){.mean = {7.385, 3.617, 12.94}};
    scratch_name(path, "map.png");
    write_sheet(round, path);
    picture_read(&read, path);
    for (size_t i = 0; i < legend->classes; i++)
        assert_int_equal(count_colour(read.rgb, (size_t)read.width * read.height, legend->colours[i]), 0);
    assert_true(count_colour(read.rgb, (size_t)read.width * read.height, 0x1A1A1A) > 10000);
    picture_free(&read);
    scratch_remove(path);
}

/* More words than there is room for: the picture is higher, the PDF has more pages; nothing is cut. */
static void too_many_words_go_on_below(void **state) {
    foci_survey *round = *state;
    foci_error err = {0};
    char path[256], page[256];
    picture read;
    for (int i = 0; i < 30; i++)
        assert_true(foci_sentences_add(&round->cautions, &err, "Caution %d: %0200d", i, i) &&
                    foci_sentences_add(&round->warnings, &err, "Warning %d: %0200d", i, i));
    scratch_name(path, "map.png");
    scratch_name(page, "map.pdf");
    write_sheet(round, path);
    picture_read(&read, path);
    assert_int_equal(read.width, 1600);
    assert_true(read.height > 1236 + 400);
    size_t below = 0;
    for (unsigned y = 1236; y < read.height; y++)
        for (int x = 0; x < 1600; x++)
            below += pixel_at(read.rgb, 1600, x, (int)y) == 0x1A1A1A;
    assert_true(below > 5000); /* letters */
    assert_done(foci_map_write_pdf(round, page, &err), err);
    assert_true(page_holds(page, "/Type /Page % 2"));
    picture_free(&read);
    scratch_remove(path);
    scratch_remove(page);
}

/* The paper stands where that makes the map larger by a quarter; the page to take along lies. */
static void a_high_field_stands(void **state) {
    (void)state;
    const sample_plan high = {30, 46, 4, 6, 1, 34}, square = {40, 40, 5, 5, 1, 34};
    foci_survey round = {0};
    foci_error err = {0};
    char path[256], page[256];
    picture read;
    scratch_name(path, "map.png");
    scratch_name(page, "map.pdf");
    assert_done(sample_round_of(&round, &high, &err), err);
    write_sheet(&round, path);
    picture_read(&read, path);
    assert_int_equal(read.width, 1236);
    assert_int_equal(read.height, 1600);
    picture_free(&read);
    assert_done(foci_map_write_pdf(&round, page, &err), err);
    assert_true(page_holds(page, "/MediaBox [ 0 0 612 792 ]") && page_holds(page, "/MediaBox [ 0 0 792 612 ]"));
    foci_survey_free(&round);
    assert_done(sample_round_of(&round, &square, &err), err);
    write_sheet(&round, path);
    picture_read(&read, path);
    assert_int_equal(read.width, 1600);
    picture_free(&read);
    foci_survey_free(&round);
    scratch_remove(path);
    scratch_remove(page);
}

static const foci_survey *attempted;

static bool attempt(foci_error *err) {
    char path[256];
    scratch_name(path, "map.png");
    const bool ok = foci_map_write_png(attempted, path, err);
    assert_int_equal(access(path, F_OK) == 0, ok);
    scratch_remove(path);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    const sample_plan small = {30, 20, 5, 4, 2, 34};
    foci_survey round = {0};
    foci_error err = {0};
    assert_done(sample_round_of(&round, &small, &err), err);
    attempted = &round;
    support_fail_each_allocation(attempt);
    foci_survey_free(&round);
}

int main(void) {
#define WITH_ROUND(test) cmocka_unit_test_setup_teardown(test, make_round, free_round)
    const struct CMUnitTest tests[] = {
        WITH_ROUND(the_sheet_says_what_it_is),
        WITH_ROUND(the_same_round_gives_the_same_bytes),
        WITH_ROUND(the_surface_is_on_the_sheet),
        WITH_ROUND(a_place_that_cannot_be_written_is_named),
        WITH_ROUND(the_page_is_a_pdf),
        WITH_ROUND(the_page_is_of_the_rounds_paper),
        WITH_ROUND(dig_checks_are_on_the_sheet),
        cmocka_unit_test(any_field_has_a_sheet),
        WITH_ROUND(a_title_of_the_users_is_the_headline),
        WITH_ROUND(what_is_missing_is_no_failure),
        WITH_ROUND(stops_without_a_surface_are_shown_as_they_are),
        WITH_ROUND(too_many_words_go_on_below),
        cmocka_unit_test(a_high_field_stands),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
