#include "estimate/space/pools.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

#define NONE ((size_t)-1)

/* Side of the squares, and how many stand side by side. */
typedef struct {
    double west, south, side;
    size_t columns, rows;
} squares;

static squares squares_over(const foci_point *places, size_t count, size_t most) {
    squares s = {.west = INFINITY, .south = INFINITY, .columns = 1, .rows = 1};
    double east = -INFINITY, north = -INFINITY;
    for (size_t i = 0; i < count; i++) {
        s.west = fmin(s.west, places[i].x);
        s.south = fmin(s.south, places[i].y);
        east = fmax(east, places[i].x);
        north = fmax(north, places[i].y);
    }
    double width = east - s.west, height = north - s.south;
    if (!(width + height > 0))
        return s;
    s.side = fmax(sqrt(width * height / (double)most), fmax(width, height) / (double)most);
    do {
        s.side *= 1.02;
        s.columns = 1 + (size_t)(width / s.side);
        s.rows = 1 + (size_t)(height / s.side);
    } while (s.columns * s.rows > most);
    return s;
}

static size_t square_of(const squares *s, foci_point place) {
    if (s->columns * s->rows == 1)
        return 0;
    return (size_t)((place.x - s->west) / s->side) + s->columns * (size_t)((place.y - s->south) / s->side);
}

bool foci_pools_make(size_t *pool, size_t *pools, const foci_point *places, size_t count, size_t most,
                     foci_error *err) {
    squares s = squares_over(places, count, most);
    size_t *number = foci_new_array(s.columns * s.rows, sizeof *number, err), found = 0;
    if (!number)
        return false;
    for (size_t i = 0; i < s.columns * s.rows; i++)
        number[i] = NONE;
    for (size_t i = 0; i < count; i++) {
        size_t square = square_of(&s, places[i]);
        if (number[square] == NONE)
            number[square] = found++;
        pool[i] = number[square];
    }
    *pools = found;
    free(number);
    return true;
}
