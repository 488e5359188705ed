#include "base/random.h"

#include <math.h>

#define TWO_PI 6.283185307179586

static uint64_t splitmix(uint64_t *state) {
    uint64_t z = *state += 0x9e3779b97f4a7c15;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9;
    z = (z ^ (z >> 27)) * 0x94d049bb133111eb;
    return z ^ (z >> 31);
}

foci_random foci_random_stream(uint64_t seed, uint64_t number) {
    foci_random draws;
    uint64_t start = splitmix(&seed) ^ number; /* two rounds of scrambling between neighbouring streams */
    start = splitmix(&start);
    for (int i = 0; i < 4; i++)
        draws.state[i] = splitmix(&start);
    return draws;
}

static uint64_t turn(uint64_t x, int bits) {
    return (x << bits) | (x >> (64 - bits));
}

uint64_t foci_random_next(foci_random *draws) {
    uint64_t *s = draws->state;
    uint64_t drawn = turn(s[1] * 5, 7) * 9, shifted = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= shifted;
    s[3] = turn(s[3], 45);
    return drawn;
}

double foci_random_share(foci_random *draws) {
    return (double)(foci_random_next(draws) >> 11) * 0x1p-53;
}

void foci_random_normal(foci_random *draws, double *normal, size_t count) {
    for (size_t i = 0; i < count; i += 2) {
        double radius = sqrt(-2 * log(1 - foci_random_share(draws))), angle = TWO_PI * foci_random_share(draws);
        normal[i] = radius * cos(angle);
        if (i + 1 < count)
            normal[i + 1] = radius * sin(angle);
    }
}

/* Draws of the incomplete last stretch of 2^64 are thrown away. */
size_t foci_random_below(foci_random *draws, size_t count) {
    if (count == 0)
        return 0;
    uint64_t fit = UINT64_MAX - UINT64_MAX % count, drawn = 0;
    do
        drawn = foci_random_next(draws);
    while (drawn >= fit);
    return (size_t)(drawn % count);
}

void foci_random_order(foci_random *draws, size_t *order, size_t count) {
    for (size_t i = 0; i < count; i++) {
        size_t j = foci_random_below(draws, i + 1);
        order[i] = order[j];
        order[j] = i;
    }
}
