/* The writers behind the rows of the catalog of forms. */
#ifndef FOCI_SHOW_PLAN_FILES_H
#define FOCI_SHOW_PLAN_FILES_H

#include "fieldfoci/plan_form.h"

bool foci_plan_write_table(const foci_plan *plan, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_plan_write_gpx(const foci_plan *plan, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_plan_write_pdf(const foci_plan *plan, const char *path, foci_error *err) FOCI_MUST_CHECK;

#endif
