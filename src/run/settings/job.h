/* The job: stops and the options that change a result, as survey.json keeps them. Files are named from its folder. */
#ifndef FOCI_RUN_JOB_H
#define FOCI_RUN_JOB_H

#include "data/files/json_file.h"
#include "fieldfoci/settings.h"

/* The `job` object: the stops' files and every option that changes the result and is not open. `folder`: where it will
 * lie; NULL: files are named as they were given. */
foci_json *foci_job_make(const foci_survey_options *used, size_t count, char *const *files, const char *folder,
                         foci_error *err) FOCI_MUST_CHECK;

/* The job as people read it: the stops' files and every option that `command` takes, changes the result and is not
 * open, by name and value; files by their names alone. Owned by the caller. */
bool foci_job_tell(foci_job_words *out, const foci_survey_options *used, unsigned command, size_t count,
                   char *const *files, foci_error *err) FOCI_MUST_CHECK;

/* Takes the options of a `job` object that are not given already, and its stops where none are; `file` is what messages
 * call it, `folder` where it lies (NULL: its files are named by where they lie in all the system). */
bool foci_job_take(foci_settings *settings, const foci_json *job, const char *file, const char *folder,
                   unsigned command, foci_error *err) FOCI_MUST_CHECK;

/* Takes the `job` part of `file`: what is not given on the command line. */
bool foci_job_read(foci_settings *settings, const char *file, unsigned command, foci_error *err) FOCI_MUST_CHECK;

#endif
