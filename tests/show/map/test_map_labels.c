/* Where the numbers of hotspots and dig-checks go, over many layouts drawn by lot: painted pixel by pixel, no two of
 * stops, boxes, discs and lines share one. */
#include "show/map/map_labels.h"

#include <math.h>

#include "base/random.h"
#include "support/support.h"

enum { SIDE = 700, STOPS_MOST = 160, DIGS_MOST = 20, SPOTS_MOST = 5, LAYOUTS = 150 };

static const foci_map_view view = {0, 0, SIDE, SIDE, 0, SIDE, 1, 1, 0}; /* a meter is a pixel */

typedef struct {
    size_t stops, digs, spots;
    foci_point stop[STOPS_MOST];
    double radius[STOPS_MOST];
    foci_dig_point dig[DIGS_MOST];
    foci_point corners[SPOTS_MOST][4];
    foci_ring rings[SPOTS_MOST];
    foci_polygon polygons[SPOTS_MOST];
    foci_multipolygon shapes[SPOTS_MOST];
    foci_map_numbered items[SPOTS_MOST];
    foci_map_label labels[SPOTS_MOST + DIGS_MOST]; /* the spots, then the digs */
} layout;

static double between(foci_random *draws, double least, double most) {
    return least + (most - least) * foci_random_share(draws);
}

/* Hotspots of any size, stops all over, digs on stops, between them and on each other. */
static void make_layout(layout *out, uint64_t seed, size_t stops) {
    foci_random draws = foci_random_stream(20260818, seed);
    *out = (layout){.stops = stops, .digs = 5 + seed % 16, .spots = 1 + seed % SPOTS_MOST};
    for (size_t i = 0; i < out->stops; i++) {
        out->stop[i] = (foci_point){between(&draws, 30, SIDE - 30), between(&draws, 30, SIDE - 30)};
        out->radius[i] = between(&draws, 5, 15);
    }
    for (size_t i = 0; i < out->digs; i++) {
        const foci_point on = out->stop[(7 * i) % out->stops];
        const bool near = i % 3 != 0;
        out->dig[i].visit = (int)i + 1;
        out->dig[i].place = near ? (foci_point){on.x + between(&draws, -9, 9), SIDE - on.y}
                                 : (foci_point){between(&draws, 20, SIDE - 20), between(&draws, 20, SIDE - 20)};
    }
    for (size_t i = 0; i < out->spots; i++) {
        const double width = between(&draws, 8, 200), height = between(&draws, 8, 200);
        const double x = between(&draws, 10, SIDE - 10 - width), y = between(&draws, 10, SIDE - 10 - height);
        const foci_point corners[] = {{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}};
        memcpy(out->corners[i], corners, sizeof corners);
        out->rings[i] = (foci_ring){4, out->corners[i]};
        out->polygons[i] = (foci_polygon){1, &out->rings[i]};
        out->shapes[i] = (foci_multipolygon){1, &out->polygons[i]};
        out->items[i] = (foci_map_numbered){(int)i + 1, &out->shapes[i]};
    }
}

static bool place_all(layout *of, foci_error *err) {
    const foci_dig_points digs = {.count = of->digs, .items = of->dig};
    foci_map_room room = {.frame = {0, SIDE, SIDE, 0}};
    foci_canvas *canvas = NULL;
    foci_point spared[DIGS_MOST];
    bool ok = foci_canvas_open(&canvas, SIDE, SIDE, err);
    for (size_t i = 0; i < of->digs; i++)
        spared[i] = foci_map_view_pixel(&view, of->dig[i].place);
    for (size_t i = 0; ok && i < of->stops; i++)
        ok = foci_map_room_take(&room, foci_map_disc(of->stop[i], of->radius[i]), err);
    ok = ok && foci_map_numbers_place(of->labels, &view, of->items, of->spots, spared, of->digs, &room, err) &&
         foci_map_digs_place(of->labels + of->spots, canvas, &view, &digs, &room, err);
    foci_map_room_free(&room);
    foci_canvas_close(canvas);
    return ok;
}

/* ---- painting: who stands on a pixel ---- */

static int owner[SIDE][SIDE];

static size_t claim(int x, int y, int who) {
    if (x < 0 || y < 0 || x >= SIDE || y >= SIDE)
        return 1; /* outside the frame */
    const bool taken = owner[y][x] != 0 && owner[y][x] != who;
    owner[y][x] = who;
    return taken;
}

static size_t claim_disc(foci_point middle, double radius, int who) {
    size_t twice = 0;
    for (int y = (int)(middle.y - radius); y <= middle.y + radius; y++)
        for (int x = (int)(middle.x - radius); x <= middle.x + radius; x++)
            if (hypot(x + 0.5 - middle.x, y + 0.5 - middle.y) < radius - 0.5)
                twice += claim(x, y, who);
    return twice;
}

static size_t claim_label(const foci_map_label *label, bool disc, int who) {
    size_t twice = 0;
    if (disc)
        twice += claim_disc(label->middle, label->width / 2 + 1.5, who);
    for (int y = 0; !disc && y < (int)label->height; y++)
        for (int x = 0; x < (int)label->width; x++)
            twice += claim((int)round(label->middle.x - label->width / 2 + x),
                           (int)round(label->middle.y - label->height / 2 + y), who);
    for (int i = 0; label->led && i <= 1000; i++) {
        const double part = i / 1000.0;
        const foci_point at = {label->from.x + part * (label->to.x - label->from.x),
                               label->from.y + part * (label->to.y - label->from.y)};
        twice += claim_disc(at, 1.8, who); /* a line of 2.6 pixels */
    }
    if (label->marked)
        for (int i = 0; i < 64; i++)
            twice += claim((int)round(label->to.x - 4) + i % 8, (int)round(label->to.y - 4) + i / 8, who);
    return twice;
}

static size_t painted_twice(const layout *of) {
    size_t twice = 0;
    memset(owner, 0, sizeof owner);
    for (size_t i = 0; i < of->stops; i++)
        claim_disc(of->stop[i], of->radius[i], -1); /* stops may stand on each other */
    for (size_t i = 0; i < of->spots + of->digs; i++)
        if (of->labels[i].shown)
            twice += claim_label(&of->labels[i], i < of->spots, (int)i + 1);
    return twice;
}

static void nothing_covers_anything(void **state) {
    (void)state;
    static const size_t stops[] = {12, 40, 100, STOPS_MOST};
    static layout made;
    foci_error err = {0};
    size_t shown[4] = {0}, all[4] = {0};
    for (uint64_t seed = 1; seed <= LAYOUTS; seed++) {
        const size_t kind = seed % 4;
        make_layout(&made, seed, stops[kind]);
        assert_done(place_all(&made, &err), err);
        if (painted_twice(&made) != 0)
            fail_msg("layout %d: %zu pixels are painted twice", (int)seed, painted_twice(&made));
        for (size_t i = 0; i < made.spots + made.digs; i++) {
            shown[kind] += made.labels[i].shown;
            all[kind]++;
        }
    }
    /* where there is room all are there; where stops lie as close as dots go some are left out */
    assert_int_equal(shown[0], all[0]);
    assert_true(100 * shown[1] >= 99 * all[1]);
    assert_true(100 * shown[2] >= 90 * all[2]);
    assert_true(shown[3] < all[3]);
}

/* A number inside stands in its hotspot, one outside has a line to its outline; a box has a line to its place, or as
 * near as the stop there allows. */
static void every_number_says_what_it_speaks_of(void **state) {
    (void)state;
    static layout made;
    foci_error err = {0};
    for (uint64_t seed = 1; seed <= LAYOUTS; seed++) {
        make_layout(&made, seed, 40);
        assert_done(place_all(&made, &err), err);
        for (size_t i = 0; i < made.spots; i++) {
            const foci_map_label *label = &made.labels[i];
            const foci_point end = label->led ? label->to : label->middle;
            const foci_point place = foci_map_view_place(&view, end);
            assert_int_equal(label->number, (int)i + 1);
            if (label->shown)
                assert_true(foci_multipolygon_contains(&made.shapes[i], place) ||
                            foci_multipolygon_edge_distance(&made.shapes[i], place) < 1e-6);
        }
        for (size_t i = 0; i < made.digs; i++) {
            const foci_map_label *label = &made.labels[made.spots + i];
            const foci_point place = foci_map_view_pixel(&view, made.dig[i].place);
            const foci_point end = label->led ? label->to : label->middle;
            if (label->shown)
                assert_true(hypot(end.x - place.x, end.y - place.y) <= (label->led && !label->marked ? 20.001 : 1e-9));
        }
    }
}

/* A ground of stops without a gap: nothing is shown, and nothing is covered. */
static void without_room_a_number_is_left_out(void **state) {
    (void)state;
    static layout made;
    foci_error err = {0};
    make_layout(&made, 8, STOPS_MOST);
    for (size_t i = 0; i < STOPS_MOST; i++) {
        made.stop[i] = (foci_point){28 + 54 * (double)(i % 13), 28 + 54 * (double)(i / 13)};
        made.radius[i] = 38;
    }
    assert_done(place_all(&made, &err), err);
    for (size_t i = 0; i < made.spots + made.digs; i++)
        assert_false(made.labels[i].shown);
}

static layout attempted;

static bool attempt(foci_error *err) {
    make_layout(&attempted, 5, 12);
    return place_all(&attempted, err);
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_covers_anything),
        cmocka_unit_test(every_number_says_what_it_speaks_of),
        cmocka_unit_test(without_room_a_number_is_left_out),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
