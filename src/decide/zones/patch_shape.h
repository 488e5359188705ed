/* A patch of cells as a shape on the ground. */
#ifndef FOCI_DECIDE_PATCH_SHAPE_H
#define FOCI_DECIDE_PATCH_SHAPE_H

#include "fieldfoci/field.h"

/* The outline in the plane, clipped to the field where the patch has cells on its boundary (`on_edge`). May be empty
 * where the boundary only grazes it. */
bool foci_patch_clip(foci_multipolygon *out, const foci_polygon *outline, bool on_edge, const foci_field *field,
                     foci_error *err) FOCI_MUST_CHECK;

/* A place inside a shape that has an area: the middle of the widest stretch of a level line through its largest part.
 */
bool foci_patch_inside(foci_point *out, const foci_multipolygon *shape, foci_error *err) FOCI_MUST_CHECK;

/* Area on the ellipsoid over area in the plane, at least 1: a whole cell must not fall below its own area by the scale
 * of the projection. */
double foci_patch_scale(const foci_field *field);

#endif
