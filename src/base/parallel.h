/* Numbered jobs spread over threads: the only door to OpenMP's. Each job must give the same result whoever does it. */
#ifndef FOCI_BASE_PARALLEL_H
#define FOCI_BASE_PARALLEL_H

#include "fieldfoci/execution.h"

typedef bool (*foci_job)(void *context, size_t thread, size_t job, foci_error *err);

/* How many threads `jobs` jobs get, and so how many workspaces to make: at least 1. */
size_t foci_parallel_threads(const foci_execution *how, size_t jobs);

/* Does jobs 0 ... jobs - 1. The first failure ends the work; FOCI_STOPPED where how's progress says so. */
bool foci_parallel(size_t jobs, const foci_execution *how, foci_job work, void *context,
                   foci_error *err) FOCI_MUST_CHECK;

/* Places are worked in tiles of so many. */
enum { FOCI_TILE = 256 };

size_t foci_tiles(size_t places);

/* How many places tile `tile`, which begins at place tile * FOCI_TILE, holds. */
size_t foci_tile_length(size_t places, size_t tile);

#endif
