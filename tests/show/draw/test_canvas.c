/* Drawing, looked at pixel by pixel. */
#include "show/draw/canvas.h"

#include "show/read_page.h"

#include <sys/wait.h>

#define SIDE 120

static foci_canvas *open_canvas(void) {
    foci_error err = {0};
    foci_canvas *canvas = NULL;
    assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
    return canvas;
}

static unsigned char *finish(foci_canvas *canvas) {
    foci_error err = {0};
    unsigned char *rgb = NULL;
    assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
    foci_canvas_close(canvas);
    return rgb;
}

/* Runs in a child that has not looked for fonts yet, with a set-up that knows none. */
static int try_without_fonts(void) {
    char path[256];
    foci_error err = {0};
    foci_canvas *canvas = NULL;
    scratch_name(path, "fonts.conf");
    FILE *file = fopen(path, "w");
    fputs("<?xml version=\"1.0\"?><!DOCTYPE fontconfig SYSTEM \"fonts.dtd\"><fontconfig></fontconfig>", file);
    fclose(file);
    setenv("FONTCONFIG_FILE", path, 1);
    const bool opened = foci_canvas_open(&canvas, SIDE, SIDE, &err);
    remove(path);
    *strrchr(path, '/') = '\0';
    rmdir(path);
    return !opened && !canvas && err.status == FOCI_NO_FILE && strstr(err.text, "no font") ? 42 : 1;
}

static void without_a_font_it_says_so(void **state) {
    (void)state;
    const pid_t child = fork();
    if (child == 0)
        _exit(try_without_fonts());
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 42);
}

static void a_new_sheet_is_white(void **state) {
    (void)state;
    unsigned char *rgb = finish(open_canvas());
    assert_int_equal(count_colour(rgb, SIDE * SIDE, 0xFFFFFF), SIDE * SIDE);
    free(rgb);
}

static void areas_fill_and_holes_stay_empty(void **state) {
    (void)state;
    foci_canvas *canvas = open_canvas();
    const foci_point outer[] = {{10, 10}, {100, 10}, {100, 100}, {10, 100}};
    foci_canvas_line(canvas, outer, 4, true);
    foci_canvas_rectangle(canvas, 40, 40, 20, 20);
    foci_canvas_fill(canvas, 0x2F7AAD);
    unsigned char *rgb = finish(canvas);
    assert_int_equal(pixel_at(rgb, SIDE, 20, 30), 0x2F7AAD);
    assert_int_equal(pixel_at(rgb, SIDE, 50, 50), 0xFFFFFF);
    assert_int_equal(pixel_at(rgb, SIDE, 105, 50), 0xFFFFFF);
    assert_int_equal(count_colour(rgb, SIDE * SIDE, 0x2F7AAD), 90 * 90 - 20 * 20);
    free(rgb);
}

static void strokes_stand_on_white(void **state) {
    (void)state;
    foci_canvas *canvas = open_canvas();
    foci_canvas_rectangle(canvas, 0, 0, SIDE, SIDE);
    foci_canvas_fill(canvas, 0x691E28);
    const foci_point line[] = {{10, 60}, {110, 60}};
    foci_canvas_line(canvas, line, 2, false);
    foci_canvas_stroke_on_white(canvas, 0x1A1A1A, 6, 4);
    foci_canvas_circle(canvas, (foci_point){60, 20}, 10);
    foci_canvas_stroke(canvas, 0x00FF00, 4);
    unsigned char *rgb = finish(canvas);
    assert_int_equal(pixel_at(rgb, SIDE, 60, 60), 0x1A1A1A);
    assert_int_equal(pixel_at(rgb, SIDE, 60, 65), 0xFFFFFF);
    assert_int_equal(pixel_at(rgb, SIDE, 60, 68), 0x691E28);
    assert_int_equal(pixel_at(rgb, SIDE, 60, 10), 0x00FF00);
    assert_int_equal(pixel_at(rgb, SIDE, 60, 20), 0x691E28);
    free(rgb);
}

static void images_are_clipped(void **state) {
    (void)state;
    foci_canvas *canvas = open_canvas();
    uint32_t pixels[50 * 40];
    for (int i = 0; i < 50 * 40; i++)
        pixels[i] = i % 50 < 25 ? 0xF1AF56 : 0xAE422C;
    foci_canvas_rectangle(canvas, 20, 20, 40, 30);
    foci_canvas_clip(canvas);
    foci_canvas_image(canvas, pixels, 50, 40, 20, 20);
    foci_canvas_unclip(canvas);
    foci_canvas_rectangle(canvas, 100, 100, 5, 5);
    foci_canvas_fill(canvas, 0x000001);
    unsigned char *rgb = finish(canvas);
    assert_int_equal(count_colour(rgb, SIDE * SIDE, 0xF1AF56), 25 * 30);
    assert_int_equal(count_colour(rgb, SIDE * SIDE, 0xAE422C), 15 * 30);
    assert_int_equal(pixel_at(rgb, SIDE, 44, 49), 0xF1AF56);
    assert_int_equal(pixel_at(rgb, SIDE, 45, 49), 0xAE422C);
    assert_int_equal(pixel_at(rgb, SIDE, 102, 102), 0x000001);
    free(rgb);
}

/* The columns that hold any ink. */
static void ink_columns(const unsigned char *rgb, int *first, int *last) {
    *first = SIDE;
    *last = -1;
    for (int i = 0; i < SIDE * SIDE; i++) {
        if (pixel_at(rgb, SIDE, i % SIDE, i / SIDE) == 0xFFFFFF)
            continue;
        *first = i % SIDE < *first ? i % SIDE : *first;
        *last = i % SIDE > *last ? i % SIDE : *last;
    }
}

static void text_stands_where_it_was_measured(void **state) {
    (void)state;
    for (int align = FOCI_ALIGN_LEFT; align <= FOCI_ALIGN_RIGHT; align++) {
        const foci_lettering style = {.size = 20, .colour = 0x1A1A1A, .align = (foci_align)align};
        int first, last;
        foci_canvas *canvas = open_canvas();
        const foci_point extent = foci_canvas_measure(canvas, &style, "mmm");
        assert_true(extent.x > 40 && extent.x < 80 && extent.y > 15 && extent.y < 35);
        const double height = foci_canvas_text(canvas, 60, 20, &style, "mmm");
        assert_near(height, extent.y, 1e-9);
        unsigned char *rgb = finish(canvas);
        ink_columns(rgb, &first, &last);
        const double left = 60 - extent.x * align / 2;
        assert_in_range(first, (int)fmax(left - 1, 0), (int)left + 4);
        assert_in_range(last, (int)fmin(left + extent.x - 5, SIDE - 1), (int)fmin(left + extent.x + 1, SIDE));
        free(rgb);
    }
}

static void text_wraps_and_is_cut(void **state) {
    (void)state;
    foci_lettering style = {.size = 16, .colour = 0x1A1A1A};
    const char *words = "one two three four five six seven";
    foci_canvas *canvas = open_canvas();
    const double one = foci_canvas_measure(canvas, &style, words).y;
    assert_false(foci_canvas_cuts(canvas, &style, words));
    style.width = 100;
    const foci_point wrapped = foci_canvas_measure(canvas, &style, words);
    assert_true(wrapped.y > 2.5 * one && wrapped.x <= 100.5);
    style.lines = 2;
    assert_near(foci_canvas_measure(canvas, &style, words).y, 2 * one, 0.5);
    assert_true(foci_canvas_cuts(canvas, &style, words));
    assert_false(foci_canvas_cuts(canvas, &style, "one two"));
    style.bold = true;
    style.width = 0;
    style.lines = 0;
    const double bold = foci_canvas_measure(canvas, &style, words).x;
    style.bold = false;
    assert_true(bold > 1.05 * foci_canvas_measure(canvas, &style, words).x);
    foci_canvas_close(canvas);
}

/* Names come from people's files. */
/* "(name), 39.4" with a Hebrew name looks like the name, and behind it what follows: the number keeps its place. */
static void numbers_stay_behind_a_name_from_right_to_left(void **state) {
    (void)state;
    enum { WIDE = 400 };
    static const char name[] = "\u2068\u05E9\u05D3\u05D4 12\u2069", rest[] = ", 39.4";
    const foci_lettering plain = {.size = 24, .colour = 0};
    unsigned char *rgb[2] = {NULL};
    size_t differ = 0, ink = 0;
    foci_error err = {0};
    for (int whole = 0; whole < 2; whole++) {
        foci_canvas *canvas = NULL;
        assert_done(foci_canvas_open(&canvas, WIDE, 60, &err), err);
        if (whole) {
            foci_canvas_text(canvas, 10, 10, &plain, "\u2068\u05E9\u05D3\u05D4 12\u2069, 39.4");
        } else {
            foci_canvas_text(canvas, 10, 10, &plain, name);
            foci_canvas_text(canvas, 10 + foci_canvas_measure(canvas, &plain, name).x, 10, &plain, rest);
        }
        assert_done(foci_canvas_rgb(&rgb[whole], canvas, &err), err);
        foci_canvas_close(canvas);
    }
    for (int i = 0; i < WIDE * 60; i++) {
        differ += pixel_at(rgb[0], WIDE, i % WIDE, i / WIDE) != pixel_at(rgb[1], WIDE, i % WIDE, i / WIDE);
        ink += pixel_at(rgb[1], WIDE, i % WIDE, i / WIDE) < 0x404040;
    }
    assert_true(ink > 200 && differ < 20); /* where a letter stands may differ by part of a pixel */
    free(rgb[0]);
    free(rgb[1]);
}

/* Lines that stand in a height; the rest goes on from there. */
static void text_is_parted_at_lines(void **state) {
    (void)state;
    foci_canvas *canvas = open_canvas();
    const foci_lettering plain = {.size = 12, .width = 100};
    static const char text[] = "one two three four five six seven eight nine ten eleven twelve thirteen";
    const double line = foci_canvas_measure(canvas, &plain, "one").y, all = foci_canvas_measure(canvas, &plain, text).y;
    assert_int_equal(foci_canvas_fit(canvas, &plain, text, line - 0.5), 0);
    assert_int_equal(foci_canvas_fit(canvas, &plain, text, all + 0.5), strlen(text));
    const size_t two = foci_canvas_fit(canvas, &plain, text, 2.5 * line);
    assert_true(two > 10 && two < strlen(text) && text[two - 1] == ' ');
    assert_near(foci_canvas_measure(canvas, &plain, text + two).y, all - 2 * line, 1);
    assert_int_equal(foci_canvas_fit(canvas, &plain, "no \xFF text", 1), strlen("no \xFF text"));
    foci_canvas_close(canvas);
}

/* A trial measures and leaves no trace. */
static void a_mute_canvas_stays_white(void **state) {
    (void)state;
    foci_canvas *canvas = open_canvas();
    const foci_lettering plain = {.size = 30};
    const uint32_t dot = 0;
    foci_canvas_mute(canvas, true);
    assert_true(foci_canvas_is_mute(canvas));
    assert_true(foci_canvas_text(canvas, 5, 5, &plain, "Ag") > 20);
    foci_canvas_rectangle(canvas, 10, 10, 50, 50);
    foci_canvas_fill(canvas, 0);
    foci_canvas_circle(canvas, (foci_point){60, 60}, 20);
    foci_canvas_stroke_on_white(canvas, 0, 4, 2);
    foci_canvas_image(canvas, &dot, 1, 1, 50, 50);
    foci_canvas_next_page(canvas, 30);
    foci_canvas_mute(canvas, false);
    foci_canvas_rectangle(canvas, 0, 0, 1, 1); /* nothing is left of the path either, and no page was turned */
    foci_canvas_fill(canvas, 0);
    unsigned char *rgb = finish(canvas);
    assert_int_equal(count_colour(rgb, SIDE * SIDE, 0xFFFFFF), SIDE * SIDE - 1);
    assert_int_equal(pixel_at(rgb, SIDE, 0, 0), 0);
    free(rgb);
}

static void odd_text_does_no_harm(void **state) {
    (void)state;
    const foci_lettering style = {.size = 16, .colour = 0x1A1A1A};
    foci_canvas *canvas = open_canvas();
    assert_near(foci_canvas_measure(canvas, &style, "a\nb\tc\rd").y, foci_canvas_measure(canvas, &style, "a b c d").y,
                1e-9);
    assert_near(foci_canvas_measure(canvas, &style, "a\nb").x, foci_canvas_measure(canvas, &style, "a b").x, 1e-9);
    assert_true(foci_canvas_text(canvas, 2, 2, &style, "bad \xC3\x28 \xFF bytes, <b>no markup</b> &amp;") > 0);
    assert_true(foci_canvas_text(canvas, 2, 40, &style, "") > 0);
    free(finish(canvas));
}

static bool attempt(foci_error *err) {
    foci_canvas *canvas = NULL;
    unsigned char *rgb = NULL;
    const bool ok = foci_canvas_open(&canvas, SIDE, SIDE, err) && foci_canvas_rgb(&rgb, canvas, err);
    assert_true(ok == (rgb != NULL));
    free(rgb);
    foci_canvas_close(canvas);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

/* Cairo refuses pictures of this width; nothing of that is lost on the way. */
static void what_cairo_says_is_told(void **state) {
    (void)state;
    foci_error err = {0};
    foci_canvas *canvas = NULL;
    unsigned char *rgb = NULL;
    assert_done(foci_canvas_open(&canvas, 40000, 1, &err), err);
    assert_fails(foci_canvas_rgb(&rgb, canvas, &err), err, FOCI_NO_MEMORY, "could not be drawn");
    assert_null(rgb);
    foci_canvas_close(canvas);
}

/* ---- pages ---- */

static const foci_page letter = {792, 612, "A & B", "what it shows", "2026-01-09T08:00:00Z"};

/* Something of each kind. */
static void draw_some(foci_canvas *canvas) {
    const uint32_t dots[] = {0x112233, 0x445566, 0x778899, 0xAABBCC};
    const foci_lettering plain = {.size = 12, .colour = 0x101010};
    foci_canvas_rectangle(canvas, 10, 20, 30, 40);
    foci_canvas_fill(canvas, 0x336699);
    foci_canvas_image(canvas, dots, 2, 2, 60, 60);
    foci_canvas_text(canvas, 5, 90, &plain, "Largest patch");
}

static bool write_page(const char *path, const foci_page *page, foci_error *err) {
    foci_canvas *canvas = NULL;
    if (!foci_canvas_open_page(&canvas, SIDE, SIDE, page, err))
        return false;
    draw_some(canvas);
    const bool ok = foci_canvas_write_pdf(canvas, path, err);
    foci_canvas_close(canvas);
    return ok;
}

static void a_page_is_a_pdf_of_its_size(void **state) {
    (void)state;
    char path[256];
    size_t size = 0;
    foci_error err = {0};
    scratch_name(path, "page.pdf");
    assert_done(write_page(path, &letter, &err), err);
    char *bytes = file_bytes(path, &size);
    assert_memory_equal(bytes, "%PDF-1.", 7);
    assert_memory_equal(bytes + size - 6, "%%EOF\n", 6);
    assert_paper(path, "letter");
    assert_true(page_holds(path, "/Title (A & B)"));
    assert_true(page_holds(path, "/CreationDate (20260109080000Z") ||
                page_holds(path, "/CreationDate (D:20260109080000Z"));
    free(bytes);
    scratch_remove(path);
}

/* The clock is not in it: what was drawn a second later has the same bytes. */
static void the_same_drawing_gives_the_same_page(void **state) {
    (void)state;
    char first[256], second[256];
    foci_page other = letter;
    foci_error err = {0};
    scratch_name(first, "a.pdf");
    scratch_name(second, "b.pdf");
    assert_done(write_page(first, &letter, &err), err);
    sleep(1);
    assert_done(write_page(second, &letter, &err), err);
    assert_same_files(first, second, true);
    other.made = "2026-01-09T08:00:01Z";
    assert_done(write_page(second, &other, &err), err); /* replaces what is there */
    assert_same_files(first, second, false);
    scratch_remove(first);
    scratch_remove(second);
}

static void a_page_is_finer_than_a_picture(void **state) {
    (void)state;
    foci_canvas *page = NULL, *image = open_canvas();
    foci_error err = {0};
    const foci_lettering plain = {.size = 12};
    assert_done(foci_canvas_open_page(&page, SIDE, SIDE, &letter, &err), err);
    assert_int_equal(foci_canvas_density(image), 1);
    assert_int_equal(foci_canvas_density(page), 3);
    /* the same letters take the same room on both */
    const foci_point on_page = foci_canvas_measure(page, &plain, "Largest patch, 1.9 ha");
    const foci_point on_picture = foci_canvas_measure(image, &plain, "Largest patch, 1.9 ha");
    assert_near(on_page.x, on_picture.x, 0.02 * on_picture.x);
    assert_near(on_page.y, on_picture.y, 0.02 * on_picture.y);
    foci_canvas_close(page);
    foci_canvas_close(image);
}

static void a_page_that_cannot_be_written_is_named(void **state) {
    (void)state;
    foci_error err = {0};
    assert_false(write_page("/proc/nowhere/page.pdf", &letter, &err));
    assert_int_equal(err.status, FOCI_NO_FILE);
    assert_string_equal(err.source, "/proc/nowhere/page.pdf");
}

static bool attempt_page(foci_error *err) {
    char path[256];
    scratch_name(path, "page.pdf");
    const bool ok = write_page(path, &letter, err);
    assert_int_equal(access(path, F_OK) == 0, ok);
    scratch_remove(path);
    return ok;
}

static void every_allocation_of_a_page_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt_page);
}

/* "4.6 ha" goes to the next line whole, and so do brackets round it. */
static void a_number_keeps_its_unit(void **state) {
    (void)state;
    static const struct {
        const char *text, *line, *whole; /* the text, what would fit, and the widest line that may be */
    } cases[] = {
        {"words 4.6 ha", "words 4.6", "4.6 ha"},
        {"12 stops (4.6 ha)", "12 stops (4.6", "12 stops"},
        {"up to 1,000 ft", "up to 1,000", "1,000 ft"},
    };
    foci_error err = {0};
    foci_canvas *canvas = NULL;
    assert_done(foci_canvas_open(&canvas, 400, 100, &err), err);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const foci_lettering free_line = {.size = 20};
        foci_lettering narrow = free_line;
        narrow.width = foci_canvas_measure(canvas, &free_line, cases[i].line).x + 1;
        assert_true(foci_canvas_measure(canvas, &narrow, cases[i].text).x <
                    foci_canvas_measure(canvas, &free_line, cases[i].line).x - 1);
        assert_near(
            foci_canvas_measure(canvas, &narrow, cases[i].text).x,
            fmax(foci_canvas_measure(canvas, &free_line, cases[i].whole).x, foci_canvas_measure(canvas, &free_line,
                                                                                                i == 0   ? "words"
                                                                                                : i == 1 ? "12 stops"
                                                                                                         : "up to")
                                                                                .x),
            1);
    }
    foci_canvas_close(canvas);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_font_it_says_so), /* first: later ones make the process find its fonts */
        cmocka_unit_test(a_new_sheet_is_white),
        cmocka_unit_test(areas_fill_and_holes_stay_empty),
        cmocka_unit_test(strokes_stand_on_white),
        cmocka_unit_test(images_are_clipped),
        cmocka_unit_test(text_stands_where_it_was_measured),
        cmocka_unit_test(text_wraps_and_is_cut),
        cmocka_unit_test(numbers_stay_behind_a_name_from_right_to_left),
        cmocka_unit_test(text_is_parted_at_lines),
        cmocka_unit_test(a_mute_canvas_stays_white),
        cmocka_unit_test(odd_text_does_no_harm),
        cmocka_unit_test(every_allocation_may_fail),
        cmocka_unit_test(what_cairo_says_is_told),
        cmocka_unit_test(a_page_is_a_pdf_of_its_size),
        cmocka_unit_test(the_same_drawing_gives_the_same_page),
        cmocka_unit_test(a_page_is_finer_than_a_picture),
        cmocka_unit_test(a_page_that_cannot_be_written_is_named),
        cmocka_unit_test(every_allocation_of_a_page_may_fail),
        cmocka_unit_test(a_number_keeps_its_unit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
