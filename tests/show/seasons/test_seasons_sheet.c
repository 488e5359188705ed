/* The sheet of a comparison: what it says of itself, what is on it, and that it can be drawn for any number of seasons
 * and any field. */
#include "show/seasons/seasons_sheet.h"

#include "show/read_page.h"
#include "show/seasons/sample_seasons.h"
#include "decide/words/seasons_words.h"
#include "show/seasons/seasons_looks.h"

static foci_seasons scene_of(size_t count) {
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(sample_seasons_make(&seasons, count, &err), err);
    return seasons;
}

static void read_sheet(picture *read, const foci_seasons *seasons) {
    char path[256];
    foci_error err = {0};
    scratch_name(path, "persistence.png");
    assert_done(foci_seasons_sheet_png(seasons, path, &err), err);
    picture_read(read, path);
    scratch_remove(path);
}

static void test_the_sheet_says_what_it_is(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    picture read;
    read_sheet(&read, &seasons);
    assert_int_equal(read.width, 1600);
    assert_int_equal(read.height, 1236);
    assert_near(read.dots_per_metre * 0.0254, 1600 / 11.0, 0.02);
    assert_string_equal(picture_text(&read, "Title"), seasons.sentences.items[0]);
    assert_string_equal(picture_text(&read, "Software"), "fieldfoci " FOCI_VERSION);
    assert_string_equal(picture_text(&read, "Creation Time"), "2026-01-09T08:00:00Z");
    assert_non_null(strstr(picture_text(&read, "Description"), "read together"));
    picture_free(&read);
    foci_seasons_free(&seasons);
}

/* Each class covers about as much of the map as of the field; outlines and numbers hide some. */
static void test_the_classes_are_on_the_sheet(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    picture read;
    double share[FOCI_CLASS_END] = {0}, all = 0;
    size_t pixels[FOCI_CLASS_END] = {0}, sum = 0;
    read_sheet(&read, &seasons);
    for (size_t cell = 0; cell < seasons.grid.columns * seasons.grid.rows; cell++) {
        if (!(seasons.grid.share[cell] > 0))
            continue;
        share[seasons.persistence.class_code[cell]] += seasons.grid.share[cell];
        all += seasons.grid.share[cell];
    }
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
        sum += pixels[code] =
            count_colour(read.rgb, (size_t)read.width * read.height, foci_class_look_of((foci_class)code)->colour);
    const double sure = all - share[FOCI_CLASS_UNSURE];
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
        assert_near((double)pixels[code] / (double)sum, share[code] / sure, 0.025);
    assert_true(sum > 300000); /* a sixth of the sheet at least */
    picture_free(&read);
    foci_seasons_free(&seasons);
}

/* A season that changes, changes the sheet; a cell's class does, too. */
static void test_same_seasons_same_bytes(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(3);
    char first[256], second[256];
    foci_error err = {0};
    scratch_name(first, "a.png");
    scratch_name(second, "b.png");
    assert_done(foci_seasons_sheet_png(&seasons, first, &err), err);
    assert_done(foci_seasons_sheet_png(&seasons, second, &err), err);
    assert_same_files(first, second, true);
    seasons.persistence.class_code[25 * 60 + 10] = FOCI_CLASS_ALWAYS;
    assert_done(foci_seasons_sheet_png(&seasons, second, &err), err);
    assert_same_files(first, second, false);
    scratch_remove(first);
    scratch_remove(second);
    foci_seasons_free(&seasons);
}

static void test_the_page_is_a_pdf(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    char first[256], second[256];
    size_t size = 0;
    foci_error err = {0};
    scratch_name(first, "a.pdf");
    scratch_name(second, "b.pdf");
    assert_done(foci_seasons_sheet_pdf(&seasons, first, &err), err);
    assert_done(foci_seasons_sheet_pdf(&seasons, second, &err), err);
    assert_same_files(first, second, true);
    char *bytes = file_bytes(first, &size);
    assert_memory_equal(bytes, "%PDF-", 5);
    assert_memory_equal(bytes + size - 6, "%%EOF\n", 6);
    free(bytes);
    snprintf(seasons.made, sizeof seasons.made, "2027-01-09T08:00:00Z");
    assert_done(foci_seasons_sheet_pdf(&seasons, second, &err), err);
    assert_same_files(first, second, false);
    scratch_remove(first);
    scratch_remove(second);
    foci_seasons_free(&seasons);
}

/* Whether the strip of the legend carries the mark of the threshold between its third and fourth colour: ink of 3
 * pixels and more, straight down for at least 15. No line of a map is like that. */
static bool is_marked(const picture *read) {
    for (int x = 8; x + 8 < (int)read->width; x++)
        for (int y = 0, run = 0; y < (int)read->height; y++) {
            bool mark = pixel_at(read->rgb, read->width, x - 5, y) == 0xECA94D &&
                        pixel_at(read->rgb, read->width, x + 7, y) == 0xD6682A;
            for (int i = 0; i < 3 && mark; i++)
                mark = pixel_at(read->rgb, read->width, x + i, y) == 0x1A1A1A;
            run = mark ? run + 1 : 0;
            if (run == 15)
                return true;
        }
    return false;
}

/* One threshold is marked on the legend that all share; where they differ none is, and each map has a line of its own.
 */
static void test_only_a_common_threshold_is_marked(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    picture common, own, other;
    read_sheet(&common, &seasons);
    assert_true(is_marked(&common));
    seasons.rounds[0].threshold = 7;
    read_sheet(&own, &seasons);
    assert_false(is_marked(&own));
    seasons.rounds[0].threshold = 8;
    read_sheet(&other, &seasons);
    assert_false(is_marked(&other));
    assert_memory_not_equal(own.rgb, other.rgb, (size_t)3 * own.width * own.height);
    picture_free(&common);
    picture_free(&own);
    picture_free(&other);
    foci_seasons_free(&seasons);
}

/* The newest round's. */
static void test_the_page_is_of_the_newest_paper(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    char first[256], second[256];
    foci_error err = {0};
    scratch_name(first, "a.pdf");
    scratch_name(second, "b.pdf");
    seasons.rounds[0].paper = foci_paper_find("a4");
    assert_done(foci_seasons_sheet_pdf(&seasons, first, &err), err);
    assert_paper(first, "letter");
    seasons.rounds[1].paper = foci_paper_find("a4");
    assert_done(foci_seasons_sheet_pdf(&seasons, first, &err), err);
    assert_done(foci_seasons_sheet_pdf(&seasons, second, &err), err);
    assert_paper(first, "a4");
    assert_same_files(first, second, true);
    scratch_remove(first);
    scratch_remove(second);
    foci_seasons_free(&seasons);
}

static void test_bytes_in_memory_are_the_picture(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    unsigned char *bytes = NULL;
    size_t size = 0;
    char path[256];
    foci_error err = {0};
    picture own, read;
    assert_done(foci_seasons_sheet_bytes(&bytes, &size, &seasons, &err), err);
    scratch_name(path, "bytes.png");
    FILE *file = fopen(path, "wb");
    assert_int_equal(fwrite(bytes, 1, size, file), size);
    fclose(file);
    picture_read(&read, path);
    read_sheet(&own, &seasons);
    assert_memory_equal(read.rgb, own.rgb, (size_t)3 * read.width * read.height);
    picture_free(&read);
    picture_free(&own);
    scratch_remove(path);
    free(bytes);
    foci_seasons_free(&seasons);
}

static void assert_drawn(const foci_seasons *seasons) {
    char path[256];
    foci_error err = {0};
    scratch_name(path, "sheet");
    assert_done(foci_seasons_sheet_png(seasons, path, &err), err);
    assert_done(foci_seasons_sheet_pdf(seasons, path, &err), err);
    scratch_remove(path);
}

static void test_two_to_twelve_seasons_of_any_field(void **state) {
    (void)state;
    static const sample_plan plans[] = {{160, 14, 20, 2, 2, 34}, {14, 90, 2, 15, 2, 34}, {60, 40, 8, 5, 2, 34}};
    for (size_t count = 2; count <= FOCI_SEASONS_MOST; count++) {
        foci_seasons seasons = {0};
        foci_error err = {0};
        assert_done(sample_seasons_of(&seasons, &plans[count == 6 ? 2 : count % 2], count, &err), err);
        assert_drawn(&seasons);
        foci_seasons_free(&seasons);
    }
}

/* Without a comparison no colour of a class is on the sheet. */
static void test_no_comparison_no_map_of_classes(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(3);
    foci_error err = {0};
    picture read;
    assert_done(sample_seasons_uncompare(&seasons, &err), err);
    read_sheet(&read, &seasons);
    assert_string_equal(picture_text(&read, "Title"), "No comparison: 2024 shows no pattern to compare");
    assert_int_equal(
        count_colour(read.rgb, (size_t)read.width * read.height, foci_class_look_of(FOCI_CLASS_ALWAYS)->colour), 0);
    assert_true(count_colour(read.rgb, (size_t)read.width * read.height, 0xA23828) > 5000); /* severity is */
    picture_free(&read);
    foci_seasons_free(&seasons);
}

/* One of three is not compared; no season has a label; a title, a reason and far too many words. */
static void test_odd_cases_are_drawn(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(3);
    foci_error err = {0};
    free(seasons.persistence.chance[1]);
    seasons.persistence.chance[1] = NULL;
    seasons.persistence.compared = 2;
    assert_drawn(&seasons);
    for (size_t s = 0; s < 3; s++)
        seasons.rounds[s].season[0] = '\0';
    seasons.title = foci_copy_text("A & B <c>: where to plant what next year", &err);
    for (int i = 0; i < 30; i++)
        assert_true(foci_sentences_add(&seasons.cautions, &err, "Caution %d: %0200d", i, i) &&
                    foci_sentences_add(&seasons.warnings, &err, "Warning %d: %0200d", i, i) &&
                    foci_sentences_add(&seasons.even_so, &err, "Reason %d", i));
    foci_sentences_free(&seasons.sentences);
    assert_drawn(&seasons);
    foci_seasons_free(&seasons);
}

static void test_a_place_that_cannot_be_written_is_named(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    foci_error err = {0};
    assert_false(foci_seasons_sheet_pdf(&seasons, "/proc/nowhere/persistence.pdf", &err));
    assert_int_equal(err.status, FOCI_NO_FILE);
    assert_string_equal(err.source, "/proc/nowhere/persistence.pdf");
    foci_seasons_free(&seasons);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_sheet_says_what_it_is),
        cmocka_unit_test(test_the_classes_are_on_the_sheet),
        cmocka_unit_test(test_same_seasons_same_bytes),
        cmocka_unit_test(test_only_a_common_threshold_is_marked),
        cmocka_unit_test(test_the_page_is_a_pdf),
        cmocka_unit_test(test_the_page_is_of_the_newest_paper),
        cmocka_unit_test(test_bytes_in_memory_are_the_picture),
        cmocka_unit_test(test_two_to_twelve_seasons_of_any_field),
        cmocka_unit_test(test_no_comparison_no_map_of_classes),
        cmocka_unit_test(test_odd_cases_are_drawn),
        cmocka_unit_test(test_a_place_that_cannot_be_written_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
