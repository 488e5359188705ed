/* The sheet of a comparison: small maps of the seasons, the map of classes, and the table of areas. */
#ifndef FOCI_SHOW_SEASONS_SHEET_H
#define FOCI_SHOW_SEASONS_SHEET_H

#include "fieldfoci/seasons.h"

bool foci_seasons_sheet_png(const foci_seasons *seasons, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_seasons_sheet_pdf(const foci_seasons *seasons, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* The picture as a file in memory; owned by the caller. */
bool foci_seasons_sheet_bytes(unsigned char **out, size_t *size, const foci_seasons *seasons,
                              foci_error *err) FOCI_MUST_CHECK;

#endif
