/* The sheet for a meeting: one picture that says where the pockets are and how sure that is. */
#ifndef FIELDFOCI_MAP_H
#define FIELDFOCI_MAP_H

#include "fieldfoci/survey.h"

/* Draws the sheet as a PNG of 1600 x 1236 pixels (letter, landscape), higher where cautions and warnings need it, with
 * its provenance in tEXt and its resolution in pHYs. Errors: FOCI_NO_FILE (also where no font is to be had),
 * FOCI_NO_MEMORY. */
FOCI_API bool foci_map_write_png(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* The same sheet as a PDF of the round's paper on its side, one page unless cautions and warnings need more; what stood
 * at `path` is replaced. */
FOCI_API bool foci_map_write_pdf(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* Draws the stops of a checked survey as dots in the field, the highest by name, on a sheet of the same size: what was
 * read, and nothing between. */
FOCI_API bool foci_dot_map_write_png(const foci_survey *survey, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* Draws the semivariances as points sized by their pairs and the model as a line. `model` may be NULL. */
FOCI_API bool foci_variogram_picture_write(const foci_semivariances *semivariances, const foci_variogram *model,
                                           const char *unit, const char *made, const char *path,
                                           foci_error *err) FOCI_MUST_CHECK;

#endif
