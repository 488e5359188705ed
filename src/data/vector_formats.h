/* The vector formats that are written, each with all that is particular to it. */
#ifndef FOCI_DATA_VECTOR_FORMATS_H
#define FOCI_DATA_VECTOR_FORMATS_H

#include "fieldfoci/error.h"

typedef struct {
    const char *ending, *driver;
    bool through_memory; /* its driver does not notice a full disk: it writes to memory, and we write the file */
    bool database;       /* many layers, metadata, and columns of its own for number and shape */
    bool fixed_widths;   /* a number takes as many characters as its column says */
    bool plain_table;    /* points become the columns lon and lat, and numbers our own text */
    const char *const *layer_options; /* ended by NULL */
    const char *const *companions;    /* what may lie beside it, named by what replaces the ending; ended by NULL */
} foci_vector_format;

/* By the ending of `path`; NULL where it names none. */
const foci_vector_format *foci_vector_format_of(const char *path);

/* Removes the file and its companions; nothing is said where they are not there. */
void foci_vector_format_remove(const foci_vector_format *format, const char *path);

#endif
