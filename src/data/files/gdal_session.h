/* What the vector and raster doors share: drivers registered once, and messages caught instead of printed. */
#ifndef FOCI_DATA_GDAL_SESSION_H
#define FOCI_DATA_GDAL_SESSION_H

#include "fieldfoci/error.h"

typedef struct {
    size_t failures, warnings;
    char text[400]; /* the first failure, or the first warning while there is none; one line */
} foci_gdal_talk;

/* From begin to end the library's messages on this thread go to `talk` (added to what is in it), and it fetches nothing
 * from the network. Every begin has its end. */
void foci_gdal_begin(foci_gdal_talk *talk);
void foci_gdal_end(void);

/* From begin to end what is written on this thread is dated SOURCE_DATE_EPOCH, where that is set. */
void foci_gdal_date_begin(void);
void foci_gdal_date_end(void);

/* Writes the library's in-memory file `name` to the descriptor `file`, flushes it to the disk and closes it, each step
 * looked at. FOCI_NO_FILE (source `path`) where one fails. */
bool foci_gdal_save(const char *name, int file, const char *path, foci_error *err) FOCI_MUST_CHECK;

#endif
