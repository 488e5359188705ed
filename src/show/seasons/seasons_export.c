#include "fieldfoci/export.h"

#include "show/seasons/seasons_files.h"
#include "show/seasons/seasons_sheet.h"
#include "decide/words/seasons_words.h"

static bool always(const foci_seasons *seasons) {
    (void)seasons;
    return true;
}

const foci_seasons_export foci_seasons_export_table[] = {
    {"persistence.tif", "expected number of seasons hot, cell by cell", foci_words_any_compared,
     foci_seasons_persistence},
    {"classes.tif", "class of each cell: always, often, new, gone, never, unsure", foci_words_any_compared,
     foci_seasons_classes},
    {"persistence.gpkg", "places of one class, field and stops for a geographic information system", always,
     foci_seasons_geopackage},
    {"persistence.png", "the sheet for a meeting", always, foci_seasons_sheet_png},
    {"persistence.pdf", "the same sheet as a page to print", always, foci_seasons_sheet_pdf},
    {"report.html", "all of it on one page, to read and to print", always, foci_seasons_report},
    {0},
};
