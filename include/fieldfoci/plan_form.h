/* A plan as a file to take along, and to type back what was found. */
#ifndef FIELDFOCI_PLAN_FORM_H
#define FIELDFOCI_PLAN_FORM_H

#include "fieldfoci/plan.h"

/* A kind of file; stops are in walking order in all of them. */
typedef struct {
    const char *ending; /* ".gpx" */
    const char *title;
    bool (*write)(const foci_plan *plan, const char *path, foci_error *err); /* to a path that does not exist */
} foci_plan_form;

/* .csv: a form whose reading columns are blank, to be filled in and read by map. .geojson: the same as points. .gpx:
 * waypoints and a route. .pdf: a field sheet to write on. Ends with a row of zeros. */
FOCI_API extern const foci_plan_form foci_plan_forms[];

/* Writes the form that the file's ending asks for, whole or not at all. FOCI_BAD_SETTING for another ending;
 * FOCI_NO_FILE where there is such a file, unless `overwrite`. */
FOCI_API bool foci_plan_write(const foci_plan *plan, const char *file, bool overwrite, foci_error *err) FOCI_MUST_CHECK;

#endif
