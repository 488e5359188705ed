/* The vector formats that are written, each with all that is particular to it. */
#ifndef FOCI_DATA_VECTOR_FORMATS_H
#define FOCI_DATA_VECTOR_FORMATS_H

#include "fieldfoci/error.h"

enum { FOCI_VECTOR_PATH = 4096 };

typedef struct {
    const char *ending, *driver;
    bool
        through_memory; /* its driver does not notice a full disk: it writes to memory, and we write all of the files */
    bool database;      /* many layers, metadata, and columns of its own for number and shape */
    bool fixed_widths;  /* a number takes as many characters as its column says */
    bool plain_table;   /* points become the columns lon and lat, and numbers our own text */
    const char *const *layer_options; /* ended by NULL */
    const char *const *companions;    /* what may lie beside it, named by what replaces the ending; ended by NULL */
} foci_vector_format;

/* By the ending of `path`; NULL where it names none. */
const foci_vector_format *foci_vector_format_of(const char *path);

/* `path`, or for `part` above 0 its companion of that number; false where there is none. */
bool foci_vector_format_part(char name[FOCI_VECTOR_PATH], const foci_vector_format *format, const char *path,
                             size_t part);

/* Neither the file nor a companion is there: FOCI_NO_FILE names the one that is. */
bool foci_vector_format_is_free(const foci_vector_format *format, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* Makes the new file `path` and opens it for writing; -1 on failure. */
bool foci_vector_format_create(int *file, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* Writes what the driver left at `memory`, every part of it, the main one last, to `file` (open; closed here). False
 * where a part is missing or a step fails; what was written then is for foci_vector_format_remove. */
bool foci_vector_format_save(const foci_vector_format *format, const char *memory, int file, const char *path,
                             foci_error *err) FOCI_MUST_CHECK;

/* Removes the file and its companions; nothing is said where they are not there. */
void foci_vector_format_remove(const foci_vector_format *format, const char *path);

#endif
