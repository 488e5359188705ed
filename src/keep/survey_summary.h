/* survey.json: the keys of the contract, from the nouns of a round and the job that made it. */
#ifndef FOCI_KEEP_SURVEY_SUMMARY_H
#define FOCI_KEEP_SURVEY_SUMMARY_H

#include "data/files/json_file.h"
#include "fieldfoci/survey.h"

/* The text of survey.json; owned by the caller. `job`: its `job` object, of which the columns that were read are taken;
 * becomes part of it and is freed in any case (NULL: it could not be made, as `err` says). */
char *foci_survey_json(const foci_survey *round, foci_json *job, foci_error *err) FOCI_MUST_CHECK;

/* Of stops that were only looked at; `unfit` says why they cannot be mapped, if they cannot. */
char *foci_check_summary(const foci_survey *round, const foci_json *job, const foci_error *unfit,
                         foci_error *err) FOCI_MUST_CHECK;

#endif
