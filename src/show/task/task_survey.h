/* What a task takes from a survey folder. */
#ifndef FOCI_SHOW_TASK_SURVEY_H
#define FOCI_SHOW_TASK_SURVEY_H

#include "fieldfoci/task.h"

/* At most 32 characters of `text`, control letters as blanks and none of these at the end; `*cut` tells whether some
 * were left off. False where it is not UTF-8. */
bool foci_task_name(char name[FOCI_TASK_NAME_SIZE], bool *cut, const char *text);

/* Fills the task's labels, boundary, zones (shape and area), cautions and reasons. What was read before a failure stays
 * in `task`, whose owner frees it. */
bool foci_task_survey_read(foci_task *task, const char *survey, const char *even_so, foci_error *err) FOCI_MUST_CHECK;

#endif
