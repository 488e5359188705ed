#include "fieldfoci/export.h"

#include "fieldfoci/map.h"
#include "show/report/report.h"
#include "show/exports/export_files.h"
#include "show/exports/export_gpx.h"
#include "show/letter/letter.h"

static bool always(const foci_survey *round) {
    (void)round;
    return true;
}

static bool has_severity(const foci_survey *round) {
    return round->surface.estimate != NULL;
}

static bool has_deviation(const foci_survey *round) {
    return round->surface.deviation != NULL;
}

static bool has_low(const foci_survey *round) {
    return round->surface.low != NULL;
}

static bool has_high(const foci_survey *round) {
    return round->surface.high != NULL;
}

static bool has_chance(const foci_survey *round) {
    return round->surface.chance != NULL;
}

static bool has_digs(const foci_survey *round) {
    return round->digs.count > 0;
}

static bool export_digs(const foci_survey *round, const char *path, foci_error *err) {
    return foci_survey_is_at(round, FOCI_STAGE_DECIDED, err) &&
           foci_gpx_write_digs(&round->digs, round->field.name, round->made, &round->cautions, path, err);
}

const foci_export foci_export_table[] = {
    {"survey.gpkg", "field, stops, hotspots and zones for a geographic information system", always,
     foci_export_geopackage},
    {"severity.tif", "estimated severity, cell by cell", has_severity, foci_export_severity},
    {"deviation.tif", "standard deviation of the estimate's error", has_deviation, foci_export_deviation},
    {"low.tif", "5 % bound of severity", has_low, foci_export_low},
    {"high.tif", "95 % bound of severity", has_high, foci_export_high},
    {"chance.tif", "chance that severity is at or above the threshold", has_chance, foci_export_chance},
    {"digs.gpx", "dig-check waypoints in walking order", has_digs, export_digs},
    {"map.png", "the sheet for a meeting", always, foci_map_write_png},
    {"map.pdf", "the same sheet as a page to print", always, foci_map_write_pdf},
    {"letter.txt", "a letter to the grower in plain words, to be edited", always, foci_letter_write_text},
    {"letter.html", "the same letter as a page to print", always, foci_letter_write_html},
    {"report.html", "all of it on one page, to read, to point at and to print", always, foci_report_write},
    {0},
};
