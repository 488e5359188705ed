/* A survey's options as settings of the table. */
#ifndef FOCI_RUN_SURVEY_OPTIONS_H
#define FOCI_RUN_SURVEY_OPTIONS_H

#include "fieldfoci/settings.h"

/* Where a setting of the job stands in a survey's options; NULL where it is none of theirs. */
const void *foci_survey_options_at(const foci_survey_options *options, const foci_setting *setting);

/* Puts a copy of `text` in the place of a text of a copy. */
bool foci_survey_options_keep(const char **place, const char *text, foci_error *err) FOCI_MUST_CHECK;

#endif
