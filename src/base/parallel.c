#include "base/parallel.h"

#include <omp.h>

size_t foci_parallel_threads(const foci_execution *how, size_t jobs) {
    const size_t threads = how && how->threads > 0 ? (size_t)how->threads : (size_t)omp_get_max_threads();
    return threads < jobs ? threads : jobs > 0 ? jobs : 1;
}

bool foci_parallel(size_t jobs, const foci_execution *how, foci_job work, void *context, foci_error *err) {
    bool failed = false;
    size_t finished = 0;
#pragma omp parallel for schedule(dynamic) num_threads((int)foci_parallel_threads(how, jobs))
    for (size_t i = 0; i < jobs; i++) {
        bool over = false;
        size_t so_far = 0;
        foci_error own = {0};
#pragma omp atomic read
        over = failed;
        if (over)
            continue;
        bool ok = work(context, (size_t)omp_get_thread_num(), i, &own);
#pragma omp atomic capture
        so_far = ++finished;
        if (ok && omp_get_thread_num() == 0)
            ok = foci_execution_tell(how, (double)so_far / (double)jobs, &own);
        if (ok)
            continue;
#pragma omp critical(foci_parallel_failure)
        foci_fail_again(err, &own);
#pragma omp atomic write
        failed = true;
    }
    return !failed;
}

size_t foci_tiles(size_t places) {
    return (places + FOCI_TILE - 1) / FOCI_TILE;
}

size_t foci_tile_length(size_t places, size_t tile) {
    const size_t rest = places - tile * FOCI_TILE;
    return rest < FOCI_TILE ? rest : FOCI_TILE;
}
