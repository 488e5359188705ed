/* Readings for the tests of the estimates: made from arrays, the seven samples of a textbook, the meuse data, and
 * random ones from a stated seed. */
#ifndef FOCI_TESTS_READINGS_H
#define FOCI_TESTS_READINGS_H

#include "fieldfoci/stops.h"
#include "support/reference_table.h"

/* Borrows the arrays. */
static inline foci_readings support_readings(foci_point *places, double *values, size_t count) {
    return (foci_readings){.count = count, .places = places, .values = values};
}

/* Isaaks & Srivastava 1989, An Introduction to Applied Geostatistics, chapter 12: seven samples around (65, 137). */
enum { SEVEN = 7 };

static const foci_point seven_target = {65, 137};

static inline foci_readings support_seven(void) {
    static foci_point places[SEVEN] = {{61, 139}, {63, 140}, {64, 129}, {68, 128}, {71, 140}, {73, 141}, {75, 128}};
    static double values[SEVEN] = {477, 696, 227, 646, 606, 791, 783};
    static double hits[SEVEN] = {47, 69, 22, 64, 60, 79, 78}, checked[SEVEN] = {100, 100, 100, 100, 100, 100, 100};
    foci_readings readings = support_readings(places, values, SEVEN);
    readings.hits = hits; /* for methods that need counts: invented */
    readings.checked = checked;
    return readings;
}

/* Zinc, or its logarithm, of the meuse samples (testdata/reference/README.md); freed by support_readings_free. */
static inline foci_readings support_meuse(bool logarithm) {
    reference_table table = reference_read("meuse.csv");
    const double *x = reference_column(&table, "x"), *y = reference_column(&table, "y");
    const double *zinc = reference_column(&table, "zinc");
    foci_readings readings = {.count = table.rows};
    readings.places = calloc(table.rows + 1, sizeof *readings.places);
    readings.values = calloc(table.rows + 1, sizeof *readings.values);
    for (size_t i = 0; i < table.rows; i++) {
        readings.places[i] = (foci_point){x[i], y[i]};
        readings.values[i] = logarithm ? log(zinc[i]) : zinc[i];
    }
    reference_free(&table);
    return readings;
}

static inline void support_readings_free(foci_readings *readings) {
    free(readings->places);
    free(readings->values);
    *readings = (foci_readings){0};
}

/* A number in [0, 1) from a seed that is moved on (Park & Miller 1988, Communications of the ACM 31:1192-1201). */
static inline double support_random(uint64_t *seed) {
    *seed = *seed * 48271 % 2147483647;
    return (double)*seed / 2147483647.0;
}

/* `count` places in a rectangle of 700 x 400 m, readings 0 to 40. */
static inline foci_readings support_random_readings(size_t count, uint64_t seed) {
    foci_readings readings = {.count = count};
    readings.places = calloc(count + 1, sizeof *readings.places);
    readings.values = calloc(count + 1, sizeof *readings.values);
    for (size_t i = 0; i < count; i++) {
        readings.places[i].x = 700 * support_random(&seed);
        readings.places[i].y = 400 * support_random(&seed);
        readings.values[i] = 40 * support_random(&seed);
    }
    return readings;
}

#endif
