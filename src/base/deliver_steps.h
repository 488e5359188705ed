/* The steps of which deliveries are made. */
#ifndef FOCI_BASE_DELIVER_STEPS_H
#define FOCI_BASE_DELIVER_STEPS_H

#include <sys/types.h>

#include "fieldfoci/error.h"

/* FOCI_NO_FILE with what errno says and a remedy. */
bool foci_deliver_fail(const char *final, const char *what, foci_error *err);

/* `path` without slashes at its end; owned by the caller. */
char *foci_deliver_tidy(const char *path, foci_error *err) FOCI_MUST_CHECK;

/* The last part of a tidy path. */
const char *foci_deliver_name(const char *path);

/* What stands at `final` may be replaced; `kind` is S_IFREG or S_IFDIR, 0 for either. Nothing there is fine. */
bool foci_deliver_may_replace(const char *final, bool overwrite, mode_t kind, foci_error *err) FOCI_MUST_CHECK;

/* Not 0 with errno where the file or folder cannot be flushed to the disk. */
int foci_deliver_flush(const char *path);

/* After a rename the name itself must reach the disk. A failure cannot be mended any more and is not reported. */
void foci_deliver_flush_name(const char *final);

/* Whether errno's `reason` is that the file system knows no such call. */
bool foci_deliver_not_known(int reason);

/* Renames, but never over something else. Each name is in its open folder, as in renameat. */
int foci_deliver_rename(int from_folder, const char *from, int to_folder, const char *to);

#endif
