/* Archives of what the program wrote: the only door to the library's zip writer. */
#ifndef FOCI_DATA_ZIP_FILE_H
#define FOCI_DATA_ZIP_FILE_H

#include "fieldfoci/error.h"

/* Writes all ordinary files in `folder`, and in its folders, as the zip archive `path`, which must not be there yet, by
 * their names in it, in the order of these. The same files give the same bytes. Read again and compared before it
 * returns; on failure the file is removed. */
bool foci_zip_write(const char *folder, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* Whether the archive holds a file of that name that begins with `text`. */
bool foci_zip_holds(const char *path, const char *name, const char *text);

#endif
