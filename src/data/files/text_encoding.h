/* The letters of a text file, whatever code it is written in. */
#ifndef FOCI_DATA_TEXT_ENCODING_H
#define FOCI_DATA_TEXT_ENCODING_H

#include "fieldfoci/notes.h"

/* The whole text with a zero byte behind its `*size` bytes, without a byte order mark; UTF-16 (either end first, with
 * or without a mark) as UTF-8. Where the file is no UTF-8 `*latin` is true and the bytes stay as they are. Notes say
 * so. NULL: FOCI_NO_FILE, or FOCI_BAD_INPUT where it holds zero bytes and is no UTF-16. Owned by the caller. */
char *foci_text_encoding_read(const char *file, size_t *size, bool *latin, foci_notes *notes,
                              foci_error *err) FOCI_MUST_CHECK;

/* A copy of a cell in UTF-8; what is not UTF-8 is taken for Latin-1 as Windows writes it (code page 1252). */
char *foci_text_encoding_copy(const char *text, foci_error *err) FOCI_MUST_CHECK;

#endif
