/* What is read off the map, in rows: hotspots, dig-checks in walking order, and lines to write on. */
#ifndef FOCI_SHOW_MAP_TABLES_H
#define FOCI_SHOW_MAP_TABLES_H

#include "fieldfoci/survey.h"
#include "show/draw/canvas.h"

/* All of them in one column, from the top of the frame (pixels, south being the larger y) to its end. Where there are
 * more rows than it holds, a row says how many more there are and which file has them. */
void foci_map_tables_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame);

/* The same in two columns, the dig-checks in the right one. */
void foci_map_tables_beside_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, double gutter);

#endif
