/* Zones as cells. */
#ifndef FOCI_SHOW_TASK_GRID_H
#define FOCI_SHOW_TASK_GRID_H

#include "fieldfoci/task.h"

/* The largest grid that every controller must be able to read. */
enum { FOCI_TASK_GRID_MOST = 350 };

/* The least side of a cell, and the largest that is still of use to a sprayer; metres. */
#define FOCI_TASK_CELL_LEAST 2.0
#define FOCI_TASK_CELL_MOST 100.0

/* Metres in a degree of latitude and of longitude: radii of curvature of the WGS84 ellipsoid. */
void foci_task_degree(double latitude, double *north, double *east);

/* Covers the task's boundary and zones; a cell has the code of the zone that holds its centre. Within a cell the
 * grid lies where the areas of its zones agree best with those of their outlines (area_ha). FOCI_BAD_INPUT where cells
 * would pass FOCI_TASK_CELL_MOST. */
bool foci_task_grid_make(foci_task_grid *out, const foci_task *task, foci_error *err) FOCI_MUST_CHECK;

/* Hectares of the cells with this code. */
double foci_task_grid_area(const foci_task_grid *grid, int code);

void foci_task_grid_free(foci_task_grid *grid);

#endif
