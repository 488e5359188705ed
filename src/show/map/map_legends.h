/* The catalogue of map legends: which layer, which colours, where the classes part. */
#ifndef FOCI_SHOW_MAP_LEGENDS_H
#define FOCI_SHOW_MAP_LEGENDS_H

#include <stdint.h>

#include "fieldfoci/survey.h"

#define FOCI_LEGEND_MOST 6 /* classes */

typedef struct {
    const char *name;
    const char *title; /* one line for the docs */
    size_t classes;
    uint32_t colours[FOCI_LEGEND_MOST]; /* 0xRRGGBB, light = little, dark = much */
    const char *lowest;                 /* what stands before the first break: "none, or below" */
    double shown;                       /* the layer's numbers times this are printed */
    /* the layer it colours; NULL where the round has none */
    const double *(*layer)(const foci_survey *round);
    /* the classes - 1 breaks, rising, in the layer's numbers */
    void (*breaks)(double *edges, const foci_survey *round);
    /* words that belong to a break (the threshold, say); false where none do */
    bool (*mark)(char *words, size_t size, const foci_survey *round, double edge);
    /* what stands after a printed number: " %" or "" */
    const char *(*suffix)(const foci_survey *round);
} foci_map_legend;

enum { FOCI_LEGEND_SEVERITY, FOCI_LEGEND_CHANCE };

/* Ends with a row of zeros. */
extern const foci_map_legend foci_map_legends[];

/* Which class a value is in: it counts the breaks that are at or below it. */
size_t foci_map_legend_class(const foci_map_legend *legend, const double *edges, double value);

/* "5 to 10 %", "none, or below 1 %", "40 % and over". */
void foci_map_legend_label(char *text, size_t size, const foci_map_legend *legend, const foci_survey *round,
                           const double *edges, size_t which);

#endif
