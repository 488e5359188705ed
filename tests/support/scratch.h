/* Small files that a test writes itself, in a folder of its own. */
#ifndef FOCI_TESTS_SCRATCH_H
#define FOCI_TESTS_SCRATCH_H

#include <unistd.h>

#include "base/unfinished.h"
#include "support/support.h"

static char scratch_folder[64];

static inline int scratch_open(void **state) {
    (void)state;
    snprintf(scratch_folder, sizeof scratch_folder, "/tmp/fieldfoci-test-XXXXXX");
    return mkdtemp(scratch_folder) ? 0 : -1;
}

static inline int scratch_close(void **state) {
    (void)state;
    foci_unfinished_remove(scratch_folder);
    return access(scratch_folder, F_OK) == 0;
}

/* A path in the folder; four can be in use at a time. */
static inline const char *scratch_path(const char *name) {
    static char paths[4][400];
    static int turn;
    char *path = paths[turn++ % 4];
    snprintf(path, sizeof paths[0], "%s/%s", scratch_folder, name);
    return path;
}

/* Path of the written file. */
static inline const char *scratch_write(const char *name, const char *text) {
    const char *path = scratch_path(name);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, strlen(text), file), strlen(text));
    assert_int_equal(fclose(file), 0);
    return path;
}

#endif
