/* Places turned so that `along` runs with the rows and `across` to their right. */
#ifndef FOCI_BASE_FRAME_H
#define FOCI_BASE_FRAME_H

#include "fieldfoci/geometry.h"

/* One degree in radians. */
#define FOCI_DEGREE 0.017453292519943295

typedef struct {
    foci_point origin;
    double east, north; /* of the unit vector along the rows */
} foci_frame;

/* From the mean of the places (any count; 0: from 0, 0), so that coordinates are small numbers. `heading`: degrees
 * clockwise from grid north; NaN: along is north. */
foci_frame foci_frame_make(const foci_point *places, size_t count, double heading);

/* x along, y across, in meters from the frame's origin. */
foci_point foci_frame_place(const foci_frame *frame, foci_point place);

void foci_frame_turn(const foci_frame *frame, const foci_point *places, size_t count, double *along, double *across);

#endif
