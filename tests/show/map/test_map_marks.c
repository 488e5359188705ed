/* Photo and marks on the map, looked at pixel by pixel. */
#include "show/map/map_marks.h"

#include "show/map/map_field.h"
#include "show/map/map_numbering.h"
#include "show/read_picture.h"
#include "show/sample_round.h"

#define SIDE 600
#define ROAD 0x3D4A57

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

/* Green stripes, dark and light, 6 m wide from west to east, over all of the field but its eastern fifth. */
static void give_photo(foci_survey *round) {
    const foci_box box = foci_multipolygon_box(&round->field.shape);
    foci_photo *photo = &round->photo;
    foci_error err = {0};
    *photo = (foci_photo){.west = box.west - 20, .north = box.north + 20, .dot = 2, .lightness = 120};
    photo->columns = (size_t)((box.east - box.west) * 0.8 / 2) + 10;
    photo->rows = (size_t)((box.north - box.south) / 2) + 20;
    photo->dots = foci_new_array(photo->columns * photo->rows, sizeof *photo->dots, &err);
    assert_non_null(photo->dots);
    for (size_t i = 0; i < photo->columns * photo->rows; i++)
        photo->dots[i] = i % photo->columns % 6 < 3 ? 0xFF3C783CU : 0xFF6EB46EU; /* grays 95 and 150 */
}

static foci_canvas *open_canvas(foci_map_view *view, const foci_survey *round) {
    foci_canvas *canvas = NULL;
    foci_error err = {0};
    *view = foci_map_view_fit(&round->field.shape, 0, 0, 0, SIDE, SIDE, 20);
    assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
    return canvas;
}

static unsigned char *close_canvas(foci_canvas *canvas) {
    unsigned char *rgb = NULL;
    foci_error err = {0};
    assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
    foci_canvas_close(canvas);
    return rgb;
}

static const foci_box frame = {0, SIDE, SIDE, 0};

/* Light and shade differ by half the photo's own, about the legend's color; where there is no photo it is the color. */
static void classes_keep_their_colors_over_a_photo(void **state) {
    foci_survey *round = *state;
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    give_photo(round);
    for (size_t i = 0; i < legend->classes; i++) {
        const uint32_t color = legend->colours[i];
        const foci_point dark = {round->photo.west + 1, round->photo.north - 9}, light = {dark.x + 6, dark.y};
        const uint32_t below = foci_map_over_photo(color, &round->photo, dark);
        const uint32_t above = foci_map_over_photo(color, &round->photo, light);
        assert_true(foci_photo_gray(below) < foci_photo_gray(above));
        assert_true(foci_photo_gray(below) >= foci_photo_gray(color) - 14);
        assert_true(foci_photo_gray(above) <= foci_photo_gray(color) + 16);
        assert_int_equal(foci_map_over_photo(color, &round->photo, (foci_point){0, 0}), color);
    }
    foci_photo_free(&round->photo);
    assert_int_equal(foci_map_over_photo(0x123456, &round->photo, (foci_point){0, 0}), 0x123456);
}

static void the_photo_is_ground_in_the_frame(void **state) {
    foci_survey *round = *state;
    foci_map_view view;
    foci_error err = {0};
    give_photo(round);
    foci_canvas *canvas = open_canvas(&view, round);
    assert_done(foci_map_photo_draw(canvas, &view, round, frame, &err), err);
    unsigned char *rgb = close_canvas(canvas);
    size_t green = 0, white = 0;
    for (int y = 0; y < SIDE; y++)
        for (int x = 0; x < SIDE; x++) {
            uint32_t color = 0;
            const foci_point place = foci_map_view_place(&view, (foci_point){x + 0.5, y + 0.5});
            const uint32_t drawn = pixel_at(rgb, SIDE, x, y);
            const bool shown = foci_photo_at(&color, &round->photo, place);
            assert_int_equal(drawn == 0xFFFFFF, !shown);
            if (shown) /* paler than it is, by as much everywhere */
                assert_near(drawn >> 8 & 0xFF, 0.7 * (color >> 8 & 0xFF) + 0.3 * 255, 1);
            green += shown;
            white += !shown;
        }
    assert_true(green > 10000 && white > 10000);
    free(rgb);
    foci_photo_free(&round->photo);
}

/* How many dots of the drawn field have a color of the legend as it is. */
static size_t plain_dots(const foci_survey *round) {
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    double edges[FOCI_LEGEND_MOST];
    foci_map_view view;
    foci_error err = {0};
    size_t count = 0;
    legend->breaks(edges, round);
    foci_canvas *canvas = open_canvas(&view, round);
    assert_done(foci_map_field_draw(canvas, &view, round, legend, edges, &err), err);
    unsigned char *rgb = close_canvas(canvas);
    for (int i = 0; i < SIDE * SIDE; i++)
        for (size_t k = 0; k < legend->classes; k++)
            count += pixel_at(rgb, SIDE, i % SIDE, i / SIDE) == legend->colours[k];
    free(rgb);
    return count;
}

/* Everywhere, also where all the ground round a dot is of one class: but for the fifth that the photo leaves out. */
static void the_photo_is_seen_through_the_map(void **state) {
    foci_survey *round = *state;
    const size_t without = plain_dots(round);
    give_photo(round);
    const size_t with = plain_dots(round);
    assert_true(without > 50000);
    assert_true(with < without / 3);
    foci_photo_free(&round->photo);
}

/* A road from west to east through the middle, a well, a gate: lines and triangles where they lie; names beside. */
static void marks_stand_where_they_are(void **state) {
    foci_survey *round = *state;
    foci_map_view view;
    foci_error err = {0};
    const foci_box box = foci_multipolygon_box(&round->field.shape);
    const double middle = (box.south + box.north) / 2;
    foci_point ends[] = {{box.west - 500, middle}, {box.east + 500, middle}};
    foci_ring part = {2, ends};
    const foci_point well = {box.west + 0.2 * (box.east - box.west), box.south + 0.2 * (box.north - box.south)};
    foci_mark items[2] = {{FOCI_MARK_LINE, "mill road", 1, &part}, {0}};
    foci_marks point = {0};
    assert_done(foci_marks_add_point(&point, well, "well", &err), err);
    items[1] = point.items[0];
    round->marks = (foci_marks){2, items};
    foci_canvas *canvas = open_canvas(&view, round);
    assert_done(foci_map_marks_draw(canvas, &view, round, frame, &err), err);
    unsigned char *rgb = close_canvas(canvas);
    const int y = (int)floor(foci_map_view_pixel(&view, ends[0]).y);
    for (int x = 0; x < SIDE; x++)
        assert_int_equal(pixel_at(rgb, SIDE, x, y), ROAD);
    const foci_point at = foci_map_view_pixel(&view, well);
    assert_int_equal(pixel_at(rgb, SIDE, (int)at.x, (int)at.y), ROAD);
    free(rgb);
    /* With a name there is ink beside the sign; with no room there is none. */
    for (int full = 0; full < 2; full++) {
        foci_map_room room = {.frame = frame};
        size_t ink = 0;
        if (full)
            assert_done(
                foci_map_room_take(&room, foci_map_box((foci_point){SIDE / 2.0, SIDE / 2.0}, SIDE, SIDE, 0), &err),
                err);
        canvas = open_canvas(&view, round);
        assert_done(foci_map_marks_name(canvas, &view, round, &room, &err), err);
        rgb = close_canvas(canvas);
        for (int i = 0; i < SIDE * SIDE; i++)
            ink += pixel_at(rgb, SIDE, i % SIDE, i / SIDE) == 0x1A1A1A;
        assert_int_equal(ink > 100, !full);
        free(rgb);
        foci_map_room_free(&room);
    }
    round->marks = (foci_marks){0};
    foci_marks_free(&point);
}

static const foci_survey *attempted;

static bool attempt(foci_error *err) {
    foci_map_view view;
    foci_canvas *canvas = NULL;
    foci_map_numbering all = {0};
    view = foci_map_view_fit(&attempted->field.shape, 0, 0, 0, SIDE, SIDE, 20);
    const bool ok = foci_canvas_open(&canvas, SIDE, SIDE, err) &&
                    foci_map_photo_draw(canvas, &view, attempted, frame, err) &&
                    foci_map_marks_draw(canvas, &view, attempted, frame, err) &&
                    foci_map_numbering_draw(&all, canvas, &view, attempted, NULL, frame, err);
    foci_map_numbering_free(&all);
    foci_canvas_close(canvas);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    foci_survey *round = *state;
    foci_error err = {0};
    give_photo(round);
    assert_done(foci_marks_add_point(&round->marks, round->readings.places[0], "well", &err), err);
    attempted = round;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(classes_keep_their_colors_over_a_photo),
        cmocka_unit_test(the_photo_is_ground_in_the_frame),
        cmocka_unit_test(the_photo_is_seen_through_the_map),
        cmocka_unit_test(marks_stand_where_they_are),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, make_round, free_round);
}
