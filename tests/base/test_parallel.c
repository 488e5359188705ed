/* Jobs on threads, and the progress of parts within a whole. */
#include "support/support.h"

#include "base/parallel.h"

typedef struct {
    int done[500];
    size_t threads, fails_at;
} counter;

static bool count_job(void *context, size_t thread, size_t job, foci_error *err) {
    counter *c = context;
    if (job == c->fails_at)
        return foci_fail(err, FOCI_NO_FIT, "job", (long)job, "gave up");
    c->done[job]++;
    return thread < c->threads;
}

static void test_each_job_once(void **state) {
    (void)state;
    for (int threads = 0; threads <= 5; threads++) {
        foci_error err = {0};
        const foci_execution how = {.threads = threads};
        counter c = {.threads = foci_parallel_threads(&how, 500), .fails_at = 500};
        assert_done(foci_parallel(500, &how, count_job, &c, &err), err);
        for (size_t i = 0; i < 500; i++)
            assert_int_equal(c.done[i], 1);
    }
    assert_int_equal(foci_parallel_threads(&(foci_execution){.threads = 9}, 4), 4);
    assert_int_equal(foci_parallel_threads(&(foci_execution){.threads = 9}, 0), 1);
    assert_true(foci_parallel_threads(NULL, 1000) >= 1);
}

static void test_a_failure_ends_it(void **state) {
    (void)state;
    for (int threads = 1; threads <= 3; threads++) {
        foci_error err = {0};
        counter c = {.threads = 3, .fails_at = 7};
        assert_false(foci_parallel(500, &(foci_execution){.threads = threads}, count_job, &c, &err));
        assert_int_equal(err.status, FOCI_NO_FIT);
        assert_int_equal(err.row, 7);
        assert_string_equal(err.text, "gave up");
        assert_int_equal(c.done[7], 0);
    }
}

typedef struct {
    double heard[16];
    size_t count, most;
} listener;

static bool hear(void *context, double done) {
    listener *l = context;
    l->heard[l->count++] = done;
    return l->count < l->most;
}

static void test_parts_of_parts(void **state) {
    (void)state;
    foci_error err = {0};
    listener l = {.most = 16};
    const foci_execution whole = {.threads = 2, .progress = {.tell = hear, .context = &l}};
    const foci_execution half = foci_execution_part(&whole, 0.5, 1), third = foci_execution_part(&half, 0, 0.4);
    assert_int_equal(third.threads, 2);
    assert_done(foci_execution_tell(&whole, 0.25, &err), err);
    assert_done(foci_execution_tell(&half, 0, &err), err);
    assert_done(foci_execution_tell(&third, 0.5, &err), err);
    assert_done(foci_execution_tell(&third, 7, &err), err); /* held */
    const double expected[] = {0.25, 0.5, 0.6, 0.7};
    for (size_t i = 0; i < 4; i++)
        assert_near(l.heard[i], expected[i], 1e-15);
    const foci_execution silent = foci_execution_part(NULL, 0.2, 0.3);
    assert_done(foci_execution_tell(&silent, 0.5, &err), err);
    assert_done(foci_execution_tell(NULL, 0.5, &err), err);
}

static void test_stop(void **state) {
    (void)state;
    foci_error err = {0};
    listener l = {.most = 3};
    counter c = {.threads = 1, .fails_at = 500};
    const foci_execution how = {.threads = 1, .progress = {.tell = hear, .context = &l}};
    assert_fails(foci_parallel(500, &how, count_job, &c, &err), err, FOCI_STOPPED, "stopped");
    assert_int_equal(l.count, 3);
    assert_int_equal(c.done[2], 1);
    assert_int_equal(c.done[3], 0);
    assert_near(l.heard[2], 3.0 / 500, 1e-15);
}

static void test_tiles(void **state) {
    (void)state;
    for (size_t places = 0; places < 1000; places += 37) {
        size_t sum = 0;
        for (size_t tile = 0; tile < foci_tiles(places); tile++) {
            const size_t length = foci_tile_length(places, tile);
            assert_true(length > 0 && length <= FOCI_TILE);
            sum += length;
        }
        assert_int_equal(sum, places);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_job_once),  cmocka_unit_test(test_a_failure_ends_it),
        cmocka_unit_test(test_parts_of_parts), cmocka_unit_test(test_stop),
        cmocka_unit_test(test_tiles),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
