/* The field on the sheet, looked at pixel by pixel. */
#include "show/map/map_field.h"

#include "show/colour_sight.h"
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

static void the_field_keeps_its_shape_in_any_frame(void **state) {
    (void)state;
    const struct { double width, height; } fields[] = {{300, 200}, {2000, 60}, {60, 2000}, {1, 1}};
    for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
        foci_point corners[] = {{500000, 3900000},
                                {500000 + fields[i].width, 3900000},
                                {500000 + fields[i].width, 3900000 + fields[i].height},
                                {500000, 3900000 + fields[i].height}};
        foci_ring ring = {4, corners};
        foci_polygon polygon = {1, &ring};
        const foci_multipolygon shape = {1, &polygon};
        const foci_map_view view = foci_map_view_fit(&shape, 0, 40, 100, 900, 600, 8);
        const foci_point low = foci_map_view_pixel(&view, corners[0]), high = foci_map_view_pixel(&view, corners[2]);
        assert_near((high.x - low.x) / fields[i].width, (low.y - high.y) / fields[i].height, 1e-9);
        assert_true(low.x > 47.999 && high.x < 932.001 && high.y > 107.999 && low.y < 692.001);
        assert_true(high.x - low.x > 883.9 || low.y - high.y > 583.9); /* as large as the frame allows */
        assert_near((low.x + high.x) / 2, 490, 1e-6);
        assert_near((low.y + high.y) / 2, 400, 1e-6);
    }
}

/* A strip 2 km long and 60 m wide fills the frame whichever way it lies; a square and a wide field stay north up. A
 * place comes back from its pixel, and north is where a step north goes. */
static void a_strip_is_turned_along_the_sheet(void **state) {
    (void)state;
    const struct {
        double width, height, heading; /* metres, and how the field lies: degrees clockwise */
        bool turned;
    } fields[] = {{60, 2000, 0, true},  {60, 2000, 33, true},  {60, 2000, -71.3, false}, {2000, 60, 0, false},
                  {400, 400, 0, false}, {400, 400, 45, false}, {300, 420, 0, false}};
    for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
        const double turn = fields[i].heading * M_PI / 180;
        const double x[] = {0, fields[i].width, fields[i].width, 0}, y[] = {0, 0, fields[i].height, fields[i].height};
        foci_point corners[4];
        for (int k = 0; k < 4; k++)
            corners[k] = (foci_point){500000 + x[k] * cos(turn) + y[k] * sin(turn),
                                      3900000 + y[k] * cos(turn) - x[k] * sin(turn)};
        foci_ring ring = {4, corners};
        foci_polygon polygon = {1, &ring};
        const foci_multipolygon shape = {1, &polygon};
        const double by = foci_map_turn(&shape, 1000, 550);
        const foci_map_view view = foci_map_view_fit(&shape, by, 10, 20, 1000, 550, 0);
        assert_int_equal(by != 0, fields[i].turned);
        assert_true(by > -90 && by <= 90);
        if (fields[i].turned || fields[i].width > 1000)
            assert_true(view.scale > 0.97 * hypot(1000, 550) / 2100 || view.width > 990);
        const foci_point place = {corners[0].x + 17.385, corners[0].y + 31.617};
        const foci_point pixel = foci_map_view_pixel(&view, place), back = foci_map_view_place(&view, pixel);
        assert_near(back.x, place.x, 1e-6);
        assert_near(back.y, place.y, 1e-6);
        const foci_point north = foci_map_view_pixel(&view, (foci_point){place.x, place.y + 100});
        assert_near(atan2(north.x - pixel.x, pixel.y - north.y) * 180 / M_PI, foci_map_view_turn(&view), 1e-6);
        const foci_box box = foci_map_view_box(&view, &shape);
        assert_true(box.west > 9.99 && box.east < 1010.01 && box.north > 19.99 && box.south < 570.01);
    }
}

/* Where all readings are equal the ground has one colour, though the estimates lie on both sides of a break. */
static void equal_readings_have_one_colour(void **state) {
    foci_survey *round = *state;
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    const foci_map_view view = foci_map_view_fit(&round->field.shape, 0, 0, 0, SIDE, SIDE, 5);
    double edges[FOCI_LEGEND_MOST];
    foci_canvas *canvas = NULL;
    unsigned char *rgb = NULL;
    foci_error err = {0};
    assert_true(isnan(foci_map_even(round, legend)));
    round->readings.spread.min = round->readings.spread.max = round->threshold;
    for (size_t cell = 0; cell < round->grid.columns * round->grid.rows; cell++)
        if (!isnan(round->surface.estimate[cell]))
            round->surface.estimate[cell] = round->threshold + (cell % 2 ? 1e-9 : -1e-9);
    legend->breaks(edges, round);
    assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
    assert_done(foci_map_field_draw(canvas, &view, round, legend, edges, &err), err);
    assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
    foci_canvas_close(canvas);
    for (size_t i = 0; i < legend->classes; i++)
        assert_int_equal(count_colour(rgb, SIDE * SIDE, legend->colours[i]) > 0,
                         i == foci_map_legend_class(legend, edges, round->threshold));
    free(rgb);
}

static uint32_t pixel_of(const unsigned char *rgb, const foci_map_view *view, foci_point place) {
    const foci_point pixel = foci_map_view_pixel(view, place);
    return pixel_at(rgb, SIDE, (int)floor(pixel.x), (int)floor(pixel.y));
}

/* Over every colour of the legends the lines differ from the ground by 35 of 100 steps of lightness at least, so a gray
 * copy keeps them; and they run both ways, where the classes of seasons are hatched one way. */
static void hatching_is_seen_on_any_ground(void **state) {
    (void)state;
    for (const foci_map_legend *legend = foci_map_legends; legend->name; legend++)
        for (size_t i = 0; i < legend->classes; i++) {
            double most = 0;
            size_t kept = 0, ways[2] = {0};
            for (int n = 0; n < 100 * 100; n++) {
                const uint32_t at = foci_map_mesh_at(legend->colours[i], n % 100, (double)(n / 100));
                most = fmax(most, fabs(seen(at, 0).l - seen(legend->colours[i], 0).l));
                kept += at == legend->colours[i];
                for (int way = 0; way < 2; way++) /* ink that goes on along one diagonal */
                    ways[way] +=
                        at == 0x1A1A1A && foci_map_mesh_at(0, n % 100 + (way ? 5 : -5), n / 100 + 5.0) == 0x1A1A1A;
            }
            assert_true(most > 35);
            assert_true(kept > 4000); /* and the colour is still there to be read */
            assert_true(ways[0] > 300 && ways[1] > 300);
        }
}

/* The mask lies on the map where its cells are, and nowhere else. */
static void unspoken_ground_is_hatched(void **state) {
    foci_survey *round = *state;
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    const foci_map_view view = foci_map_view_fit(&round->field.shape, 0, 0, 0, SIDE, SIDE, 5);
    const size_t cells = round->grid.columns * round->grid.rows;
    unsigned char *rgb[2] = {NULL};
    double edges[FOCI_LEGEND_MOST];
    foci_error err = {0};
    legend->breaks(edges, round);
    for (int hatched = 0; hatched < 2; hatched++) {
        foci_canvas *canvas = NULL;
        if (hatched) {
            round->unspoken = foci_new_array(cells, sizeof *round->unspoken, &err);
            for (size_t cell = 0; cell < cells; cell++)
                round->unspoken[cell] = cell % round->grid.columns < 20;
        }
        assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
        assert_done(foci_map_field_draw(canvas, &view, round, legend, edges, &err), err);
        assert_done(foci_canvas_rgb(&rgb[hatched], canvas, &err), err);
        foci_canvas_close(canvas);
    }
    size_t in = 0, out = 0, all = 0;
    const double edge = foci_map_view_pixel(&view, (foci_point){round->grid.west + 20 * round->grid.cell, 0}).x;
    for (int i = 0; i < SIDE * SIDE; i++) {
        const bool changed = pixel_at(rgb[0], SIDE, i % SIDE, i / SIDE) != pixel_at(rgb[1], SIDE, i % SIDE, i / SIDE);
        *(i % SIDE < edge ? &in : &out) += changed;
        all += i % SIDE < edge && pixel_at(rgb[0], SIDE, i % SIDE, i / SIDE) != 0xFFFFFF;
    }
    assert_int_equal(out, 0);
    assert_true(in > all / 5 && in < all * 3 / 5);
    free(rgb[0]);
    free(rgb[1]);
}

/* The plain twin of the smooth image: at the centre of a cell the class is that of the cell's own value. */
static void the_layer_is_clipped_to_the_field(void **state) {
    const foci_survey *round = *state;
    foci_error err = {0};
    const sample_plan plan = {60, 40, 8, 5, 2, 34};
    for (const foci_map_legend *legend = foci_map_legends; legend->name; legend++) {
        double edges[FOCI_LEGEND_MOST];
        foci_canvas *canvas = NULL;
        unsigned char *rgb = NULL;
        size_t seen = 0;
        legend->breaks(edges, round);
        const foci_map_view view = foci_map_view_fit(&round->field.shape, 0, 0, 0, SIDE, SIDE, 5);
        assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
        assert_done(foci_map_field_draw(canvas, &view, round, legend, edges, &err), err);
        assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
        assert_int_equal(pixel_of(rgb, &view, sample_place(&plan, 0.5, 0.3)), 0xFFFFFF);    /* the pond */
        assert_int_equal(pixel_of(rgb, &view, sample_place(&plan, 0.975, 0.96)), 0xFFFFFF); /* the cut corner */
        for (size_t cell = 0; cell < round->grid.columns * round->grid.rows; cell++) {
            const foci_point place = sample_centre(&round->grid, cell);
            const double value = legend->layer(round)[cell];
            const size_t which = foci_map_legend_class(legend, edges, value);
            /* leaves out what the boundary's line covers, and pixels that a break passes through */
            if (!foci_multipolygon_contains(&round->field.shape, place) ||
                foci_multipolygon_edge_distance(&round->field.shape, place) < 4 ||
                which != foci_map_legend_class(legend, edges, value * 1.2) ||
                which != foci_map_legend_class(legend, edges, value * 0.8))
                continue;
            assert_int_equal(pixel_of(rgb, &view, place), legend->colours[which]);
            seen++;
        }
        assert_true(seen > 500);
        free(rgb);
        foci_canvas_close(canvas);
    }
}

/* Numbers stand where they can be read: within the frame, apart from each other, and beside the stops. */
static void numbers_avoid_the_stops(void **state) {
    foci_survey *round = *state;
    foci_error err = {0};
    foci_canvas *canvas = NULL;
    unsigned char *rgb = NULL;
    const foci_map_view view = foci_map_view_fit(&round->field.shape, 0, 0, 0, SIDE, SIDE, 5);
    foci_map_room room = {.frame = {0, SIDE, SIDE, 0}};
    foci_map_numbered items[2];
    foci_map_label labels[2];
    double edges[FOCI_LEGEND_MOST];
    /* a stop right in the middle of each hotspot */
    round->readings.places[0] = sample_pocket(&(sample_plan){60, 40, 8, 5, 2, 34}, 0);
    round->readings.places[1] = sample_pocket(&(sample_plan){60, 40, 8, 5, 2, 34}, 1);
    assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
    foci_map_legends[FOCI_LEGEND_SEVERITY].breaks(edges, round);
    for (size_t i = 0; i < 2; i++)
        items[i] = (foci_map_numbered){(int)i + 1, &round->hotspots.items[i].shape};
    assert_done(foci_map_stops_take(&room, &view, round, edges, &err), err);
    assert_done(foci_map_numbers_place(labels, &view, items, 2, NULL, 0, &room, &err), err);
    foci_map_numbers_draw(canvas, labels, 2);
    foci_map_room_free(&room);
    assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
    assert_true(count_colour(rgb, SIDE * SIDE, 0x1A1A1A) > 300); /* two rings, two figures */
    for (size_t i = 0; i < 2; i++)
        assert_int_equal(pixel_of(rgb, &view, round->readings.places[i]), 0xFFFFFF);
    for (int i = 0; i < SIDE; i++) {
        assert_int_equal(pixel_at(rgb, SIDE, i, 0), 0xFFFFFF);
        assert_int_equal(pixel_at(rgb, SIDE, 0, i), 0xFFFFFF);
        assert_int_equal(pixel_at(rgb, SIDE, SIDE - 1, i), 0xFFFFFF);
    }
    free(rgb);
    foci_canvas_close(canvas);
}

/* A line goes where the layer passes the level, and nowhere else: every pixel that it changed has the level between the
 * values within three pixels of it. */
static void a_level_is_drawn_as_a_line(void **state) {
    const foci_survey *round = *state;
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    const foci_map_view view = foci_map_view_fit(&round->field.shape, 0, 0, 0, SIDE, SIDE, 5);
    double edges[FOCI_LEGEND_MOST];
    unsigned char *rgb[2];
    size_t changed = 0;
    legend->breaks(edges, round);
    for (int i = 0; i < 2; i++) {
        foci_error err = {0};
        foci_canvas *canvas = NULL;
        assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
        assert_done(foci_map_level_draw(canvas, &view, round, legend, edges, i == 0 ? NAN : 14.5, &err), err);
        assert_done(foci_canvas_rgb(&rgb[i], canvas, &err), err);
        foci_canvas_close(canvas);
    }
    const sample_plan plan = {60, 40, 8, 5, 2, 34};
    for (int i = 0; i < SIDE * SIDE; i++) {
        if (pixel_at(rgb[0], SIDE, i % SIDE, i / SIDE) == pixel_at(rgb[1], SIDE, i % SIDE, i / SIDE))
            continue;
        double least = INFINITY, most = -INFINITY;
        for (int part = 0; part < 49; part++) {
            const double x = i % SIDE + part % 7 - 3, y = i / SIDE + part / 7 - 3;
            const double severity = sample_severity(
                &plan, (foci_point){view.west + (x - view.x) / view.scale, view.north - (y - view.y) / view.scale});
            least = fmin(least, severity);
            most = fmax(most, severity);
        }
        assert_true(least < 14.5 + 0.5 && most > 14.5 - 0.5); /* the layer is linear between the cells */
        changed++;
    }
    /* two rings of a line of two pixels, each ring longer than 2 pi times a radius of 15 m */
    assert_true((double)changed > 2 * 2 * M_PI * 15 * view.scale);
    free(rgb[0]);
    free(rgb[1]);
}

static void hotspots_are_outlined(void **state) {
    const foci_survey *round = *state;
    foci_error err = {0};
    foci_canvas *canvas = NULL;
    unsigned char *rgb = NULL;
    const foci_map_view view = foci_map_view_fit(&round->field.shape, 0, 0, 0, SIDE, SIDE, 5);
    assert_done(foci_canvas_open(&canvas, SIDE, SIDE, &err), err);
    assert_done(foci_map_hotspots_draw(canvas, &view, round, 6, &err), err);
    assert_done(foci_canvas_rgb(&rgb, canvas, &err), err);
    for (size_t i = 0; i < round->hotspots.count; i++) {
        const foci_ring *ring = &round->hotspots.items[i].shape.polygons[0].rings[0];
        for (size_t k = 0; k < ring->count; k++) {
            const foci_point from = ring->points[k], to = ring->points[(k + 1) % ring->count];
            assert_int_equal(pixel_of(rgb, &view, (foci_point){(from.x + to.x) / 2, (from.y + to.y) / 2}), 0x1A1A1A);
        }
    }
    free(rgb);
    foci_canvas_close(canvas);
}

int main(void) {
#define WITH_ROUND(test) cmocka_unit_test_setup_teardown(test, make_round, free_round)
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_field_keeps_its_shape_in_any_frame),
        cmocka_unit_test(a_strip_is_turned_along_the_sheet),
        WITH_ROUND(equal_readings_have_one_colour),
        WITH_ROUND(the_layer_is_clipped_to_the_field),
        cmocka_unit_test(hatching_is_seen_on_any_ground),
        WITH_ROUND(unspoken_ground_is_hatched),
        WITH_ROUND(numbers_avoid_the_stops),
        WITH_ROUND(a_level_is_drawn_as_a_line),
        WITH_ROUND(hotspots_are_outlined),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
