/* A frame along the rows: where places fall by hand, and that turning keeps distances. */
#include "support/support.h"

#include <math.h>

#include "base/frame.h"

/* Rows toward the east: along is east, across is to the right of it, south. Worked by hand. */
static void test_rows_to_the_east(void **state) {
    (void)state;
    const foci_point places[] = {{100, 200}, {110, 204}};
    const foci_frame frame = foci_frame_make(places, 2, 90);
    double along[2] = {0}, across[2] = {0};
    foci_frame_turn(&frame, places, 2, along, across);
    assert_near(along[0], -5, 1e-12);
    assert_near(along[1], 5, 1e-12);
    assert_near(across[0], 2, 1e-12);
    assert_near(across[1], -2, 1e-12);
}

/* No rows: along is north, across is east. */
static void test_no_rows(void **state) {
    (void)state;
    const foci_frame frame = foci_frame_make(NULL, 0, NAN);
    const foci_point turned = foci_frame_place(&frame, (foci_point){3, 7});
    assert_near(turned.x, 7, 0);
    assert_near(turned.y, 3, 0);
}

/* Of coordinates as large as a projected system's, to a millionth of a millimeter. */
static void test_distances_stay(void **state) {
    (void)state;
    const foci_point places[] = {{544555.73, 4217773.87}, {544579.07, 4217775.62}, {544602.5, 4217999.25}};
    for (double heading = -180; heading <= 360; heading += 7.5) {
        const foci_frame frame = foci_frame_make(places, 3, heading);
        for (size_t i = 0; i < 3; i++) {
            const foci_point a = foci_frame_place(&frame, places[i]), b = foci_frame_place(&frame, places[(i + 1) % 3]);
            assert_near(hypot(a.x - b.x, a.y - b.y),
                        hypot(places[i].x - places[(i + 1) % 3].x, places[i].y - places[(i + 1) % 3].y), 1e-9);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rows_to_the_east),
        cmocka_unit_test(test_no_rows),
        cmocka_unit_test(test_distances_stay),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
