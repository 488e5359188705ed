#include "fieldfoci/geometry.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

/* Monotone chain (Andrew 1979, Information Processing Letters 9:216-219). */

static int by_x_then_y(const void *left, const void *right) {
    const foci_point *a = left, *b = right;
    if (a->x != b->x)
        return a->x < b->x ? -1 : 1;
    return a->y < b->y ? -1 : a->y > b->y;
}

/* Positive where o, a, b turn to the left. */
static double turn(foci_point o, foci_point a, foci_point b) {
    return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

/* Adds a place to a chain whose first point is at `from`; what no longer is a corner goes. Gives the new length. */
static size_t add_corner(foci_point *chain, size_t length, size_t from, foci_point place) {
    while (length >= from + 2 && turn(chain[length - 2], chain[length - 1], place) <= 0)
        length--;
    chain[length] = place;
    return length + 1;
}

/* `hull` has room for count + 1 points; the last repeats the first. */
static size_t hull_of(foci_point *hull, const foci_point *sorted, size_t count) {
    size_t length = 0;
    for (size_t i = 0; i < count; i++)
        length = add_corner(hull, length, 0, sorted[i]);
    size_t from = length - 1;
    for (size_t i = count - 1; i-- > 0;)
        length = add_corner(hull, length, from, sorted[i]);
    return length;
}

static double area_of(const foci_point *hull, size_t length) {
    double twice = 0;
    for (size_t i = 1; i + 1 < length; i++)
        twice += turn(hull[0], hull[i], hull[i + 1]);
    return twice / 2;
}

bool foci_convex_hull_area(double *area, const foci_point *places, size_t count, foci_error *err) {
    if (count < 3) {
        *area = 0;
        return true;
    }
    foci_point *sorted = NULL, *hull = NULL;
    bool ok = false;
    sorted = foci_new_array(count, sizeof *sorted, err);
    if (!sorted)
        goto done;
    hull = foci_new_array(2 * count, sizeof *hull, err);
    if (!hull)
        goto done;
    memcpy(sorted, places, count * sizeof *sorted);
    qsort(sorted, count, sizeof *sorted, by_x_then_y);
    double found = area_of(hull, hull_of(hull, sorted, count));
    double width = sorted[count - 1].x - sorted[0].x, size = fabs(sorted[0].x) + fabs(sorted[0].y) + width;
    /* What the rounding of coordinates makes of points on one slanted line. */
    double rounding = 4 * 2.3e-16 * size * hypot(width, sorted[count - 1].y - sorted[0].y);
    *area = found > rounding ? found : 0;
    ok = true;
done:
    free(sorted);
    free(hull);
    return ok;
}
