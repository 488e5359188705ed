/* Small files that a test writes itself, in a folder of its own. */
#ifndef FOCI_TESTS_SCRATCH_H
#define FOCI_TESTS_SCRATCH_H

#include <dirent.h>
#include <unistd.h>

#include "support/support.h"

static char scratch_folder[64];

static inline int scratch_open(void **state) {
    (void)state;
    snprintf(scratch_folder, sizeof scratch_folder, "/tmp/fieldfoci-test-XXXXXX");
    return mkdtemp(scratch_folder) ? 0 : -1;
}

static inline int scratch_close(void **state) {
    (void)state;
    DIR *folder = opendir(scratch_folder);
    if (!folder)
        return -1;
    for (struct dirent *entry = readdir(folder); entry; entry = readdir(folder)) {
        char path[400];
        snprintf(path, sizeof path, "%s/%s", scratch_folder, entry->d_name);
        if (entry->d_name[0] != '.')
            unlink(path);
    }
    closedir(folder);
    return rmdir(scratch_folder);
}

/* Path of the written file; four paths can be in use at a time. */
static inline const char *scratch_write(const char *name, const char *text) {
    static char paths[4][400];
    static int turn;
    char *path = paths[turn++ % 4];
    snprintf(path, sizeof paths[0], "%s/%s", scratch_folder, name);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, strlen(text), file), strlen(text));
    assert_int_equal(fclose(file), 0);
    return path;
}

#endif
