/* The picture of `variogram --out`, for pages. */
#ifndef FOCI_SHOW_VARIOGRAM_PICTURE_H
#define FOCI_SHOW_VARIOGRAM_PICTURE_H

#include "fieldfoci/variogram.h"

/* A PNG in memory. */
typedef struct {
    unsigned char *png; /* owned by the caller */
    size_t size;
} foci_picture;

/* As foci_variogram_picture_write. */
bool foci_variogram_picture_bytes(foci_picture *out, const foci_semivariances *semivariances,
                                  const foci_variogram *model, const char *unit, const char *made,
                                  foci_error *err) FOCI_MUST_CHECK;

#endif
