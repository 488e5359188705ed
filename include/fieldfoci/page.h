/* What our pages are made of: style sheets and the map viewer, embedded when the library is built. */
#ifndef FIELDFOCI_PAGE_H
#define FIELDFOCI_PAGE_H

#include "fieldfoci/error.h"

/* Texts in UTF-8, terminated, that may stand inside <style> or <script> as they are; they name no other file. The
 * viewer is Leaflet, whose license (BSD-2-Clause) is part of the text, and a module of ours. */
typedef struct {
    const char *name; /* "letter.css", "report.css", "viewer.css", "viewer.js" */
    const char *text;
} foci_page_asset;

/* Ends with a row of zeros. */
FOCI_API extern const foci_page_asset foci_page_assets[];

/* The text of this name; NULL where there is none. */
FOCI_API const char *foci_page_asset_text(const char *name);

/* The Content-Security-Policy that our pages state themselves and may be served with: nothing is fetched, and only the
 * styles and the script above, by their digests, hold; style attributes do, which name nothing. Owned by the caller. */
FOCI_API char *foci_page_policy(foci_error *err) FOCI_MUST_CHECK;

#endif
