/* Seasons compared: from surveys of one field to the folder that tells whether hotspots come back. */
#ifndef FIELDFOCI_COMPARISON_H
#define FIELDFOCI_COMPARISON_H

#include "fieldfoci/seasons.h"
#include "fieldfoci/settings.h"
#include "fieldfoci/steps.h"

/* The surveys are settings->inputs, folders, oldest first; or those of settings->history: all of the field
 * settings->survey.field.name by date, or those whose sha256 begins with one of the inputs. FOCI_BAD_SETTING: fewer
 * than two, or more than FOCI_SEASONS_MOST. FOCI_BAD_INPUT, with the reason: surveys that must not be compared (another
 * field, disease, kind of reading, unit or rating, the same survey or the same stops twice, a disease that does not
 * live in the soil); some give way to settings->survey.even_so. A season that cannot be compared though it may be is no
 * error. */
FOCI_API bool foci_seasons_compare(foci_seasons *out, const foci_settings *settings, const foci_execution *how,
                                   foci_error *err) FOCI_MUST_CHECK;

/* Writes the folder, whole or not at all. Without `overwrite` an existing folder is refused; with it only the folder of
 * a comparison is replaced, and files of others in it are kept. */
FOCI_API bool foci_seasons_write(const foci_seasons *seasons, const char *folder, bool overwrite,
                                 foci_error *err) FOCI_MUST_CHECK;

#endif
