/* A feature's shape, out of the library's hands into ours and back. */
#ifndef FOCI_DATA_VECTOR_SHAPE_H
#define FOCI_DATA_VECTOR_SHAPE_H

#include "fieldfoci/geometry.h"

typedef enum { FOCI_SHAPE_NONE, FOCI_SHAPE_POINT, FOCI_SHAPE_LINE, FOCI_SHAPE_AREA, FOCI_SHAPE_OTHER } foci_shape_kind;

typedef struct {
    foci_shape_kind kind;
    foci_point point;       /* of a point (or a multipoint of one) */
    foci_multipolygon area; /* of a polygon or multipolygon; rings as they came, unrepaired */
    foci_polygon lines;     /* of a line or multiline: one open ring for each */
} foci_shape;

void foci_shape_free(foci_shape *shape);

/* What a geometry (the library's handle) is to us; a collection is what all its parts are. */
foci_shape_kind foci_vector_shape_kind(void *geometry);

/* `feature` is the library's handle; `*shape` is all zero before. Arcs become chords. */
bool foci_vector_shape_read(foci_shape *shape, void *feature, foci_error *err) FOCI_MUST_CHECK;

/* The library's handle of an area, else of a point; both NULL: NULL. The caller's. */
void *foci_vector_shape_make(const foci_point *point, const foci_multipolygon *area);

#endif
