/* A disk of 200 kB, so that tests can fill it. */
#ifndef FOCI_TESTS_SMALL_DISK_H
#define FOCI_TESTS_SMALL_DISK_H

#include <dirent.h>
#include <sys/mount.h>
#include <unistd.h>

#include "support/support.h"

/* Mounts one with these limits on `folder`; skips the test where that is not allowed. */
static inline void small_disk_mount_with(const char *folder, const char *limits) {
    if (mount("tmpfs", folder, "tmpfs", 0, limits) != 0) {
        print_message("skipped: a small disk cannot be mounted here\n");
        skip();
    }
}

static inline void small_disk_mount(const char *folder) {
    small_disk_mount_with(folder, "size=200k");
}

static inline void small_disk_unmount(const char *folder) {
    umount2(folder, MNT_DETACH);
}

static inline int small_disk_files(const char *folder) {
    DIR *list = opendir(folder);
    int count = 0;
    for (struct dirent *entry = NULL; list && (entry = readdir(list));)
        count += entry->d_name[0] != '.' || strlen(entry->d_name) > 2;
    if (list)
        closedir(list);
    return count;
}

#endif
