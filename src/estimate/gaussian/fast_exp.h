/* exp and the normal distribution function without branches, comparisons or calls, so that the compiler makes vector
 * code of a loop over them. */
#ifndef FOCI_ESTIMATE_FAST_EXP_H
#define FOCI_ESTIMATE_FAST_EXP_H

#include <math.h>
#include <stdint.h>
#include <string.h>

/* Before a function with such loops: built for the wider vectors of newer processors too, and chosen when the program
 * starts. Every operation is the same, so only sums in another order differ, in the last digit. */
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)
#define FOCI_WIDE_VECTORS __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define FOCI_WIDE_VECTORS
#endif

/* exp(x), relative error below 1e-15 for -707 <= x <= 708; 0 below -709 and 9e307 (finite) above 709, infinities
 * included. NaN comes back as some number: reject it first. Method: x = k ln 2 + r, |r| <= ln 2 / 2, Taylor series of
 * exp(r) to r^13 (rest below 4e-18), then k is added to the exponent's bits. */
static inline double foci_fast_exp(double x) {
    const double shift = 6755399441055744.0; /* 1.5 x 2^52: adding it rounds to a whole number, left in the low bits */
    const uint64_t shift_bits = 0x4338000000000000u, largest = 0x7FE0000000000000u;
    double shifted = x * 1.4426950408889634 + shift, k = shifted - shift;
    double r = (x - k * 6.93147180369123816490e-01) - k * 1.90821492927058770002e-10; /* ln 2 in two parts */
    double p = 1.0 / 6227020800.0;
    p = p * r + 1.0 / 479001600.0;
    p = p * r + 1.0 / 39916800.0;
    p = p * r + 1.0 / 3628800.0;
    p = p * r + 1.0 / 362880.0;
    p = p * r + 1.0 / 40320.0;
    p = p * r + 1.0 / 5040.0;
    p = p * r + 1.0 / 720.0;
    p = p * r + 1.0 / 120.0;
    p = p * r + 1.0 / 24.0;
    p = p * r + 1.0 / 6.0;
    p = p * r + 0.5;
    p = 1.0 + (r + r * r * p);
    uint64_t bits = 0, power = 0;
    memcpy(&power, &shifted, sizeof power);
    memcpy(&bits, &p, sizeof bits);
    power -= shift_bits;                          /* k, in two's complement */
    uint64_t keep = ((power + 1021u) >> 63) - 1u; /* all ones unless k < -1021 */
    uint64_t over = 0u - ((1022u - power) >> 63); /* all ones where k > 1022 ... */
    over &= keep;                                 /* ... and not far below */
    bits = (((bits + (power << 52)) & ~over) | (largest & over)) & keep;
    memcpy(&p, &bits, sizeof p);
    return p;
}

/* 1 / (1 + exp(-x)). */
static inline double foci_fast_expit(double x) {
    return 1.0 / (1.0 + foci_fast_exp(-x));
}

/* Standard normal distribution function for |z| < 1e40, absolute error below 1e-14; `bell` is exp(-z^2 / 2). Hart et
 * al. 1968 (Computer Approximations, no. 5666), as printed in West 2005 (Wilmott Magazine, May). */
static inline double foci_fast_normal_cdf(double z, double bell) {
    double a = fabs(z);
    double above = 3.52624965998911e-02;
    above = above * a + 0.700383064443688;
    above = above * a + 6.37396220353165;
    above = above * a + 33.912866078383;
    above = above * a + 112.079291497871;
    above = above * a + 221.213596169931;
    above = above * a + 220.206867912376;
    double below = 8.83883476483184e-02;
    below = below * a + 1.75566716318264;
    below = below * a + 16.064177579207;
    below = below * a + 86.7807322029461;
    below = below * a + 296.564248779674;
    below = below * a + 637.333633378831;
    below = below * a + 793.826512519948;
    below = below * a + 440.413735824752;
    return 0.5 + copysign(0.5 - bell * (above / below), z);
}

#endif
