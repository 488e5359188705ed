/* Stops, scale bars and north arrow, looked at pixel by pixel. */
#include "show/map/map_symbols.h"

#include "show/read_picture.h"
#include "show/sample_round.h"

#define SIDE 400

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

/* Zero is an open ring; the others are filled, and the more the larger. */
static void stops_are_drawn_by_what_was_found(void **state) {
    foci_survey *round = *state;
    foci_error err = {0};
    size_t inks[FOCI_STOP_KINDS];
    for (int kind = 0; kind < FOCI_STOP_KINDS; kind++) {
        foci_canvas *canvas = NULL;
        unsigned char *rgb = NULL;
        assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
        foci_map_symbol_draw(canvas, (foci_point){50.5, 50.5}, kind, 1);
        assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
        inks[kind] = count_colour(rgb, SIDE * SIDE, 0x1A1A1A);
        assert_int_equal(pixel_at(rgb, SIDE, 50, 50), kind == FOCI_STOP_NONE ? 0xFFFFFF : 0x1A1A1A);
        free(rgb);
        foci_canvas_close(canvas);
    }
    assert_true(inks[FOCI_STOP_LITTLE] > 80 && inks[FOCI_STOP_MORE] > 1.7 * (double)inks[FOCI_STOP_LITTLE] &&
                inks[FOCI_STOP_MUCH] > 1.4 * (double)inks[FOCI_STOP_MORE]);

    const double edges[] = {1, 5, 10, 20, 40}, values[] = {0, 9.9, 10, 20};
    foci_canvas *canvas = NULL;
    unsigned char *rgb = NULL;
    const foci_map_view view = {0, 0, SIDE, SIDE, 0, 0, 1, 1, 0};
    round->readings.spacing = 60;
    for (size_t i = 0; i < round->readings.count; i++)
        round->readings.places[i] = (foci_point){-1000, -1000};
    for (size_t i = 0; i < 4; i++) {
        round->readings.places[i] = (foci_point){50.5 + 100 * (double)i, -50.5};
        round->readings.values[i] = values[i];
    }
    for (size_t i = 0; i < round->stops.count; i++) /* one of those left out lies in the frame */
        if (!round->stops.items[i].used)
            round->stops.items[i].place = i == 13 ? (foci_point){50.5, -250.5} : (foci_point){-5000, 0};
    assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
    foci_map_stops_draw(canvas, &view, round, edges, (foci_box){0, SIDE, SIDE, 0});
    assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
    assert_int_equal(count_colour(rgb, SIDE * SIDE, 0x1A1A1A), inks[FOCI_STOP_NONE] + inks[FOCI_STOP_LITTLE] +
                                                                   inks[FOCI_STOP_MORE] + inks[FOCI_STOP_MUCH] +
                                                                   inks[FOCI_STOP_EXCLUDED]);
    assert_int_equal(pixel_at(rgb, SIDE, 50, 50), 0xFFFFFF);
    assert_int_equal(pixel_at(rgb, SIDE, 50, 250), 0x1A1A1A);
    free(rgb);
    foci_canvas_close(canvas);
}

/* The tip of the arrow, the highest ink where no letter is wider, moves with the turn. */
static void north_is_turned_by_the_convergence(void **state) {
    (void)state;
    foci_error err = {0};
    double means[3];
    const double turns[] = {-20, 0, 20};
    for (int i = 0; i < 3; i++) {
        foci_canvas *canvas = NULL;
        unsigned char *rgb = NULL;
        double sum = 0, count = 0;
        assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
        foci_map_north_draw(canvas, (foci_point){200, 200}, 60, turns[i]);
        assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
        for (int k = 0; k < SIDE * 150; k++) /* what lies well above the middle: the tip and the letter */
            if (pixel_at(rgb, SIDE, k % SIDE, k / SIDE) != 0xFFFFFF) {
                sum += k % SIDE;
                count++;
            }
        assert_true(count > 0);
        means[i] = sum / count;
        free(rgb);
        foci_canvas_close(canvas);
    }
    assert_near(means[1], 200, 3);
    assert_near(means[2] - means[1], 70 * sin(20 * 3.14159265358979 / 180), 5);
    assert_near(means[1] - means[0], 70 * sin(20 * 3.14159265358979 / 180), 5);
}

/* Feet above metres, each bar as long as its number says (the foot is 0.3048 m), in 1, 2, 5 x 10^k. */
static void scale_bars_are_true(void **state) {
    (void)state;
    const struct {
        double scale, feet, metres;
    } cases[] = {{3.3, 200, 50}, {0.71, 1000, 200}, {0.1, 5000, 2000}, {41, 20, 5}};
    for (size_t i = 0; i < 2 * sizeof cases / sizeof *cases; i++) {
        foci_error err = {0};
        foci_canvas *canvas = NULL;
        unsigned char *rgb = NULL;
        const foci_measures first = i % 2 ? FOCI_HECTARES : FOCI_ACRES;
        assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
        foci_map_scale_draw(canvas, 20, 20, 250, cases[i / 2].scale, first);
        assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
        const double lengths[] = {cases[i / 2].feet * 0.3048 * cases[i / 2].scale,
                                  cases[i / 2].metres * cases[i / 2].scale};
        for (int bar = 0; bar < 2; bar++) {
            const int y =
                20 + 28 * (first == FOCI_ACRES ? bar : 1 - bar); /* the bar's upper edge is a line from end to end */
            int end = 20;
            while (end < SIDE && pixel_at(rgb, SIDE, end, y) == 0x1A1A1A)
                end++;
            assert_near(end - 20, lengths[bar], 2);
            assert_true(lengths[bar] <= 250);
        }
        free(rgb);
        foci_canvas_close(canvas);
    }
}

int main(void) {
#define WITH_ROUND(test) cmocka_unit_test_setup_teardown(test, make_round, free_round)
    const struct CMUnitTest tests[] = {
        WITH_ROUND(stops_are_drawn_by_what_was_found),
        cmocka_unit_test(north_is_turned_by_the_convergence),
        cmocka_unit_test(scale_bars_are_true),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
