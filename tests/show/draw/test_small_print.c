/* What is said at the foot of a sheet: its order, and that it gets the room it needs. */
#include "show/draw/small_print.h"

#include "support/support.h"

#define WIDTH 1520.0

static foci_canvas *open_canvas(void) {
    foci_canvas *canvas = NULL;
    foci_error err = {0};
    assert_done(foci_canvas_open(&canvas, 1600, 1236, &err), err);
    return canvas;
}

static const char sentence[] = "Mind what is near, ask who knows the place, write down what was done, and wait where "
                               "nobody can say for sure what it is.";

/* So many sentences of each part. */
static foci_small_print print_of(size_t cautions, size_t warnings, size_t made) {
    const size_t counts[FOCI_PRINT_PARTS] = {
        [FOCI_PRINT_CAUTIONS] = cautions, [FOCI_PRINT_WARNINGS] = warnings, [FOCI_PRINT_MADE] = made};
    foci_small_print print = {0};
    foci_error err = {0};
    for (int part = 0; part < FOCI_PRINT_PARTS; part++)
        for (size_t i = 0; i < counts[part]; i++)
            assert_done(foci_small_print_add(&print, (foci_print_part)part, sentence, &err), err);
    return print;
}

static foci_print_plan plan_of(foci_canvas *canvas, const foci_small_print *print, double most) {
    foci_print_plan plan = {0};
    foci_error err = {0};
    assert_done(foci_small_print_plan(&plan, canvas, print, WIDTH, most, &err), err);
    return plan;
}

/* A part's title stands before its first sentence, and only there; an empty sentence adds nothing. */
static void parts_have_titles(void **state) {
    (void)state;
    foci_small_print print = print_of(2, 1, 1);
    foci_error err = {0};
    assert_done(foci_small_print_add(&print, FOCI_PRINT_MADE, "", &err), err);
    assert_int_equal(print.count, 6);
    assert_string_equal(print.items[0].text, foci_print_title(FOCI_PRINT_CAUTIONS));
    assert_true(print.items[0].title && !print.items[1].title && !print.items[2].title && print.items[3].title);
    assert_string_equal(print.items[3].text, foci_print_title(FOCI_PRINT_WARNINGS));
    assert_int_equal(print.items[5].part, FOCI_PRINT_MADE);
    foci_small_print_free(&print);
    foci_small_print_free(&print);
}

/* The more there is to say the smaller the letters, never below the least, and all of it stands as long as it can. */
static void letters_shrink_before_anything_is_left_over(void **state) {
    (void)state;
    foci_canvas *canvas = open_canvas();
    double size = 99;
    size_t sizes = 0;
    bool left_over = false;
    for (size_t cautions = 2; cautions < 60; cautions += 2) {
        foci_small_print print = print_of(cautions, cautions / 2, 2);
        const foci_print_plan plan = plan_of(canvas, &print, 420);
        assert_true(plan.size >= FOCI_PRINT_LEAST && plan.size <= size && plan.height <= 420);
        assert_true(!left_over || plan.shown < print.count);
        assert_true(plan.shown == print.count || plan.size == FOCI_PRINT_LEAST);
        sizes += plan.size < size;
        left_over = plan.shown < print.count;
        size = plan.size;
        foci_small_print_free(&print);
    }
    assert_true(left_over && sizes >= 4);
    foci_canvas_close(canvas);
}

/* How it was made gives way before letters get small, and no caution ever does. */
static void only_how_it_was_made_is_shortened(void **state) {
    (void)state;
    foci_canvas *canvas = open_canvas();
    foci_small_print much = print_of(6, 2, 40), without = print_of(6, 2, 0);
    const foci_print_plan plan = plan_of(canvas, &much, 420), bare = plan_of(canvas, &without, 420);
    assert_int_equal(plan.shown, much.count);
    assert_near(plan.size, bare.size, 0);
    assert_true(plan.height <= bare.height + 60);
    foci_small_print_free(&much);
    foci_small_print_free(&without);
    foci_canvas_close(canvas);
}

/* What is left over goes on over as many pages as it takes, a paragraph longer than a column too. */
static void the_rest_goes_on_below(void **state) {
    (void)state;
    const foci_box frame = {40, 1196, 1560, 40};
    static char giant[30000];
    foci_canvas *canvas = open_canvas();
    foci_small_print print = print_of(5, 0, 0);
    foci_error err = {0};
    double heights[3] = {0};
    foci_canvas_mute(canvas, true);
    assert_done(foci_small_print_rest_draw(&heights[0], canvas, &print, 2, "A field (continued)", frame, 1236, &err),
                err);
    for (size_t i = 0; i + sizeof sentence < sizeof giant; i += sizeof sentence)
        snprintf(giant + i, sizeof giant - i, "%s ", sentence);
    assert_done(foci_small_print_add(&print, FOCI_PRINT_CAUTIONS, giant, &err), err);
    assert_done(foci_small_print_rest_draw(&heights[1], canvas, &print, 2, "A field (continued)", frame, 1236, &err),
                err);
    assert_done(foci_small_print_rest_draw(&heights[2], canvas, &print, print.count, "", frame, 1236, &err), err);
    assert_true(heights[0] > 100 && heights[0] < 400);
    assert_true(heights[1] > 2 * 1236 && heights[1] < 4 * 1236); /* about 350 lines of 58 a column, two columns */
    assert_true(heights[2] < 60);
    foci_small_print_free(&print);
    foci_canvas_close(canvas);
}

static bool attempt(foci_error *err) {
    const foci_box frame = {40, 1196, 1560, 40};
    foci_small_print print = {0};
    foci_print_plan plan = {0};
    foci_canvas *canvas = NULL;
    double height = 0;
    bool ok = foci_canvas_open(&canvas, 1600, 1236, err);
    for (int i = 0; i < 12; i++)
        ok = ok && foci_small_print_add(&print, i < 9 ? FOCI_PRINT_CAUTIONS : FOCI_PRINT_MADE, sentence, err);
    ok = ok && foci_small_print_plan(&plan, canvas, &print, WIDTH, 60, err) &&
         foci_small_print_rest_draw(&height, canvas, &print, plan.shown, "A field", frame, 1236, err);
    foci_small_print_free(&print);
    foci_canvas_close(canvas);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_have_titles),
        cmocka_unit_test(letters_shrink_before_anything_is_left_over),
        cmocka_unit_test(only_how_it_was_made_is_shortened),
        cmocka_unit_test(the_rest_goes_on_below),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
