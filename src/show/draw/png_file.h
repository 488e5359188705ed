/* Pictures as PNG files: the only door to libpng. */
#ifndef FOCI_SHOW_PNG_FILE_H
#define FOCI_SHOW_PNG_FILE_H

#include "fieldfoci/error.h"

/* One text chunk: tEXt where the text is plain ASCII, iTXt (UTF-8) where it is not. */
typedef struct {
    const char *key; /* a keyword of the PNG specification, "Title" */
    const char *text;
} foci_png_text;

#define FOCI_PNG_TEXTS_MOST 16

/* Writes `rgb` (3 bytes a pixel, row by row from the top) as 8-bit RGB with its resolution in pHYs. `texts` ends with a
 * row of zeros. Every write, the flush and the close are checked; on failure the file is removed (FOCI_NO_FILE). */
bool foci_png_write(const char *path, const unsigned char *rgb, unsigned width, unsigned height,
                    unsigned dots_per_metre, const foci_png_text *texts, foci_error *err) FOCI_MUST_CHECK;

/* The same bytes in memory; owned by the caller. */
bool foci_png_bytes(unsigned char **out, size_t *size, const unsigned char *rgb, unsigned width, unsigned height,
                    unsigned dots_per_metre, const foci_png_text *texts, foci_error *err) FOCI_MUST_CHECK;

/* The same picture without texts, written quickly: hardly larger where it is of flat colors. */
bool foci_png_quick_bytes(unsigned char **out, size_t *size, const unsigned char *rgb, unsigned width, unsigned height,
                          unsigned dots_per_metre, foci_error *err) FOCI_MUST_CHECK;

#endif
