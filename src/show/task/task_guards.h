/* What keeps a survey's zones from the sprayer. */
#ifndef FOCI_SHOW_TASK_GUARDS_H
#define FOCI_SHOW_TASK_GUARDS_H

#include "data/files/json_file.h"

/* `root` is the survey.json of `file`. FOCI_BAD_INPUT where there are no zones (no pattern, too few stops, a disease
 * that does not live in the soil), which no reason changes; and, unless `even_so` is a reason, where the stops cannot
 * tell whether there is a pattern, where zones come without chances, where the disease needs a laboratory's word, and
 * where it is too late for this season. */
bool foci_task_pass_guards(const foci_json *root, const char *file, const char *even_so,
                           foci_error *err) FOCI_MUST_CHECK;

#endif
