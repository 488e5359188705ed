/* The parts of a survey's report. Each adds to the page; what goes wrong is kept in it. */
#ifndef FOCI_SHOW_REPORT_PARTS_H
#define FOCI_SHOW_REPORT_PARTS_H

#include "fieldfoci/survey.h"
#include "show/draw/html.h"

/* The map; `described`: what it shows, in words. */
void foci_report_map(foci_html *html, const foci_survey *round, const char *described);

/* ---- tables, pictures, words ---- */
void foci_report_hotspots(foci_html *html, const foci_survey *round);
void foci_report_zones(foci_html *html, const foci_survey *round);
void foci_report_digs(foci_html *html, const foci_survey *round);
void foci_report_histogram(foci_html *html, const foci_survey *round);
void foci_report_variogram(foci_html *html, const foci_survey *round);
void foci_report_findings(foci_html *html, const foci_survey *round);
void foci_report_model(foci_html *html, const foci_survey *round);
void foci_report_files(foci_html *html, const foci_survey *round);

#endif
