/* The classes in colors and marks: what sheet, files and report show alike. */
#ifndef FOCI_SHOW_SEASONS_LOOKS_H
#define FOCI_SHOW_SEASONS_LOOKS_H

#include <stdint.h>

#include "fieldfoci/seasons.h"

typedef enum { FOCI_MARK_NONE, FOCI_MARK_HATCH, FOCI_MARK_DOTS } foci_class_mark;

typedef struct {
    foci_class code;
    uint32_t colour;      /* of the ground; dark = hot in many seasons */
    foci_class_mark mark; /* on it, so that a photocopy tells it from its neighbours */
    uint32_t mark_colour;
} foci_class_look;

/* Always first, unsure last: the order in which they are shown. */
extern const foci_class_look foci_class_looks[FOCI_CLASS_END];

const foci_class_look *foci_class_look_of(foci_class code);

/* The colour at (x, y) of an area in this look; `x` and `y` in pixels of a sheet. */
uint32_t foci_class_look_at(const foci_class_look *look, double x, double y);

#endif
