/* Photos: rasters of three colors, brought into another system and made as coarse as they are needed. */
#ifndef FOCI_DATA_PHOTO_FILE_H
#define FOCI_DATA_PHOTO_FILE_H

#include "fieldfoci/photo.h"

/* `box` in meters of `work_crs` is what is asked for. See foci_photo_read for files and errors. */
bool foci_photo_file_read(foci_photo *out, const char *file, foci_box box, const char *work_crs, const char *own_crs,
                          foci_error *err) FOCI_MUST_CHECK;

/* A picture as a JPEG file in memory: `rgb` holds three bytes a dot from the top left. The bytes are the caller's. */
bool foci_photo_jpeg(unsigned char **out, size_t *size, const unsigned char *rgb, size_t columns, size_t rows,
                     foci_error *err) FOCI_MUST_CHECK;

#endif
