/* Seeded random draws: one stream per number, so that what is drawn does not depend on who draws it. */
#ifndef FOCI_BASE_RANDOM_H
#define FOCI_BASE_RANDOM_H

#include <stddef.h>
#include <stdint.h>

/* xoshiro256** (Blackman & Vigna 2021, ACM Transactions on Mathematical Software 47:36), its state never all zero. */
typedef struct {
    uint64_t state[4];
} foci_random;

/* The stream `number` of `seed`, filled by splitmix64 (Steele, Lea & Flood 2014, OOPSLA) from both, scrambled. */
foci_random foci_random_stream(uint64_t seed, uint64_t number);

uint64_t foci_random_next(foci_random *draws);

/* In [0, 1), 53 bits. */
double foci_random_share(foci_random *draws);

/* Standard normal numbers, two a time (Box & Muller 1958, Annals of Mathematical Statistics 29:610); of an odd count
 * the last partner is thrown away. */
void foci_random_normal(foci_random *draws, double *normal, size_t count);

/* 0 ... count - 1, each with the same chance; 0 for count 0. */
size_t foci_random_below(foci_random *draws, size_t count);

/* A random order of 0 ... count - 1 (Fisher & Yates 1938; Durstenfeld 1964). */
void foci_random_order(foci_random *draws, size_t *order, size_t count);

#endif
