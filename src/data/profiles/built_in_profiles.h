/* The disease profiles of src/data/profiles, built in; their C file is made by scripts/embed_profiles.cmake. */
#ifndef FOCI_DATA_BUILT_IN_PROFILES_H
#define FOCI_DATA_BUILT_IN_PROFILES_H

typedef struct {
    const char *name; /* the file's name without its ending */
    const char *json;
} foci_built_in_profile;

/* By name, ended by a row of zeros. */
extern const foci_built_in_profile foci_built_in_profiles[];

#endif
