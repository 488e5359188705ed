/* The JSON files that are built in, disease profiles and ordinal scales; their C files are made by
 * scripts/embed_texts.cmake. */
#ifndef FOCI_DATA_BUILT_IN_H
#define FOCI_DATA_BUILT_IN_H

#include "data/files/json_file.h"

typedef struct {
    const char *name; /* the file's name without its ending */
    const char *json;
} foci_built_in;

/* By name, ended by a row of zeros. */
extern const foci_built_in foci_built_in_profiles[], foci_built_in_scales[];

/* What messages call them, and where a user sees them all. */
typedef struct {
    const char *noun;    /* "profile" */
    const char *setting; /* "{disease}" */
    const char *listed;  /* "fieldfoci profiles lists those that are built in" */
} foci_built_in_words;

/* A built-in one, or a file; an unknown name suggests built-in ones (FOCI_BAD_SETTING). */
bool foci_built_in_read(foci_json **out, const foci_built_in *table, const foci_built_in_words *words,
                        const char *name_or_file, foci_error *err) FOCI_MUST_CHECK;

/* The name of the `index`-th; NULL past the last. */
const char *foci_built_in_name(const foci_built_in *table, size_t index);

#endif
