/* The writers behind the rows of the export catalogue; contracts as in foci_export. */
#ifndef FOCI_SHOW_EXPORT_FILES_H
#define FOCI_SHOW_EXPORT_FILES_H

#include "data/files/vector_file.h"
#include "fieldfoci/survey.h"

bool foci_export_severity(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_export_deviation(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_export_low(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_export_high(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_export_chance(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;
bool foci_export_geopackage(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* Adds the layers' styles to survey.gpkg, as its last layer. */
bool foci_export_styles(foci_vector_writer *writer, const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

#endif
