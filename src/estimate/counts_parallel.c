#include "estimate/counts_parallel.h"

#include <omp.h>

size_t foci_counts_threads(int wanted, size_t jobs) {
    size_t threads = wanted > 0 ? (size_t)wanted : (size_t)omp_get_max_threads();
    if (threads > jobs)
        threads = jobs;
    return threads > 0 ? threads : 1;
}

bool foci_counts_parallel(size_t jobs, size_t threads, foci_counts_job job, void *context,
                          const foci_counts_watch *watch, foci_error *err) {
    bool failed = false;
    size_t finished = 0;
#pragma omp parallel for schedule(dynamic) num_threads((int)threads)
    for (size_t i = 0; i < jobs; i++) {
        bool over = false;
        size_t so_far = 0;
        foci_error own = {0};
#pragma omp atomic read
        over = failed;
        if (over)
            continue;
        bool ok = job(context, (size_t)omp_get_thread_num(), i, &own);
#pragma omp atomic capture
        so_far = ++finished;
        if (ok && watch && watch->progress && omp_get_thread_num() == 0 &&
            !watch->progress(watch->context, (double)so_far / (double)jobs))
            ok = foci_fail(&own, FOCI_NO_FIT, NULL, 0, "stopped");
        if (ok)
            continue;
#pragma omp critical(foci_counts_failure)
        foci_fail(err, own.status, own.source, own.row, "%s", own.text);
#pragma omp atomic write
        failed = true;
    }
    return !failed;
}
