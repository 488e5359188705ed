/* Dig-checks on the map, looked at pixel by pixel. */
#include "show/map/map_labels.h"
#include "show/map/map_symbols.h"
#include "show/read_picture.h"
#include "show/sample_round.h"

enum { SIDE = 600, INK = 0x1A1A1A, WHITE = 0xFFFFFF, GROUND = 0xA23828, DIGS_MOST = 80 };

static const foci_map_view view = {0, 0, SIDE, SIDE, 0, SIDE, 1, 1, 0}; /* a metre is a pixel */

/* A sheet of one dark colour, so that white edges are seen. */
static foci_canvas *ground(void) {
    foci_canvas *canvas = NULL;
    foci_error err = {0};
    assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
    foci_canvas_rectangle(canvas, 0, 0, SIDE, SIDE);
    foci_canvas_fill(canvas, GROUND);
    return canvas;
}

static unsigned char *pixels_of(foci_canvas *canvas) {
    unsigned char *rgb = NULL;
    foci_error err = {0};
    assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
    foci_canvas_close(canvas);
    return rgb;
}

/* Digs at pixels, in walking order. */
static foci_dig_points digs_at(foci_dig_point items[DIGS_MOST], const foci_point *pixels, size_t count) {
    for (size_t i = 0; i < count; i++)
        items[i] = (foci_dig_point){.visit = (int)i + 1, .place = {pixels[i].x, SIDE - pixels[i].y}};
    return (foci_dig_points){.count = count, .items = items};
}

/* A map with stops at pixels and digs at pixels. */
static unsigned char *drawn(const foci_point *stops, size_t stop_count, const foci_point *pixels, size_t count) {
    foci_dig_point items[DIGS_MOST];
    const foci_dig_points digs = digs_at(items, pixels, count);
    foci_map_room room = {.frame = {0, SIDE, SIDE, 0}};
    foci_canvas *canvas = ground();
    foci_error err = {0};
    for (size_t i = 0; i < stop_count; i++) {
        foci_map_symbol_draw(canvas, stops[i], FOCI_STOP_MUCH, 1);
        assert_done(foci_map_room_take(&room, foci_map_disc(stops[i], 15), &err), err);
    }
    foci_map_label labels[DIGS_MOST];
    assert_done(foci_map_digs_place(labels, canvas, &view, &digs, &room, &err), err);
    foci_map_digs_draw(canvas, labels, count);
    foci_map_room_free(&room);
    return pixels_of(canvas);
}

/* Its four corners are ink, and white further in: no disc of a stop or a hotspot's number is like that. */
static bool is_box(const unsigned char *rgb, double x, double y, double half) {
    bool box = true;
    for (int corner = 0; corner < 4; corner++) {
        const int right = corner % 2 ? 1 : -1, down = corner / 2 ? 1 : -1;
        box = box && pixel_at(rgb, SIDE, (int)(x + right * (half - 1.2)), (int)(y + down * (half - 1.2))) == INK &&
              pixel_at(rgb, SIDE, (int)(x + right * (half - 4.5)), (int)(y + down * (half - 4.5))) == WHITE;
    }
    return box;
}

static void a_box_stands_on_its_place(void **state) {
    (void)state;
    const foci_point place = {200.5, 300.5};
    unsigned char *rgb = drawn(NULL, 0, &place, 1);
    assert_true(is_box(rgb, 200.5, 300.5, 12.5));
    assert_int_equal(pixel_at(rgb, SIDE, 192, 300), WHITE); /* inside, beside the figure */
    assert_int_equal(pixel_at(rgb, SIDE, 186, 300), WHITE); /* the white edge round it */
    assert_int_equal(pixel_at(rgb, SIDE, 184, 300), GROUND);
    free(rgb);
}

/* Nothing else on the map has corners: not the stops, not the numbers of hotspots. */
static void nothing_else_is_a_box(void **state) {
    (void)state;
    for (int kind = FOCI_STOP_NONE; kind < FOCI_STOP_KINDS; kind++) {
        foci_canvas *canvas = ground();
        foci_map_symbol_draw(canvas, (foci_point){200.5, 300.5}, kind, 1);
        unsigned char *rgb = pixels_of(canvas);
        for (int half = 9; half <= 15; half++)
            assert_false(is_box(rgb, 200.5, 300.5, half));
        free(rgb);
    }
}

static void the_number_is_that_of_the_visit(void **state) {
    (void)state;
    unsigned char *rgb[3];
    for (int i = 0; i < 3; i++) {
        foci_canvas *canvas = ground();
        foci_map_dig_draw(canvas, (foci_point){200.5, 300.5}, (const int[]){1, 8, 38}[i]);
        rgb[i] = pixels_of(canvas);
    }
    const size_t all = (size_t)SIDE * SIDE;
    assert_true(count_colour(rgb[1], all, INK) > count_colour(rgb[0], all, INK)); /* an 8 has more than a 1 */
    assert_true(is_box(rgb[0], 200.5, 300.5, 12.5) && is_box(rgb[1], 200.5, 300.5, 12.5));
    assert_int_equal(pixel_at(rgb[1], SIDE, 184, 300), GROUND);
    assert_int_equal(pixel_at(rgb[2], SIDE, 184, 300), INK); /* two figures need a wider box */
    for (int i = 0; i < 3; i++)
        free(rgb[i]);
}

/* Where a stop stands on the place the box goes beside it, with a line up to the stop: not a pixel of it changes. */
static void a_box_does_not_hide_a_stop(void **state) {
    (void)state;
    const foci_point place = {200.5, 300.5}, stop = {204.5, 303.5};
    unsigned char *with = drawn(&stop, 1, &place, 1), *without = drawn(&stop, 1, NULL, 0);
    size_t kept = 0, boxes = 0;
    for (int y = 0; y < SIDE; y++)
        for (int x = 0; x < SIDE; x++) {
            if (hypot(x + 0.5 - stop.x, y + 0.5 - stop.y) < 14) {
                assert_int_equal(pixel_at(with, SIDE, x, y), pixel_at(without, SIDE, x, y));
                kept++;
            }
            boxes += x > 20 && y > 20 && x < SIDE - 20 && y < SIDE - 20 && is_box(with, x + 0.5, y + 0.5, 12.5);
        }
    assert_true(kept > 600 && boxes > 0);
    free(with);
    free(without);
}

static void boxes_do_not_cover_each_other(void **state) {
    (void)state;
    const foci_point places[] = {{300.5, 300.5}, {309.5, 300.5}, {318.5, 300.5}};
    unsigned char *rgb = drawn(NULL, 0, places, 3);
    size_t white = 0;
    for (size_t i = 0; i < (size_t)SIDE * SIDE; i++)
        white += pixel_at(rgb, SIDE, (int)(i % SIDE), (int)(i / SIDE)) == WHITE;
    assert_true(is_box(rgb, 300.5, 300.5, 12.5)); /* the first keeps its place, whole */
    assert_true(white > 3 * 250);                 /* a box has 396 pixels inside, its figure takes some */
    free(rgb);
}

/* A hotspot's number and a dig-check in the middle of the hotspot: both are there, and whole. */
static void numbers_of_hotspots_go_beside(void **state) {
    (void)state;
    foci_survey round = {0};
    foci_error err = {0};
    const sample_plan plan = {60, 40, 8, 5, 1, 34};
    assert_done(sample_round_of(&round, &plan, &err), err);
    const foci_map_view fit = foci_map_view_fit(&round.field.shape, 0, 0, 0, SIDE, SIDE, 5);
    foci_dig_point item = {.visit = 1, .place = sample_pocket(&plan, 0)};
    const foci_dig_points digs = {.count = 1, .items = &item};
    const foci_map_numbered spot = {1, &round.hotspots.items[0].shape};
    const foci_point middle = foci_map_view_pixel(&fit, item.place);
    foci_map_label number, box;
    foci_map_room room = {.frame = {0, SIDE, SIDE, 0}};
    foci_canvas *canvas = ground();
    assert_done(foci_map_numbers_place(&number, &fit, &spot, 1, &middle, 1, &room, &err), err);
    assert_done(foci_map_digs_place(&box, canvas, &fit, &digs, &room, &err), err);
    assert_true(number.shown && box.shown);
    foci_map_digs_draw(canvas, &box, 1);
    foci_map_numbers_draw(canvas, &number, 1);
    unsigned char *rgb = pixels_of(canvas);
    assert_int_equal(pixel_at(rgb, SIDE, (int)(box.middle.x - box.width / 2 + 4), (int)box.middle.y), WHITE);
    assert_true(hypot(number.middle.x - box.middle.x, number.middle.y - box.middle.y) > 21 + 12.5);
    assert_int_equal(pixel_at(rgb, SIDE, (int)(number.middle.x - 14), (int)number.middle.y), WHITE);
    free(rgb);
    foci_map_room_free(&room);
    foci_survey_free(&round);
}

/* More than anyone could read: small boxes without numbers, each on its place. */
static void many_are_small(void **state) {
    (void)state;
    foci_point places[61];
    for (int i = 0; i < 61; i++)
        places[i] = (foci_point){40.5 + 50 * (i % 10), 40.5 + 50 * (double)(i / 10)};
    unsigned char *rgb = drawn(NULL, 0, places, 61);
    for (int i = 0; i < 61; i++) {
        assert_true(is_box(rgb, places[i].x, places[i].y, 6.25));
        assert_int_equal(pixel_at(rgb, SIDE, (int)places[i].x, (int)places[i].y), WHITE);
    }
    free(rgb);
    rgb = drawn(NULL, 0, places, 60);
    assert_true(is_box(rgb, places[0].x, places[0].y, 12.5));
    free(rgb);
}

/* Two lines at most, and nothing at all where there is nothing to explain; what found no room is told. */
static void the_key_is_there_where_digs_are(void **state) {
    (void)state;
    static foci_map_label labels[DIGS_MOST];
    const size_t counts[] = {0, 1, 61};
    for (size_t i = 0; i < DIGS_MOST; i++)
        labels[i].shown = true;
    for (int i = 0; i < 6; i++) {
        foci_canvas *canvas = ground();
        labels[0].shown = i < 3;
        const double height = foci_map_digs_key_draw(canvas, 20, 30, 450, labels, 0, counts[i % 3]);
        unsigned char *rgb = pixels_of(canvas);
        assert_int_equal(height > 0, counts[i % 3] > 0);
        assert_true(height < 54);
        assert_int_equal(count_colour(rgb, (size_t)SIDE * SIDE, GROUND) == (size_t)SIDE * SIDE, counts[i % 3] == 0);
        free(rgb);
    }
}

/* Hotspots whose number found no room are told too, with digs and without; within the strip's 54 pixels. */
static void the_key_tells_hotspots_without_a_number(void **state) {
    (void)state;
    static foci_map_label labels[DIGS_MOST];
    const size_t counts[] = {0, 10};
    for (size_t i = 0; i < DIGS_MOST; i++)
        labels[i].shown = true;
    for (int i = 0; i < 2; i++) {
        foci_canvas *canvas = ground(), *told = ground();
        labels[1].shown = true;
        const double all = foci_map_digs_key_draw(canvas, 20, 30, 450, labels, 3, counts[i]);
        labels[1].shown = false;
        const double fewer = foci_map_digs_key_draw(told, 20, 30, 450, labels, 3, counts[i]);
        unsigned char *before = pixels_of(canvas), *after = pixels_of(told);
        assert_true(fewer > 0 && fewer < 54);
        assert_int_equal(all > 0, counts[i] > 0);
        assert_true(memcmp(before, after, (size_t)3 * SIDE * SIDE) != 0);
        free(before);
        free(after);
    }
}

static bool attempt(foci_error *err) {
    const foci_point places[] = {{300.5, 300.5}, {309.5, 300.5}};
    foci_dig_point items[DIGS_MOST];
    const foci_dig_points digs = digs_at(items, places, 2);
    foci_map_room room = {.frame = {0, SIDE, SIDE, 0}};
    foci_canvas *canvas = NULL;
    foci_map_label labels[2];
    const bool ok =
        foci_canvas_open(&canvas, SIDE, SIDE, err) && foci_map_digs_place(labels, canvas, &view, &digs, &room, err);
    foci_canvas_close(canvas);
    foci_map_room_free(&room);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_box_stands_on_its_place),
        cmocka_unit_test(nothing_else_is_a_box),
        cmocka_unit_test(the_number_is_that_of_the_visit),
        cmocka_unit_test(a_box_does_not_hide_a_stop),
        cmocka_unit_test(boxes_do_not_cover_each_other),
        cmocka_unit_test(numbers_of_hotspots_go_beside),
        cmocka_unit_test(many_are_small),
        cmocka_unit_test(the_key_is_there_where_digs_are),
        cmocka_unit_test(the_key_tells_hotspots_without_a_number),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
