#include "estimate/tiles.h"

#include <omp.h>

size_t foci_tiles_threads(const foci_surface_options *options, size_t count) {
    size_t tiles = (count + FOCI_TILE - 1) / FOCI_TILE;
    size_t threads = options->threads > 0 ? (size_t)options->threads : (size_t)omp_get_max_threads();
    if (threads > tiles)
        threads = tiles;
    return threads > 0 ? threads : 1;
}

bool foci_tiles_run(size_t count, const foci_surface_options *options, foci_tile_work work, void *context,
                    foci_error *err) {
    long tiles = (long)((count + FOCI_TILE - 1) / FOCI_TILE), done = 0;
    bool failed = false;
#pragma omp parallel for schedule(dynamic) num_threads((int)foci_tiles_threads(options, count))
    for (long tile = 0; tile < tiles; tile++) {
        bool over = false;
#pragma omp atomic read
        over = failed;
        if (over)
            continue;
        foci_error own = {0};
        size_t first = (size_t)tile * FOCI_TILE;
        size_t rest = count - first;
        bool ok = work(context, (size_t)omp_get_thread_num(), first, rest < FOCI_TILE ? rest : FOCI_TILE, &own);
        long so_far = 0;
#pragma omp atomic capture
        so_far = ++done;
        if (ok && omp_get_thread_num() == 0 && options->progress &&
            !options->progress(options->context, (double)so_far / (double)tiles))
            ok = foci_fail(&own, FOCI_NO_FIT, NULL, 0, "stopped");
        if (!ok) {
#pragma omp critical(foci_tiles_failure)
            foci_fail(err, own.status, own.source, own.row, "%s", own.text);
#pragma omp atomic write
            failed = true;
        }
    }
    return !failed;
}
