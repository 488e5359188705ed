/* A profile from its JSON. */
#ifndef FOCI_DATA_PROFILE_FILE_H
#define FOCI_DATA_PROFILE_FILE_H

#include "data/files/json_file.h"
#include "fieldfoci/profile.h"

/* FOCI_BAD_INPUT names `file`, the member that is wrong, and what it may be. */
bool foci_profile_of_json(foci_profile *out, const foci_json *json, const char *file, foci_error *err) FOCI_MUST_CHECK;

#endif
