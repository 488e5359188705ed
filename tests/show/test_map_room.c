/* How badly something new would cover what stands on the map. */
#include "show/map_room.h"

#include "support/support.h"

static foci_map_room two_things(void) {
    foci_map_room room = {.frame = {10, 300, 400, 20}};
    foci_error err = {0};
    assert_done(foci_map_room_take(&room, (foci_point){100, 100}, 13, 3, &err), err);
    assert_done(foci_map_room_take(&room, (foci_point){160, 100}, 27, 100, &err), err);
    return room;
}

static void what_covers_nothing_costs_nothing(void **state) {
    (void)state;
    foci_map_room room = two_things();
    assert_near(foci_map_room_cost(&room, (foci_point){200, 200}, 21), 0, 0);
    assert_near(foci_map_room_cost(&room, (foci_point){100, 134.001}, 21), 0, 0); /* 13 + 21 away */
    foci_map_room_free(&room);
    assert_near(foci_map_room_cost(&room, (foci_point){100, 100}, 0), 1000, 0); /* an empty frame holds nothing */
}

/* Weight x (1 + overlap / 12), of all that is covered. */
static void more_overlap_costs_more(void **state) {
    (void)state;
    foci_map_room room = two_things();
    assert_near(foci_map_room_cost(&room, (foci_point){100, 128}, 21), 3 * (1 + 6.0 / 12), 1e-12);
    assert_near(foci_map_room_cost(&room, (foci_point){120, 100}, 21), 3 * (1 + 14.0 / 12) + 100 * (1 + 8.0 / 12),
                1e-10);
    foci_map_room_free(&room);
}

static void the_frame_is_not_left(void **state) {
    (void)state;
    foci_map_room room = two_things();
    const foci_point out[] = {{30, 200}, {380, 200}, {200, 40}, {200, 280}};
    for (size_t i = 0; i < 4; i++)
        assert_near(foci_map_room_cost(&room, out[i], 21), 1000, 0);
    foci_map_room_free(&room);
    foci_map_room_free(&room);
}

static bool attempt(foci_error *err) {
    const foci_point places[] = {{1.385, 2}, {3, 4.617}};
    const foci_readings readings = {.count = 2, .places = (foci_point *)places};
    const foci_map_view view = {0, 0, 100, 100, 0, 100, 2, 1, 0};
    foci_map_room room = {0};
    const bool ok = foci_map_room_take_stops(&room, &view, &readings, err);
    if (ok) {
        assert_int_equal(room.count, 2);
        assert_near(room.items[1].middle.x, 6, 1e-12);
        assert_near(room.items[1].middle.y, 2 * (100 - 4.617), 1e-12);
    }
    foci_map_room_free(&room);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_covers_nothing_costs_nothing),
        cmocka_unit_test(more_overlap_costs_more),
        cmocka_unit_test(the_frame_is_not_left),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
