/* The text of a reference system, before a library is asked what it means. */
#ifndef FOCI_DATA_CRS_TEXT_H
#define FOCI_DATA_CRS_TEXT_H

#include "fieldfoci/error.h"

/* Whether the text of a system sends its reader to a file or an address (a grid, an init file, a link): what comes from
 * inside an input may not. Codes of authorities, their names at www.opengis.net (which nobody fetches) and whole
 * definitions do not. */
bool foci_crs_text_leads_away(const char *text);

/* FOCI_BAD_INPUT (source `file`) where it does. */
bool foci_crs_text_check(const char *text, const char *file, foci_error *err) FOCI_MUST_CHECK;

/* The same of all systems that a GeoJSON text names: each value of a member "crs", however deep. FOCI_BAD_INPUT also
 * where what stands outside strings is no JSON, which lenient readers could understand in other ways. */
bool foci_crs_text_check_geojson(const char *file, foci_error *err) FOCI_MUST_CHECK;

#endif
