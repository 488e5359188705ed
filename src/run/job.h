/* The job: the options that change a result, as survey.json keeps them. */
#ifndef FOCI_RUN_JOB_H
#define FOCI_RUN_JOB_H

#include "fieldfoci/settings.h"
#include "data/json_file.h"

/* The `job` object: every option of `settings` that changes the result and has a value. */
foci_json *foci_job_make(const foci_settings *settings, foci_error *err) FOCI_MUST_CHECK;

/* Takes the options of a `job` object that are not given already; `file` is what messages call it. */
bool foci_job_take(foci_settings *settings, const foci_json *job, const char *file, unsigned command,
                   foci_error *err) FOCI_MUST_CHECK;

/* Takes the options of the `job` part of `file` that are not given on the command line. */
bool foci_job_read(foci_settings *settings, const char *file, unsigned command, foci_error *err) FOCI_MUST_CHECK;

#endif
