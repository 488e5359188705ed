/* Zones: the field cut into what to treat, where to dig and look first, and what to leave. */
#ifndef FIELDFOCI_ZONES_H
#define FIELDFOCI_ZONES_H

#include "fieldfoci/hotspots.h"

typedef enum { FOCI_ZONE_LEAVE, FOCI_ZONE_DIG, FOCI_ZONE_TREAT, FOCI_ZONE_END } foci_zone_code;

/* "leave", "dig", "treat". */
FOCI_API const char *foci_zone_name(foci_zone_code code);

typedef struct {
    foci_zone_code code;
    size_t parts;             /* connected parts */
    double area_ha;           /* geodesic */
    double chance, severity;  /* area-weighted means; chance NaN without chances */
    foci_multipolygon lonlat; /* WGS84; together the zones cover the field without gap or overlap */
    foci_multipolygon shape;  /* metres */
} foci_zone;

typedef struct {
    foci_zone items[FOCI_ZONE_END]; /* by code; an absent one has no polygon and area 0 */
    signed char *code;              /* per cell, -1 outside the field; owned */
} foci_zones;

typedef struct {
    double dig_chance; /* below treat_chance and at least this: dig */
} foci_zones_options;

/* Treat where a hotspot is, dig where the chance is at least dig_chance (so also in patches too small to keep as
 * hotspots), else leave. Without chances (inverse distance) there is no dig zone but for such small patches. */
FOCI_API bool foci_zones_draw(foci_zones *out, const foci_hotspots *hotspots, const foci_surface *surface,
                              const foci_grid *grid, const foci_field *field, const foci_hotspots_options *hot,
                              const foci_zones_options *options, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_zones_free(foci_zones *zones);

#endif
