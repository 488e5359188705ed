/* The zones on paper, looked at pixel by pixel: each is known by its hatching, in color and in gray. */
#include "show/map/map_zones.h"

#include "show/map/map_field_page.h"
#include "show/read_picture.h"
#include "show/sample_round.h"

#define SIDE 600
#define TREAT 0xE08A4C
#define INK 0x1A1A1A

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

typedef struct {
    double pixels, ink, treat, white;
} tally;

/* Of the pixels well inside a zone (no outline within four pixels): how many are ink, color and white. */
static tally tally_of(const unsigned char *rgb, const foci_map_view *view, const foci_survey *round,
                      foci_zone_code code) {
    tally found = {0};
    for (int y = 0; y < SIDE; y++)
        for (int x = 0; x < SIDE; x++) {
            const foci_point place = foci_map_view_place(view, (foci_point){x + 0.5, y + 0.5});
            double edge = foci_multipolygon_edge_distance(&round->field.shape, place);
            for (int zone = 0; zone < FOCI_ZONE_END; zone++)
                edge = fmin(edge, foci_multipolygon_edge_distance(&round->zones.items[zone].shape, place));
            if (edge * view->scale < 4 || !foci_multipolygon_contains(&round->zones.items[code].shape, place))
                continue;
            const uint32_t colour = pixel_at(rgb, SIDE, x, y);
            found.pixels++;
            found.ink += colour == INK;
            found.treat += colour == TREAT;
            found.white += colour == 0xFFFFFF;
        }
    return found;
}

static unsigned char *drawn(const foci_survey *round, foci_map_view *view) {
    foci_canvas *canvas = NULL;
    unsigned char *rgb = NULL;
    foci_error err = {0};
    *view = foci_map_view_fit(&round->field.shape, 0, 0, 0, SIDE, SIDE, 8);
    assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
    assert_done(foci_map_zones_ground_draw(canvas, view, round, &err), err);
    assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
    foci_canvas_close(canvas);
    return rgb;
}

/* Lines of 3 on 9 cover a third of the ground, of 1.8 on 15 an eighth; what edges of lines blend is in neither. */
static void each_zone_has_its_hatching(void **state) {
    const foci_survey *round = *state;
    foci_map_view view;
    unsigned char *rgb = drawn(round, &view);
    const tally treat = tally_of(rgb, &view, round, FOCI_ZONE_TREAT), dig = tally_of(rgb, &view, round, FOCI_ZONE_DIG),
                leave = tally_of(rgb, &view, round, FOCI_ZONE_LEAVE);
    assert_true(treat.pixels > 2000 && dig.pixels > 500 && leave.pixels > 20000);
    assert_true(treat.ink / treat.pixels > 0.15 && treat.ink / treat.pixels < 0.4);
    assert_true(treat.treat / treat.pixels > 0.4 && treat.white == 0);
    assert_true(dig.white / dig.pixels > 0.7 && dig.white < dig.pixels && dig.treat == 0);
    assert_true(leave.white == leave.pixels);
    free(rgb);
}

/* Relative luminance as on a photocopy (ITU-R BT.601): treat is far darker than dig, and dig than leave. */
static double gray_of(const unsigned char *rgb, const foci_map_view *view, const foci_survey *round,
                      foci_zone_code code) {
    double sum = 0, count = 0;
    for (int y = 0; y < SIDE; y++)
        for (int x = 0; x < SIDE; x++) {
            const foci_point place = foci_map_view_place(view, (foci_point){x + 0.5, y + 0.5});
            if (!foci_multipolygon_contains(&round->zones.items[code].shape, place))
                continue;
            const uint32_t colour = pixel_at(rgb, SIDE, x, y);
            sum += 0.299 * (colour >> 16 & 0xFF) + 0.587 * (colour >> 8 & 0xFF) + 0.114 * (colour & 0xFF);
            count++;
        }
    return sum / count / 255;
}

static void a_photocopy_keeps_them_apart(void **state) {
    const foci_survey *round = *state;
    foci_map_view view;
    unsigned char *rgb = drawn(round, &view);
    const double treat = gray_of(rgb, &view, round, FOCI_ZONE_TREAT), dig = gray_of(rgb, &view, round, FOCI_ZONE_DIG);
    assert_true(treat < 0.55 && dig > treat + 0.2 && dig < 0.93);
    assert_true(gray_of(rgb, &view, round, FOCI_ZONE_LEAVE) > dig + 0.05);
    free(rgb);
}

static void without_zones_there_is_no_key(void **state) {
    foci_survey *round = *state;
    foci_canvas *canvas = NULL;
    foci_error err = {0};
    assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
    const double height = foci_map_zones_row_draw(canvas, 0, 0, 2000, round);
    assert_true(height > 20 && foci_map_zones_row_draw(canvas, 0, 0, 300, round) > height); /* in more rows */
    assert_true(foci_map_field_page_applies(round));
    round->has_zones = false;
    assert_true(foci_map_zones_row_draw(canvas, 0, 0, SIDE, round) == 0);
    assert_int_equal(foci_map_field_page_applies(round), round->digs.count > 0);
    round->has_zones = true;
    foci_canvas_close(canvas);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_zone_has_its_hatching),
        cmocka_unit_test(a_photocopy_keeps_them_apart),
        cmocka_unit_test(without_zones_there_is_no_key),
    };
    return cmocka_run_group_tests(tests, make_round, free_round);
}
