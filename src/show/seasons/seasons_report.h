/* The parts of the report on a comparison: the map and the tables. */
#ifndef FOCI_SHOW_SEASONS_REPORT_H
#define FOCI_SHOW_SEASONS_REPORT_H

#include "fieldfoci/seasons.h"
#include "show/draw/html.h"

void foci_report_seasons_map(foci_html *html, const foci_seasons *seasons);
void foci_report_classes(foci_html *html, const foci_seasons *seasons);
void foci_report_pairs(foci_html *html, const foci_seasons *seasons);
void foci_report_likeness(foci_html *html, const foci_seasons *seasons);
void foci_report_rounds(foci_html *html, const foci_seasons *seasons);
void foci_report_places(foci_html *html, const foci_seasons *seasons);
void foci_report_provenance(foci_html *html, const foci_seasons *seasons);

#endif
