/* Where stops are laid: as many as are wanted, in the field, the same every time. */
#include "fieldfoci/layout.h"

#include <stdlib.h>

#include "decide/plan/patch_chance.h"
#include "fieldfoci/walk.h"
#include "support/scene.h"
#include "support/support.h"

/* An L of 9 ha with a pond, and a second part. */
static const foci_point outer[] = {{500000, 4200000}, {500400, 4200000}, {500400, 4200150},
                                   {500150, 4200150}, {500150, 4200400}, {500000, 4200400}};
static const foci_point pond[] = {{500040, 4200060}, {500040, 4200110}, {500100, 4200110}, {500100, 4200060}};
static const foci_point second[] = {{500430, 4200200}, {500530, 4200200}, {500530, 4200330}, {500430, 4200330}};

static foci_field field_of(const foci_point *points, size_t count) {
    static foci_ring ring;
    static foci_polygon polygon;
    ring = (foci_ring){count, (foci_point *)points};
    polygon = (foci_polygon){1, &ring};
    foci_field field = {.name = "", .shape = {1, &polygon}};
    snprintf(field.work_crs, sizeof field.work_crs, "EPSG:32617");
    return field;
}

static foci_field awkward_field(void) {
    static foci_ring first[] = {{6, (foci_point *)outer}, {4, (foci_point *)pond}},
                     other[] = {{4, (foci_point *)second}};
    static foci_polygon polygons[] = {{2, first}, {1, other}};
    foci_field field = {.name = "", .shape = {2, polygons}};
    snprintf(field.work_crs, sizeof field.work_crs, "EPSG:32617");
    return field;
}

static double nearest(const foci_layout *layout, size_t i) {
    double least = INFINITY;
    for (size_t k = 0; k < layout->count; k++)
        if (k != i)
            least = fmin(least, hypot(layout->items[i].place.x - layout->items[k].place.x,
                                      layout->items[i].place.y - layout->items[k].place.y));
    return least;
}

static void check_layout(const foci_layout *layout, const foci_field *field, size_t count) {
    double length = 0;
    foci_point before = layout->start;
    assert_int_equal(layout->count, count);
    for (size_t i = 0; i < count; i++) {
        const foci_point place = layout->items[i].place;
        assert_true(foci_multipolygon_contains(&field->shape, place));
        assert_true(foci_multipolygon_edge_distance(&field->shape, place) >= layout->margin);
        length += hypot(place.x - before.x, place.y - before.y);
        before = place;
    }
    length += hypot(before.x - layout->start.x, before.y - layout->start.y);
    assert_near(layout->walk, length, 1e-6);
}

static void as_many_as_wanted_in_any_field(void **state) {
    (void)state;
    static const foci_point strip[] = {{500000, 4200000}, {502000, 4200000}, {502000, 4200060}, {500000, 4200060}};
    static const foci_point garden[] = {{500000, 4200000}, {500020, 4200000}, {500020, 4200025}, {500000, 4200025}};
    static const size_t counts[] = {1, 2, 7, 60, 150};
    for (size_t f = 0; f < 3; f++) {
        const foci_field field = f == 0 ? awkward_field() : f == 1 ? field_of(strip, 4) : field_of(garden, 4);
        for (size_t p = 0; p < 2; p++)
            for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
                foci_layout_options options = foci_layout_options_make();
                foci_layout layout = {0};
                foci_error err = {0};
                options.pattern = &foci_layout_patterns[p];
                options.count = counts[i];
                options.row_heading = 23;
                assert_done(foci_layout_make(&layout, &field, &options, HOW, &err), err);
                check_layout(&layout, &field, counts[i]);
                foci_layout_free(&layout);
            }
    }
}

/* Jitter of a quarter of the spacing, each way: two neighbors of a grid keep half of it. */
static void a_grid_keeps_its_distance(void **state) {
    (void)state;
    const foci_field field = awkward_field();
    foci_layout_options options = foci_layout_options_make();
    foci_layout layout = {0}, again = {0}, other = {0};
    foci_error err = {0};
    options.count = 80;
    assert_done(foci_layout_make(&layout, &field, &options, HOW, &err), err);
    assert_near(layout.spacing, sqrt(layout.ground / 80), 1e-9);
    for (size_t i = 0; i < layout.count; i++)
        if (layout.items[i].why == FOCI_LAYOUT_REGULAR)
            assert_true(nearest(&layout, i) > 0.4 * layout.spacing);
    assert_done(foci_layout_make(&again, &field, &options, ON_THREADS(2), &err), err);
    assert_memory_equal(again.items, layout.items, layout.count * sizeof *layout.items);
    options.seed = 2;
    assert_done(foci_layout_make(&other, &field, &options, HOW, &err), err);
    assert_memory_not_equal(other.items, layout.items, layout.count * sizeof *layout.items);
    foci_layout_free(&layout);
    foci_layout_free(&again);
    foci_layout_free(&other);
}

static void scores_get_close_pairs(void **state) {
    (void)state;
    const foci_field field = awkward_field();
    foci_layout_options options = foci_layout_options_make();
    foci_layout layout = {0};
    foci_error err = {0};
    size_t pairs = 0;
    options.count = 83;
    options.close_pairs = true;
    assert_done(foci_layout_make(&layout, &field, &options, HOW, &err), err);
    check_layout(&layout, &field, 83);
    for (size_t i = 0; i < layout.count; i++)
        if (layout.items[i].why == FOCI_LAYOUT_PAIR) {
            assert_true(nearest(&layout, i) < 0.25 * layout.spacing);
            pairs++;
        }
    assert_int_equal(pairs, 8);
    foci_layout_free(&layout);
}

static void what_cannot_be_is_refused(void **state) {
    (void)state;
    const foci_field field = awkward_field();
    const foci_point nowhere = {31.5, -84.5};
    foci_layout_options options = foci_layout_options_make();
    foci_layout layout = {0};
    foci_error err = {0};
    options.margin = 90;
    assert_fails(foci_layout_make(&layout, &field, &options, HOW, &err), err, FOCI_BAD_SETTING, "from all edges");
    assert_string_equal(err.key, "margin");
    options.margin = 0;
    options.count = 0;
    assert_fails(foci_layout_make(&layout, &field, &options, HOW, &err), err, FOCI_BAD_SETTING, "give 1 to");
    options.count = 10;
    options.gate = &nowhere;
    assert_fails(foci_layout_make(&layout, &field, &options, HOW, &err), err, FOCI_BAD_SETTING, "within 10 km");
    static const foci_point bed[] = {{500000, 4200000}, {500010, 4200000}, {500010, 4200010}, {500000, 4200010}};
    const foci_field small = field_of(bed, 4);
    options.gate = NULL;
    options.count = 200;
    assert_fails(foci_layout_make(&layout, &small, &options, HOW, &err), err, FOCI_BAD_SETTING, "give fewer");
}

/* A surface of exponential covariance, mean 2 in the west and 0 in the east, of which nothing was read. */
static bool known_at(double *mean, double *covariance, const void *what, const foci_point *places, size_t count,
                     foci_error *err) {
    (void)what;
    (void)err;
    for (size_t i = 0; i < count; i++) {
        mean[i] = places[i].x < 500200 ? 2 : 0;
        for (size_t k = 0; k < count; k++)
            covariance[i * count + k] = exp(-hypot(places[i].x - places[k].x, places[i].y - places[k].y) / 40);
    }
    return true;
}

/* Half of the ground is at the threshold, half two deviations below it, where a place weighs e^-2 as much. */
static void gaps_take_most_of_what_is_unknown(void **state) {
    (void)state;
    const foci_field field = awkward_field();
    const foci_layout_knowledge known = {.at = known_at, .threshold = 2, .noise = 0.3};
    foci_layout_options options = foci_layout_options_make();
    foci_layout layout = {0};
    foci_error err = {0};
    size_t west = 0, gaps = 0;
    options.pattern = &foci_layout_patterns[2];
    options.knowledge = &known;
    options.count = 40;
    assert_done(foci_layout_make(&layout, &field, &options, HOW, &err), err);
    check_layout(&layout, &field, 40);
    assert_near(layout.variance, 1, 1e-12);
    assert_true(layout.after < 0.8);
    for (size_t i = 0; i < layout.count; i++) {
        assert_true(nearest(&layout, i) > 0.39 * layout.spacing);
        west += layout.items[i].place.x < 500200;
        gaps += layout.items[i].why == FOCI_LAYOUT_GAP;
    }
    assert_int_equal(gaps, 40);
    assert_true(west > 30);
    foci_layout_free(&layout);
}

static void again_keeps_what_was_there(void **state) {
    (void)state;
    const foci_field field = awkward_field();
    static const foci_point before[] = {{500003, 4200003}, {500200, 4200100}, {500060, 4200300}};
    foci_layout_options options = foci_layout_options_make();
    foci_layout layout = {0};
    foci_error err = {0};
    bool found[3] = {false};
    options.pattern = &foci_layout_patterns[3];
    options.again = before;
    options.again_count = 3;
    options.count = 4;
    assert_done(foci_layout_make(&layout, &field, &options, HOW, &err), err);
    assert_int_equal(layout.count, 7);
    for (size_t i = 0; i < layout.count; i++)
        if (layout.items[i].again != FOCI_OPEN) {
            assert_memory_equal(&layout.items[i].place, &before[layout.items[i].again], sizeof *before);
            found[layout.items[i].again] = true;
        }
    assert_true(found[0] && found[1] && found[2]);
    foci_layout_free(&layout);
}

/* One stop in the middle of a large square: a disc of radius r finds it where its middle lies within r. */
static void patches_are_found_as_often_as_geometry_says(void **state) {
    (void)state;
    static const foci_point square[] = {{500000, 4200000}, {500400, 4200000}, {500400, 4200400}, {500000, 4200400}};
    const foci_field field = field_of(square, 4);
    foci_layout_stop stop = {.place = {500200, 4200200}};
    const foci_layout layout = {.count = 1, .items = &stop};
    const foci_patch_stops stops = {.layout = &layout, .shows = 0.7};
    const double patch = 30000;
    foci_patch_chance chance;
    foci_error err = {0};
    assert_done(foci_patch_chance_find(&chance, &stops, &field.shape, patch, 1, &err), err);
    assert_near(chance.one, patch / 160000, 3 * sqrt(0.1875 * 0.8125 / 2000));
    assert_near(chance.shown, 0.7 * chance.one, 1e-12);
    double least = 0;
    assert_done(foci_patch_least(&least, &stops, &field.shape, 0.7 * chance.one - 1e-9, 1, &err), err);
    assert_true(least <= patch && least > 0.97 * patch);
    assert_done(foci_patch_least(&least, &stops, &field.shape, 0.71, 1, &err), err);
    assert_true(isnan(least)); /* the one stop misses it more often than that */
}

static bool lay_all(foci_error *err) {
    const foci_field field = awkward_field();
    const foci_layout_knowledge known = {.at = known_at, .threshold = 2, .noise = 0.3};
    for (size_t p = 0; p < 3; p++) {
        foci_layout_options options = foci_layout_options_make();
        foci_layout layout = {0};
        options.pattern = &foci_layout_patterns[p];
        options.count = 6;
        options.margin = 0;
        options.knowledge = p == 2 ? &known : NULL;
        if (!foci_layout_make(&layout, &field, &options, HOW, err))
            return false;
        foci_layout_free(&layout);
    }
    return true;
}

static void failing_allocations_are_reported(void **state) {
    (void)state;
    support_fail_each_allocation(lay_all);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_many_as_wanted_in_any_field),
        cmocka_unit_test(a_grid_keeps_its_distance),
        cmocka_unit_test(scores_get_close_pairs),
        cmocka_unit_test(what_cannot_be_is_refused),
        cmocka_unit_test(gaps_take_most_of_what_is_unknown),
        cmocka_unit_test(again_keeps_what_was_there),
        cmocka_unit_test(patches_are_found_as_often_as_geometry_says),
        cmocka_unit_test(failing_allocations_are_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
