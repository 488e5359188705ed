/* Numbered jobs spread over threads. Each job must give the same result whoever does it. */
#ifndef FOCI_ESTIMATE_COUNTS_PARALLEL_H
#define FOCI_ESTIMATE_COUNTS_PARALLEL_H

#include "fieldfoci/error.h"

typedef bool (*foci_counts_job)(void *context, size_t thread, size_t job, foci_error *err);

/* How many threads to make workspaces for: at least 1; `wanted` 0 = all cores. */
size_t foci_counts_threads(int wanted, size_t jobs);

/* Told how far the work is, 0 to 1, from the calling thread; false stops it. */
typedef struct {
    bool (*progress)(void *context, double share); /* may be NULL */
    void *context;
} foci_counts_watch;

/* The first failure ends the work; FOCI_NO_FIT, "stopped", where the watch says so. `watch` may be NULL. */
bool foci_counts_parallel(size_t jobs, size_t threads, foci_counts_job job, void *context,
                          const foci_counts_watch *watch, foci_error *err) FOCI_MUST_CHECK;

#endif
