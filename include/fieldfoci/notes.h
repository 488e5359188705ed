/* How something was read where it could have been read in other ways: sentences without a full stop. */
#ifndef FIELDFOCI_NOTES_H
#define FIELDFOCI_NOTES_H

#include "fieldfoci/error.h"

typedef struct {
    size_t count;
    char **items; /* owned */
} foci_notes;

FOCI_API bool foci_notes_add(foci_notes *notes, foci_error *err, const char *format, ...) FOCI_MUST_CHECK
    FOCI_PRINTF(3, 4);

/* Moves all of `from` behind what `notes` has. */
FOCI_API bool foci_notes_move(foci_notes *notes, foci_notes *from, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_notes_free(foci_notes *notes);

#endif
