/* Seeded random draws: one stream per number, so that what is drawn does not depend on who draws it. */
#ifndef FOCI_BASE_DRAWS_H
#define FOCI_BASE_DRAWS_H

#include <stddef.h>
#include <stdint.h>

/* xoshiro256** (Blackman & Vigna 2021, ACM Transactions on Mathematical Software 47:36), its state never all zero. */
typedef struct {
    uint64_t state[4];
} foci_draws;

/* The stream `number` of `seed`, filled by splitmix64 (Steele, Lea & Flood 2014, OOPSLA) from both, scrambled. */
foci_draws foci_draws_stream(uint64_t seed, uint64_t number);

uint64_t foci_draws_next(foci_draws *draws);

/* In [0, 1), 53 bits. */
double foci_draws_share(foci_draws *draws);

/* Standard normal numbers, two a time (Box & Muller 1958, Annals of Mathematical Statistics 29:610); of an odd count
 * the last partner is thrown away. */
void foci_draws_normal(foci_draws *draws, double *normal, size_t count);

/* 0 ... count - 1, each with the same chance; 0 for count 0. */
size_t foci_draws_below(foci_draws *draws, size_t count);

/* A random order of 0 ... count - 1 (Fisher & Yates 1938; Durstenfeld 1964). */
void foci_draws_order(foci_draws *draws, size_t *order, size_t count);

#endif
