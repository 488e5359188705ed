/* The writers behind the rows of the catalogue of a comparison's files; contracts as in foci_seasons_export. */
#ifndef FOCI_SHOW_SEASONS_FILES_H
#define FOCI_SHOW_SEASONS_FILES_H

#include "fieldfoci/seasons.h"

bool foci_seasons_persistence(const foci_seasons *seasons, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_seasons_classes(const foci_seasons *seasons, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_seasons_geopackage(const foci_seasons *seasons, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_seasons_report(const foci_seasons *seasons, const char *path, foci_error *err) FOCI_MUST_CHECK;

#endif
