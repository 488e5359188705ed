/* A photo of the field from above, as ground under a map: an aerial picture, or a drone's mosaic. */
#ifndef FIELDFOCI_PHOTO_H
#define FIELDFOCI_PHOTO_H

#include <stdint.h>

#include "fieldfoci/geometry.h"

/* Dots are square and north up in the work system. {0}: no photo. */
typedef struct {
    size_t columns, rows;
    double west, north, dot; /* outer corner of the first dot and side of a dot, meters */
    uint32_t *dots;          /* rows x columns from the north-west, 0xRRGGBB, above that 255 where the photo shows the
                                ground and less where it does not; owned */
    double lightness;        /* mean gray of what it shows, 0 to 255 */
    double share;            /* of the ground that it was asked for, 0 to 1: how much of it is shown */
    char *credit;            /* whose photo it is, "" where nobody says; owned */
} foci_photo;

typedef struct {
    const char *crs;    /* for a photo that carries no system, or NULL */
    const char *credit; /* in the place of what the file says, or NULL */
} foci_photo_options;

/* What the file says holds. */
FOCI_API foci_photo_options foci_photo_options_make(void);

/* Reads what the photo shows of `ground` (meters of the projected system `work_crs`) and a strip round it, brought into
 * that system, as finely as a page can show it. GeoTIFF, JPEG 2000, GeoPackage, or PNG or JPEG with a world file; a
 * deeper color is stretched to 8 bits, bands beyond three are left aside. The credit is the file's own (copyright,
 * else artist). Errors: FOCI_NO_FILE (missing, no such raster, larger than 2 GB); FOCI_BAD_INPUT (no place on the
 * ground, no system and none given, it does not show the ground); FOCI_BAD_SETTING (unknown system). */
FOCI_API bool foci_photo_read(foci_photo *out, const char *file, const foci_multipolygon *ground, const char *work_crs,
                              const foci_photo_options *options, foci_error *err) FOCI_MUST_CHECK;

/* Gray of a color as on a copy, 0 to 255 (ITU-R BT.601). */
FOCI_API double foci_photo_gray(uint32_t color);

/* The dot at a place: 0xRRGGBB; false where the photo does not show it, or there is none. */
FOCI_API bool foci_photo_at(uint32_t *color, const foci_photo *photo, foci_point place);

FOCI_API void foci_photo_free(foci_photo *photo);

#endif
