/* Hotspots: connected patches of cells whose chance of passing the threshold is high. */
#ifndef FIELDFOCI_HOTSPOTS_H
#define FIELDFOCI_HOTSPOTS_H

#include "fieldfoci/field.h"
#include "fieldfoci/surface.h"

typedef struct {
    int id;            /* from 1, largest expected infected area (area x mean severity) first */
    double area_ha;    /* geodesic, clipped to the field */
    double peak, mean; /* severity, reading's unit; the mean weighted by area */
    double chance;     /* mean chance; NaN without chances */
    foci_point
        centre;     /* longitude, latitude of its centroid, or of its strongest cell where the centroid lies outside */
    size_t stops;   /* used stops inside */
    size_t over;    /* of these, the ones that read at or above the threshold */
    bool supported; /* over > 0: someone found it there; else only the surface says so */
    double along, across;     /* extent along and across the crop rows, meters */
    foci_multipolygon lonlat; /* WGS84 */
    foci_multipolygon shape;  /* meters, clipped to the field */
} foci_hotspot;

typedef struct {
    size_t count;
    foci_hotspot *items;
    int *label; /* per cell: 0 none, else the hotspot's id; owned */
} foci_hotspots;

typedef struct {
    double treat_chance; /* a cell belongs to a hotspot where its chance is at least this ... */
    double threshold; /* ... or, without chances, where its severity is at least this; stops are held against it too */
    double least_area_ha; /* smaller patches are dropped; 0: one cell's area */
    double row_heading;   /* of the crop rows, degrees clockwise from grid north; NaN: along is north, across is east */
    const bool *unspoken; /* cells that belong to none, as no stop speaks for them; borrowed, NULL: there are no such */
} foci_hotspots_options;

/* Chances of 0.5 and above, patches of a cell and more; `threshold` is the caller's to state where there are no
 * chances. */
FOCI_API foci_hotspots_options foci_hotspots_options_make(void);

/* Cells inside the field that reach the limit (see foci_hotspots_options), those that share a side together; patches
 * under the least area are dropped. `surface`, on `grid`: chances (without them severities) per cell. `field`
 * projected; `readings` in its work system. An empty list where no cell is hot. Outlines follow the cells' sides, cut
 * at the boundary. FOCI_BAD_SETTING: a chance outside 0 to 1, an area below 0. FOCI_BAD_INPUT where a shape cannot be
 * cut or put back into degrees. */
FOCI_API bool foci_hotspots_find(foci_hotspots *out, const foci_surface *surface, const foci_grid *grid,
                                 const foci_field *field, const foci_readings *readings,
                                 const foci_hotspots_options *options, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_hotspots_free(foci_hotspots *hotspots);

#endif
