/* Places in fixed tiles, spread over threads: a tile is worked the same way whoever does it. */
#ifndef FOCI_ESTIMATE_TILES_H
#define FOCI_ESTIMATE_TILES_H

#include "fieldfoci/surface.h"

enum { FOCI_TILE = 256 };

/* Works places first ... first + count - 1 (count <= FOCI_TILE) in the workspace of `thread`. */
typedef bool (*foci_tile_work)(void *context, size_t thread, size_t first, size_t count, foci_error *err);

/* How many threads foci_tiles_run uses for `count` places: at least 1. */
size_t foci_tiles_threads(const foci_surface_options *options, size_t count);

/* The first failure ends the work. options->progress is called between tiles from the calling thread; where it says
 * false: FOCI_NO_FIT, "stopped". */
bool foci_tiles_run(size_t count, const foci_surface_options *options, foci_tile_work work, void *context,
                    foci_error *err) FOCI_MUST_CHECK;

#endif
