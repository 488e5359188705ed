/* Reference systems and geodesic areas: the only door to PROJ. Axis order is always x = east or longitude. */
#ifndef FOCI_DATA_PROJECTION_H
#define FOCI_DATA_PROJECTION_H

#include "fieldfoci/geometry.h"

typedef struct {
    char name[128];
    char code[64]; /* "EPSG:32617", "" where the system has no code */
    bool geographic;
    bool projected;
    bool metres;          /* its unit is the metre */
    bool web_mercator;    /* EPSG:3857 or any spherical Mercator: distances are stretched */
    foci_box area_of_use; /* degrees; west > east where it passes the antimeridian; all NaN where unknown */
} foci_crs_facts;

/* What a system is. `crs`: an authority code, WKT or PROJ string. FOCI_BAD_SETTING (source `option`) where PROJ does
 * not know it. */
bool foci_crs_describe(foci_crs_facts *out, const char *crs, const char *option, foci_error *err) FOCI_MUST_CHECK;

/* Whether two systems are the same for coordinates (axis order aside). */
bool foci_crs_same(const char *a, const char *b);

/* "EPSG:326zz" or "EPSG:327zz" of a place in WGS84 (the Norway and Svalbard exceptions are not made). FOCI_BAD_INPUT
 * beyond 84 N or 80 S. */
bool foci_utm_code(foci_point lonlat, char code[16], foci_error *err) FOCI_MUST_CHECK;

typedef struct foci_projection foci_projection;

/* From one system to another. */
bool foci_projection_open(foci_projection **out, const char *from, const char *to, foci_error *err) FOCI_MUST_CHECK;
void foci_projection_close(foci_projection *projection);

/* In place. A point that cannot be transformed becomes NaN, NaN; returns how many did. */
size_t foci_projection_forward(const foci_projection *projection, foci_point *points, size_t count);
size_t foci_projection_inverse(const foci_projection *projection, foci_point *points, size_t count);

/* A copy in the other system; in degrees its corners stay together across the 180th meridian. FOCI_BAD_INPUT where a
 * vertex cannot be transformed, or where the shape goes around a pole. */
bool foci_projection_shape(foci_multipolygon *out, const foci_projection *projection, bool inverse,
                           const foci_multipolygon *shape, foci_error *err) FOCI_MUST_CHECK;

/* Angle from true north to grid north at a place, degrees, positive where grid north lies east of true north (PROJ's
 * meridian convergence): grid heading = true heading - convergence. */
bool foci_meridian_convergence(double *degrees, const char *crs, foci_point lonlat, foci_error *err) FOCI_MUST_CHECK;

/* Area on the WGS84 ellipsoid of a shape in degrees, holes taken out, square metres (Karney 2013, through PROJ's
 * geodesic.h). */
double foci_geodesic_area(const foci_multipolygon *lonlat);

/* Distance on the WGS84 ellipsoid, metres. */
double foci_geodesic_distance(foci_point from, foci_point to);

/* "9.1.1" */
const char *foci_projection_version(void);

#endif
