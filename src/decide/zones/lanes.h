/* Lanes as wide as the boom, side by side and squared to the crop rows, cut into steps: what a sprayer can switch. */
#ifndef FOCI_DECIDE_LANES_H
#define FOCI_DECIDE_LANES_H

#include "fieldfoci/zones.h"

/* What lies under one step of a lane. */
typedef struct {
    double area;                    /* square metres of the field */
    double treat, dig;              /* sums of area x (what speaks for it - its limit) */
    double chance, severity;        /* sums of area x the layer */
    double wanted, wanted_severity; /* the part that cells decided by themselves would treat: area, area x severity */
} foci_lane_step;

typedef struct {
    foci_point along, across; /* unit vectors in the plane; across is to the right of along */
    foci_box reach;           /* of the field: x across, y along */
    double first, swath;      /* left side of lane 0, and each lane's width; metres across */
    double start, step;       /* end of the bottom step, and each step's length; metres along */
    foci_grid lattice;     /* lanes as columns, steps as rows (the farthest along on top), cells of side 1; no shares */
    size_t least;          /* steps of the shortest run */
    foci_lane_step *steps; /* per lattice cell; owned */
    signed char *code;     /* per lattice cell, whether in the field or not; owned */
} foci_lanes;

/* Layers per cell of the grid; cells of share 0 are not read. */
typedef struct {
    const double *treat, *dig; /* what speaks for it - its limit */
    const signed char *code;   /* the decision cell by cell */
    const foci_surface *surface;
} foci_lane_layers;

/* Lays the lanes over the field and sums up what is under each step, by its exact overlap with each cell; a cell's
 * share of the field counts as spread evenly over the cell. */
bool foci_lanes_lay(foci_lanes *out, const foci_zones_options *options, const foci_grid *grid, const foci_field *field,
                    const foci_lane_layers *layers, foci_error *err) FOCI_MUST_CHECK;

/* Fills `code`: in each lane, from the first to the last step that meets the field, the best sequence of treated and
 * untreated runs, then in each untreated run the best sequence of dig and leave. What lies before and behind takes the
 * code of the nearest step. */
bool foci_lanes_decide(foci_lanes *lanes, foci_error *err) FOCI_MUST_CHECK;

/* Code of the step that holds `place`, which lies in the field. */
foci_zone_code foci_lanes_code_at(const foci_lanes *lanes, foci_point place);

/* Outlines of the connected parts in metres, polygon i with code[i] (the caller's to free); together they cover the
 * field and more. Corners where nothing turns or meets are left out of all parts alike. */
bool foci_lanes_outlines(foci_multipolygon *out, signed char **code, const foci_lanes *lanes,
                         foci_error *err) FOCI_MUST_CHECK;

/* Gives polygons of less than a square metre to a zone that they share a side with; shapes[code] is that zone clipped
 * to the field. */
bool foci_lanes_join_slivers(foci_multipolygon *const *shapes, foci_error *err) FOCI_MUST_CHECK;

/* `scale`: square metres on the ground per square metre in the plane. */
foci_zones_lanes foci_lanes_report(const foci_lanes *lanes, double scale);

void foci_lanes_free(foci_lanes *lanes);

#endif
