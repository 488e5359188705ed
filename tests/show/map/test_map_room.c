/* What stands on the map, and whether something new would cover it. */
#include "show/map/map_room.h"

#include <math.h>

#include "support/support.h"

/* Known distances, worked out by hand (right triangles 3-4-5 and 5-12-13). */
static void gaps_are_those_of_geometry(void **state) {
    (void)state;
    const foci_map_taken disc = foci_map_disc((foci_point){3, 4}, 1.5), origin = foci_map_disc((foci_point){0, 0}, 0.5);
    const foci_map_taken box = foci_map_box((foci_point){10, 16}, 10, 8, 0); /* 5 to 15, 12 to 20 */
    const foci_map_taken line = foci_map_line((foci_point){-4, 0}, (foci_point){-4, 30}, 2);
    const foci_map_taken slant = foci_map_line((foci_point){0, 10}, (foci_point){10, 0}, 0);
    const foci_map_taken through = foci_map_line((foci_point){0, 0}, (foci_point){30, 48}, 1);
    assert_near(foci_map_gap(&disc, &origin), 5 - 2, 1e-12);
    assert_near(foci_map_gap(&origin, &box), 13 - 0.5, 1e-12);
    assert_near(foci_map_gap(&box, &line), 9 - 2, 1e-12);
    assert_near(foci_map_gap(&line, &disc), 7 - 3.5, 1e-12);
    assert_near(foci_map_gap(&slant, &origin), sqrt(50) - 0.5, 1e-12);
    assert_near(foci_map_gap(&line, &slant), 4 - 2, 1e-12);
    assert_near(foci_map_gap(&slant, &line), 4 - 2, 1e-12);
    assert_near(foci_map_gap(&through, &box), -1, 1e-12);   /* a line through a box */
    assert_near(foci_map_gap(&through, &slant), -1, 1e-12); /* and through a line */
    const foci_map_taken inner = foci_map_line((foci_point){8, 14}, (foci_point){9, 15}, 0.25);
    assert_near(foci_map_gap(&inner, &box), -0.25, 1e-12);
}

static void what_is_taken_is_not_free(void **state) {
    (void)state;
    foci_map_room room = {.frame = {10, 300, 400, 20}};
    foci_error err = {0};
    assert_done(foci_map_room_take(&room, foci_map_disc((foci_point){100, 100}, 13), &err), err);
    const foci_map_taken near = foci_map_disc((foci_point){100, 133.999}, 21),
                         clear = foci_map_disc((foci_point){100, 134.001}, 21);
    assert_false(foci_map_room_is_free(&room, &near));
    assert_true(foci_map_room_is_free(&room, &clear));
    foci_map_room_free(&room);
    foci_map_room_free(&room);
}

static void the_frame_is_not_left(void **state) {
    (void)state;
    const foci_map_room room = {.frame = {10, 300, 400, 20}};
    const foci_point out[] = {{30, 200}, {380, 200}, {200, 40}, {200, 280}};
    for (size_t i = 0; i < 4; i++) {
        const foci_map_taken disc = foci_map_disc(out[i], 21), small = foci_map_disc(out[i], 19);
        assert_false(foci_map_room_is_free(&room, &disc));
        assert_true(foci_map_room_is_free(&room, &small));
    }
    const foci_map_taken line = foci_map_line((foci_point){390, 100}, (foci_point){20, 25}, 6);
    assert_false(foci_map_room_is_free(&room, &line));
}

static bool attempt(foci_error *err) {
    foci_map_room room = {0};
    const bool ok = foci_map_room_take(&room, foci_map_disc((foci_point){1.385, 2}, 3), err);
    foci_map_room_free(&room);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gaps_are_those_of_geometry),
        cmocka_unit_test(what_is_taken_is_not_free),
        cmocka_unit_test(the_frame_is_not_left),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
