#include "base/room.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>

/* The number behind `key` at the start of a line of the file; NaN where there is none. */
static double number_in(const char *path, const char *key) {
    char line[256];
    double number = NAN;
    FILE *file = fopen(path, "r");
    while (file && isnan(number) && fgets(line, sizeof line, file))
        if (strncmp(line, key, strlen(key)) != 0 || sscanf(line + strlen(key), "%lf", &number) != 1)
            number = NAN;
    if (file)
        fclose(file);
    return number;
}

static double machine_room(void) {
    return 1024 * number_in("/proc/meminfo", "MemAvailable:");
}

static double container_room(void) {
    return number_in("/sys/fs/cgroup/memory.max", "") - number_in("/sys/fs/cgroup/memory.stat", "anon ");
}

static double shell_room(void) {
    struct rlimit limit;
    if (getrlimit(RLIMIT_AS, &limit) != 0 || limit.rlim_cur == RLIM_INFINITY)
        return INFINITY;
    return (double)limit.rlim_cur - 1024 * number_in("/proc/self/status", "VmSize:");
}

double foci_memory_room(void) {
    double room = fmin(machine_room(), fmin(container_room(), shell_room())); /* fmin passes over NaN */
    return isnan(room) ? INFINITY : fmax(room, 0);
}
