/* The files that a survey's job names. */
#ifndef FOCI_KEEP_JOB_FILES_H
#define FOCI_KEEP_JOB_FILES_H

#include "data/files/json_file.h"

#define FOCI_JOB_STOPS "stops" /* a list; every other member names one file */

/* The members whose values are names of files; ended by NULL. */
extern const char *const foci_job_file_members[];

/* Whether a member of a job names files, by where they lie. */
bool foci_job_names_files(const char *member);

/* Whether this names a profile of the program's own, and so no file. */
bool foci_job_is_built_in(const char *profile);

/* Whether this names an ordinal scale of the program's own, or none, and so no file. */
bool foci_job_is_scale(const char *scale);

/* How a file is named from, or found beside, `folder`. */
typedef char *(*foci_job_naming)(const char *folder, const char *path, foci_error *err);

bool foci_job_put_file(foci_json *job, const char *member, const char *path, foci_job_naming name, const char *folder,
                       foci_error *err) FOCI_MUST_CHECK;
bool foci_job_add_file(foci_json *array, const char *path, foci_job_naming name, const char *folder,
                       foci_error *err) FOCI_MUST_CHECK;

/* The text of a job that was read in `folder`, with its files named by where they lie in all the system. */
char *foci_job_anywhere(const foci_json *job, const char *folder, foci_error *err) FOCI_MUST_CHECK;

#endif
