/* What every test needs: cmocka, nearness with a stated tolerance, and the failing of each allocation in turn. */
#ifndef FOCI_TESTS_SUPPORT_H
#define FOCI_TESTS_SUPPORT_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "fieldfoci/correlation.h"
#include "fieldfoci/execution.h"

/* |actual - expected| <= tolerance; NaN equals only NaN. */
#define assert_near(actual, expected, tolerance) support_near(actual, expected, tolerance, __FILE__, __LINE__)

static inline void support_near(double actual, double expected, double tolerance, const char *file, int line) {
    if ((isnan(actual) && isnan(expected)) || fabs(actual - expected) <= tolerance)
        return;
    print_error("%s:%d: %.15g is not %.15g within %.3g\n", file, line, actual, expected, tolerance);
    _fail(file, line);
}

/* An execution on so many threads, silent. */
#define ON_THREADS(count) (&(const foci_execution){.threads = (count)})

/* How tests run long calls: silent, on so many threads. */
__attribute__((unused)) static int support_threads = 1;
#define HOW (&(const foci_execution){.threads = support_threads})

/* A row of the catalogue of correlations with its own smoothness. */
static inline foci_correlation_family support_family(const char *name) {
    foci_correlation_family families[FOCI_CORRELATION_FAMILIES];
    foci_correlation_families(families, foci_correlation_find(name), 0, 0);
    return families[0];
}

/* The call succeeded; its message is shown where it did not. */
#define assert_done(call, err)                                                                                         \
    do {                                                                                                               \
        if (!(call)) {                                                                                                 \
            print_error("%s: %s:%ld: %s\n", #call, (err).source, (err).row, (err).text);                               \
            _fail(__FILE__, __LINE__);                                                                                 \
        }                                                                                                              \
    } while (0)

/* The call failed with this status, and its message holds `words`. */
#define assert_fails(call, err, wanted, words)                                                                         \
    do {                                                                                                               \
        (err) = (foci_error){0};                                                                                       \
        assert_false(call);                                                                                            \
        assert_int_equal((err).status, wanted);                                                                        \
        if (!strstr((err).text, words)) {                                                                              \
            print_error("'%s' does not say '%s'\n", (err).text, words);                                                \
            _fail(__FILE__, __LINE__);                                                                                 \
        }                                                                                                              \
    } while (0)

/* Fails the 1st, 2nd, ... allocation of `attempt` until it succeeds: each failure must be FOCI_NO_MEMORY, and leak
 * nothing (the sanitize preset sees to that). `attempt` frees what it made. */
static inline void support_fail_each_allocation(bool (*attempt)(foci_error *err)) {
    for (long n = 0; n < 100000; n++) {
        foci_error err = {0};
        foci_memory_fail_after(n);
        bool ok = attempt(&err);
        foci_memory_fail_after(-1);
        if (ok)
            return;
        if (err.status != FOCI_NO_MEMORY)
            print_error("allocation %ld: status %d: %s\n", n, err.status, err.text);
        assert_int_equal(err.status, FOCI_NO_MEMORY);
    }
    fail_msg("never succeeded");
}

/* A path below testdata/. */
static inline const char *support_testdata(const char *name) {
    static char path[1024];
    const char *folder = getenv("FOCI_TESTDATA");
    snprintf(path, sizeof path, "%s/%s", folder ? folder : "testdata", name);
    return path;
}

#endif
