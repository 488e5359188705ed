/* The failing of each place that allocates, where a test makes so many allocations that failing every one of them takes
 * minutes and shows the same over and over: those made by the same calls, from the function that allocates outwards,
 * are one place, whose first and last allocation fail. Whatever only some of a loop's rounds do differently is reached
 * by other calls, or left to the tests of the functions below. */
#ifndef FOCI_TESTS_PLACES_H
#define FOCI_TESTS_PLACES_H

#include <execinfo.h>

#include "support/support.h"

enum { SUPPORT_CALLS = 24, SUPPORT_PLACES = 200000, SUPPORT_EACH_OF_THE_FIRST = 25 };

static struct {
    size_t count;
    uint64_t place[SUPPORT_PLACES]; /* of each allocation: its calls, hashed (FNV-1a) */
} support_seen;

static inline void support_see(void) {
    void *calls[SUPPORT_CALLS];
    uint64_t hash = 1469598103934665603u;
#pragma omp critical(support_seen)
    {
        const int depth = backtrace(calls, SUPPORT_CALLS);
        for (int i = 0; i < depth; i++)
            hash = (hash ^ (uint64_t)(uintptr_t)calls[i]) * 1099511628211u;
        if (support_seen.count < SUPPORT_PLACES)
            support_seen.place[support_seen.count] = hash;
        support_seen.count++;
    }
}

/* The last allocation of a place is the first one from behind. */
static inline bool support_is_first(size_t which, size_t step) {
    for (size_t i = which + step; i < support_seen.count; i += step)
        if (support_seen.place[i] == support_seen.place[which])
            return false;
    return true;
}

/* As support_fail_each_allocation, but `attempt` is made once beforehand, and must then find all as it was. */
static inline void support_fail_each_place(bool (*attempt)(foci_error *err)) {
    foci_error none = {0};
    size_t failed = 0;
    support_seen.count = 0;
    foci_memory_watch(support_see);
    const bool done = attempt(&none);
    foci_memory_watch(NULL);
    assert_done(done, none);
    assert_in_range(support_seen.count, 1, SUPPORT_PLACES);
    for (size_t n = 0; n < support_seen.count; n++) {
        if (n >= SUPPORT_EACH_OF_THE_FIRST && !support_is_first(n, (size_t)-1) && !support_is_first(n, 1))
            continue;
        foci_error err = {0};
        foci_memory_fail_after((long)n);
        const bool ok = attempt(&err);
        foci_memory_fail_after(-1);
        if (ok || err.status != FOCI_NO_MEMORY)
            print_error("allocation %zu: status %d: %s\n", n, err.status, err.text);
        assert_false(ok);
        assert_int_equal(err.status, FOCI_NO_MEMORY);
        failed++;
    }
    print_message("%zu of %zu allocations fail\n", failed, support_seen.count);
}

#endif
