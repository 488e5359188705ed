/* The writers behind the rows of the catalogues of task files; contracts as in foci_task_form and foci_task_layout. */
#ifndef FOCI_SHOW_TASK_FILES_H
#define FOCI_SHOW_TASK_FILES_H

#include "fieldfoci/task.h"

bool foci_task_write_data(const foci_task *task, const char *folder, foci_error *err) FOCI_MUST_CHECK;
bool foci_task_write_shapefile(const foci_task *task, const char *folder, foci_error *err) FOCI_MUST_CHECK;
bool foci_task_write_geojson(const foci_task *task, const char *folder, foci_error *err) FOCI_MUST_CHECK;

bool foci_task_put_grid(struct foci_xml *element, const foci_task *task, const char *folder,
                        foci_error *err) FOCI_MUST_CHECK;
bool foci_task_put_polygons(struct foci_xml *element, const foci_task *task, const char *folder,
                            foci_error *err) FOCI_MUST_CHECK;

/* PLN elements of this type for a shape, by the rules of the task's standard; rings repeat their first point. */
bool foci_task_put_shape(struct foci_xml *element, const foci_multipolygon *shape, int type, const foci_task *task,
                         foci_error *err) FOCI_MUST_CHECK;

/* Whether one of the task's forms writes this file. */
bool foci_task_has_form(const foci_task *task, const char *file);

/* README.txt, in plain words. */
bool foci_task_write_readme(const foci_task *task, const char *folder, foci_error *err) FOCI_MUST_CHECK;

#define FOCI_TASK_README "README.txt"
#define FOCI_TASK_README_MARK "fieldfoci task files\n"

#endif
