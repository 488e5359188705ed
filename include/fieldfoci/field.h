/* The field's boundary, and the projected system in which the work is done. */
#ifndef FIELDFOCI_FIELD_H
#define FIELDFOCI_FIELD_H

#include "fieldfoci/checks.h"
#include "fieldfoci/stops.h"

typedef struct {
    char *name;               /* "" if the file has none; owned */
    foci_input input;         /* the boundary's file */
    foci_multipolygon lonlat; /* WGS84, degrees; valid, holes kept */
    foci_multipolygon shape;  /* meters, work system; set by foci_field_project */
    double area_ha;           /* geodesic */
    foci_point centre;        /* longitude, latitude */
    char work_crs[256];       /* "EPSG:32617", or what --work-crs said */
} foci_field;

typedef struct {
    const char *crs;    /* for a boundary that carries no system, or NULL */
    const char *name;   /* which feature, or NULL: the only one */
    const char *column; /* its column; NULL: "name" */
    const char *layer;  /* of a file that holds several, or NULL: the only one of polygons */
} foci_field_options;

/* Nothing named, everything open. */
FOCI_API foci_field_options foci_field_options_make(void);

/* Reads the boundary (polygon or multipolygon), repairs it where it crosses itself (with a finding) and finds its
 * geodesic area. Errors: FOCI_NO_FILE; FOCI_BAD_INPUT (a line, no polygon, several fields and no name - they are
 * listed -, no reference system, outside the system's area of use). */
FOCI_API bool foci_field_read(foci_field *out, const char *file, const foci_field_options *options,
                              foci_findings *findings, foci_error *err) FOCI_MUST_CHECK;

/* The same of a boundary in memory, WGS84, which is copied; rings may be open or closed. `name`: "" for none.
 * FOCI_BAD_INPUT: no polygon, or coordinates that are none. */
FOCI_API bool foci_field_of_shape(foci_field *out, const char *name, const foci_multipolygon *lonlat,
                                  foci_findings *findings, foci_error *err) FOCI_MUST_CHECK;

/* A boundary that was read and repaired before, as it is; `file` is what messages call it. */
FOCI_API bool foci_field_take(foci_field *out, const char *file, const char *name, const foci_multipolygon *lonlat,
                              foci_error *err) FOCI_MUST_CHECK;

/* Chooses the work system (UTM zone of the field's center, or `work_crs`, which must be projected in meters) and puts
 * the field and the stops into it. `field` may be NULL: then the stops' center decides. Stops whose own system is the
 * work system keep their coordinates to the last digit. Geographic systems and Web Mercator are refused
 * (FOCI_BAD_SETTING). Writes the system's name into `work` (256 bytes). */
FOCI_API bool foci_field_project(foci_field *field, foci_stops *stops, const char *work_crs, char *work,
                                 foci_findings *findings, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_field_free(foci_field *field);

#endif
