/* Which layer of a file is read. */
#ifndef FOCI_DATA_VECTOR_LAYERS_H
#define FOCI_DATA_VECTOR_LAYERS_H

#include "data/files/vector_shape.h"

typedef struct {
    const char *name;     /* NULL: the only one with features of this kind */
    foci_shape_kind kind; /* FOCI_SHAPE_POINT, FOCI_SHAPE_AREA; FOCI_SHAPE_NONE: the first with features */
    const char *remedy;   /* what a user does where there are several */
} foci_layer_choice;

/* `layer` and `dataset` are the library's handles. Empty layers and those of other kinds do not count; where none has
 * features of the kind, a single table without shapes is taken for points (its coordinates are columns), a single layer
 * of lines for areas, else the first layer with features. FOCI_BAD_INPUT where there is no such layer, or where several
 * are and none is named: they are listed. */
bool foci_vector_layer_choose(void **layer, void *dataset, const char *file, const foci_layer_choice *choice,
                              foci_error *err) FOCI_MUST_CHECK;

#endif
