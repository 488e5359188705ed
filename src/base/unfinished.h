/* What is being written, beside its final place: its names, and getting rid of what never came to its end. */
#ifndef FOCI_BASE_UNFINISHED_H
#define FOCI_BASE_UNFINISHED_H

#include "fieldfoci/error.h"

/* "FOLDER/.NAME.fieldfoci-XXXXXX-HOST-PROCESS" and `ending`: a path that is not there yet; owned by the caller. Until
 * it is forgotten or removed, foci_abandon_unfinished removes it. */
char *foci_unfinished_name(const char *folder, const char *name, const char *ending, foci_error *err) FOCI_MUST_CHECK;

/* It is in its place, or holds what is not ours to lose. */
void foci_unfinished_forget(const char *path);

/* Removes a file, or a folder and all that is in it, and forgets it; nothing is said where it is not there. */
void foci_unfinished_remove(const char *path);

/* Calls `found` with each path that a process of this machine which is no more left for `name` in `folder`. */
void foci_unfinished_left(const char *folder, const char *name, void (*found)(void *context, const char *path),
                          void *context);

#endif
