/* How colours look to each kind of sight, and how light they are on a grey copy. */
#ifndef FOCI_TESTS_COLOUR_SIGHT_H
#define FOCI_TESTS_COLOUR_SIGHT_H

#include <math.h>
#include <stddef.h>
#include <stdint.h>

typedef struct {
    double l, a, b;
} lab;

static inline double linear(unsigned channel) {
    const double share = channel / 255.0;
    return share <= 0.04045 ? share / 12.92 : pow((share + 0.055) / 1.055, 2.4);
}

static inline double lab_root(double t) {
    return t > 216.0 / 24389 ? cbrt(t) : (24389.0 / 27 * t + 16) / 116;
}

/* CIE 1976 L*a*b* of linear sRGB (IEC 61966-2-1), white D65. */
static inline lab lab_of(const double rgb[3]) {
    const double x = 0.4124564 * rgb[0] + 0.3575761 * rgb[1] + 0.1804375 * rgb[2];
    const double y = 0.2126729 * rgb[0] + 0.7151522 * rgb[1] + 0.0721750 * rgb[2];
    const double z = 0.0193339 * rgb[0] + 0.1191920 * rgb[1] + 0.9503041 * rgb[2];
    const double fx = lab_root(x / 0.95047), fy = lab_root(y), fz = lab_root(z / 1.08883);
    return (lab){116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)};
}

/* Machado, Oliveira and Fernandes 2009 (IEEE Trans. Vis. Comput. Graph. 15:1291), severity 1.0, on linear RGB; from
 * memory. The first row of the table is sight as most have it. */
static const struct {
    const char *name;
    double matrix[3][3];
} sights[] = {
    {"usual", {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
    {"protanopia", {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}},
    {"deuteranopia",
     {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}},
    {"tritanopia", {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}},
};

static inline lab seen(uint32_t colour, size_t sight) {
    const double rgb[3] = {linear(colour >> 16 & 0xFF), linear(colour >> 8 & 0xFF), linear(colour & 0xFF)};
    double changed[3] = {0};
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++)
            changed[i] += sights[sight].matrix[i][j] * rgb[j];
        changed[i] = fmin(1, fmax(0, changed[i]));
    }
    return lab_of(changed);
}

#endif
