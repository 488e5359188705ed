/* The parts of a survey's report. Each adds to the page; what goes wrong is kept in it. */
#ifndef FOCI_SHOW_REPORT_PARTS_H
#define FOCI_SHOW_REPORT_PARTS_H

#include "show/draw/html.h"
#include "show/map/map_legends.h"
#include "show/map/map_view.h"

/* ---- the map: drawn once, complete without a script, and what the viewer works on ---- */

/* What the map shows, in words: the finding, and where. */
void foci_report_map(foci_html *html, const foci_survey *round, const char *described);

/* The shapes over it, as SVG in the view's pixels; corners of a path are cut by `cut` metres. */
void foci_report_svg_path(foci_html *html, const foci_map_view *view, const foci_multipolygon *shape, double cut);
void foci_report_zones_svg(foci_html *html, const foci_map_view *view, const foci_survey *round);
void foci_report_hotspots_svg(foci_html *html, const foci_map_view *view, const foci_survey *round);
void foci_report_stops_svg(foci_html *html, const foci_map_view *view, const foci_survey *round);
void foci_report_digs_svg(foci_html *html, const foci_map_view *view, const foci_survey *round);

/* Attributes that tell the viewer the values under the pointer and the words to say them in. */
void foci_report_values(foci_html *html, const foci_map_view *view, const foci_survey *round);

/* ---- tables, pictures, words ---- */
void foci_report_hotspots(foci_html *html, const foci_survey *round);
void foci_report_zones(foci_html *html, const foci_survey *round);
void foci_report_digs(foci_html *html, const foci_survey *round);
void foci_report_histogram(foci_html *html, const foci_survey *round);
void foci_report_variogram(foci_html *html, const foci_survey *round);
void foci_report_findings(foci_html *html, const foci_survey *round);
void foci_report_model(foci_html *html, const foci_survey *round);
void foci_report_files(foci_html *html, const foci_survey *round);

/* The page's own text, printed into the page. */
void foci_report_add(foci_html *html, const char *format, ...) FOCI_PRINTF(2, 3);

#endif
