/* The desk's page, embedded when the program is built. */
#ifndef FOCI_DESK_PAGE_FILES_H
#define FOCI_DESK_PAGE_FILES_H

#include <stddef.h>

typedef struct {
    const char *name, *type;
    const char *text;
    size_t size;
} desk_page_file;

/* Ends with a row of zeros. */
extern const desk_page_file desk_page_files[];

#endif
