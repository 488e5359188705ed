/* Names of files, seen from a folder other than the one the program runs in. */
#ifndef FOCI_BASE_PATH_H
#define FOCI_BASE_PATH_H

#include "fieldfoci/error.h"

/* What a file that lies in `folder` must call `path` by to mean the same file: "../fields/north.geojson". As it is
 * where it is absolute or nothing is there. `folder` need not be there yet, but the one it lies in. Owned by the
 * caller. */
char *foci_path_from(const char *folder, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* The way back: what the program must open where a file in `folder` says `path`. As it is where it is absolute. Owned
 * by the caller. */
char *foci_path_beside(const char *folder, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* The folder that a file lies in, "." where its name has none. Owned by the caller. */
char *foci_path_folder(const char *file, foci_error *err) FOCI_MUST_CHECK;

/* The last part of a path, as people know a file: "stops.csv", "2026/". Points into it. */
const char *foci_path_name(const char *path);

/* As much of the end of one of `count` paths as no other one of them ends with, part by part: what can be shown without
 * telling where on the machine it lies. Points into it; the whole path where another is the same. */
const char *foci_path_name_alone(char *const *paths, size_t count, size_t which);

#endif
