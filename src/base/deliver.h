/* Outputs appear whole or not at all: written beside their final place, checked, made durable, renamed. */
#ifndef FOCI_BASE_DELIVER_H
#define FOCI_BASE_DELIVER_H

#include "fieldfoci/error.h"

/* A name beside `final` for writing: "DIR/.NAME.fieldfoci-XXXXXX-HOST-PROCESS" with the same ending as `final`, so that
 * drivers know the format (unfinished.h). What dead processes left for `final` is removed: files now, folders when the
 * next one is delivered. Owned by the caller. The folder must exist (FOCI_NO_FILE says so). */
char *foci_deliver_beside(const char *final, foci_error *err) FOCI_MUST_CHECK;

/* Refuses early: FOCI_NO_FILE where `final` exists and `overwrite` is not set (names --overwrite as the remedy), where
 * it is a link or a device, which are never replaced, or where its folder is missing. */
bool foci_deliver_may_write(const char *final, bool overwrite, foci_error *err) FOCI_MUST_CHECK;

/* fsync, then rename `temporary` to `final` (without overwrite: never over a file that appeared meanwhile). On failure
 * `temporary` is removed. */
bool foci_deliver_file(const char *temporary, const char *final, bool overwrite, foci_error *err) FOCI_MUST_CHECK;

/* Writes `size` bytes to `final` through a temporary name. Every write, the flush and the close are checked. */
bool foci_deliver_bytes(const char *final, const void *bytes, size_t size, bool overwrite,
                        foci_error *err) FOCI_MUST_CHECK;

/* The whole of it for one file: `write` puts `content` into the path that it is given, a name beside `final`. */
bool foci_deliver_written(const char *final, bool overwrite,
                          bool (*write)(const void *content, const char *path, foci_error *err), const void *content,
                          foci_error *err) FOCI_MUST_CHECK;

/* Copies the open file `from`, from its beginning, to `temporary`, which must not exist, with the mode and, where that
 * is allowed, the owner of the original. `final` is what messages speak of. */
bool foci_deliver_copy(int from, const char *temporary, const char *final, foci_error *err) FOCI_MUST_CHECK;

/* As foci_deliver_file for a whole folder. With overwrite, `final` must be ours (it holds a file named `mark` that
 * `is_ours` accepts); both folders are exchanged in one step, entries of the old one that are not in `ours` (NULL-ended
 * list of names, a folder's with a slash at its end) are carried over, and the old ones of ours are removed last. Where
 * one of our names is borne by something of another kind, as a folder named map.pdf, nothing is replaced. What dead
 * processes left for `final` is then finished: what was to be carried over is, the rest goes. */
bool foci_deliver_folder(const char *temporary, const char *final, bool overwrite, const char *mark,
                         bool (*is_ours)(const char *mark_path), const char *const *ours,
                         foci_error *err) FOCI_MUST_CHECK;

/* Passes `inner` on to `err`, with `temporary` at the start of its source replaced by `final`: messages speak of what
 * the user named, not of the temporary name beside it. Always false. */
bool foci_deliver_pass_on(foci_error *err, const foci_error *inner, const char *temporary, const char *final);

#endif
