/* Colours of the classes: stepped down in CIE lightness from never to always, so that their order survives a grey copy;
 * what is not a step of that order carries a mark. */
#include "show/seasons/seasons_looks.h"

#include <math.h>

#define HATCH 9.0 /* pixels from line to line, across them */
#define LINE 2.6  /* width of a line */
#define DOTS 11.0 /* from dot to dot */
#define RADIUS 2.1

const foci_class_look foci_class_looks[FOCI_CLASS_END] = {
    {FOCI_CLASS_ALWAYS, 0x3A1248, FOCI_MARK_NONE, 0}, {FOCI_CLASS_OFTEN, 0x8E3563, FOCI_MARK_NONE, 0},
    {FOCI_CLASS_NEW, 0xE58A3C, FOCI_MARK_NONE, 0},    {FOCI_CLASS_GONE, 0x99D2D6, FOCI_MARK_DOTS, 0x2670A2},
    {FOCI_CLASS_NEVER, 0xFAF7EC, FOCI_MARK_NONE, 0},  {FOCI_CLASS_UNSURE, 0xFFFFFF, FOCI_MARK_HATCH, 0x8C8C8C},
};

const foci_class_look *foci_class_look_of(foci_class code) {
    for (size_t i = 0; i < FOCI_CLASS_END; i++)
        if (foci_class_looks[i].code == code)
            return &foci_class_looks[i];
    return NULL;
}

static double part_of(double x, double step) {
    return x - step * floor(x / step);
}

uint32_t foci_class_look_at(const foci_class_look *look, double x, double y) {
    bool marked = false;
    if (look->mark == FOCI_MARK_HATCH) {
        marked = part_of((x + y) * M_SQRT1_2, HATCH) < LINE;
    } else if (look->mark == FOCI_MARK_DOTS) {
        const double shift = part_of(floor(y / DOTS), 2) < 0.5 ? 0 : DOTS / 2;
        marked = hypot(part_of(x + shift, DOTS) - DOTS / 2, part_of(y, DOTS) - DOTS / 2) < RADIUS;
    }
    return marked ? look->mark_colour : look->colour;
}
