#include "decide/words/task_words.h"

/* ---- README.txt: headings, and points under them ---- */

const char foci_task_even_so_passed[] = "EVEN SO: a guard was passed, for these stated reasons";
const char foci_task_before_anyone_acts[] = "BEFORE ANYONE ACTS";
const char foci_task_how_far_to_trust[] = "HOW FAR TO TRUST THE SURVEY";
const char foci_task_before_you_drive[] = "BEFORE YOU DRIVE";
const char foci_task_zones_and_rates[] = "ZONES AND RATES";
const char foci_task_the_notes[] = "NOTES";

const char *const foci_task_cautions[] = {
    "Look at the zones on the controller's screen and compare them with the survey's map: their place, their form, "
    "their rates and the unit. A file that a controller reads is not yet one that it reads rightly.",
    "Try it first where nothing can go wrong: drive a zone's edge with water, or with the pump off, and see the rate "
    "change at the right place.",
    "Outside the zones and the field these files ask for a rate of 0, and so they do where the position is lost. Check "
    "what your controller does there; many have a default rate of their own.",
    "The label is the law: crop, disease, rate, timing, re-entry and pre-harvest intervals are on it. The rates here "
    "are those that were typed in; the program proposes neither a product nor a rate and does not know the label.",
    "Local rules come first. Restricted products are for licensed applicators only.",
    "The zones know nothing of water, wells, houses, neighbors, bees, wind or drift: keep the setbacks.",
    "The zones are drawn from an estimate, not from a diagnosis. Rate 0 does not mean that no disease is there.",
    NULL};
const char foci_task_areas[] =
    "  Areas are those of the outlines. Not in them: what the boom's width and overlaps add, and\n"
    "  what stays in tank and lines.\n";

bool foci_task_add_about(foci_text *page, const char *product, const char *field, const char *season,
                         const char *disease, const char *made, foci_error *err) {
    char day[FOCI_WORDS_SIZE];
    foci_words_date(day, *made ? made : "at a time it does not tell");
    return foci_text_add(page, err, "Rates of %s for the zones of %s", product, field) &&
           (!*season || foci_text_add(page, err, ", season %s", season)) &&
           (!*disease || foci_text_add(page, err, ", against %s", disease)) &&
           foci_text_add(page, err, ".\nFrom a survey made %s; written by fieldfoci " FOCI_VERSION ".\n", day);
}

/* ---- README.txt: the files ---- */

bool foci_task_add_task_data(foci_text *page, const char *standard, const char *scale, const char *unit,
                             foci_error *err) {
    return foci_text_add(page, err,
                         "\nTASKDATA/\n"
                         "  Task data of ISO 11783-10, %s. Copy the whole folder, capitals and all, to the top\n"
                         "  of the medium. Customer and farm have no name there. Rates are held in steps of\n"
                         "  %s %s:\n",
                         standard, scale, unit);
}

bool foci_task_add_code(foci_text *page, int code, const char *zone, double rate, const char *unit, foci_error *err) {
    return foci_text_add(page, err, "  zone %d, %s: %.4f %s\n", code, zone, rate, unit);
}

bool foci_task_add_outside(foci_text *page, int code, foci_error *err) {
    return foci_text_add(page, err, "  zone %d, outside: 0\n", code);
}

const char foci_task_as_polygons[] = "  The zones are polygons, which not every controller reads.\n";

bool foci_task_add_grid(foci_text *page, size_t columns, size_t rows, const char *cell, const char *covered,
                        foci_error *err) {
    return foci_text_add(page, err,
                         "  The zones are a grid of %zu by %zu cells of %s; a cell belongs to the zone that holds\n"
                         "  its center. The cells to treat cover %s.\n",
                         columns, rows, cell, covered);
}

bool foci_task_add_shapefile(foci_text *page, const char *unit, foci_error *err) {
    return foci_text_add(page, err,
                         "\nzones.shp, .shx, .dbf, .prj, .cpg (they belong together)\n"
                         "  One polygon per zone, longitude and latitude (WGS84). RATE is the rate in %s, to 4\n"
                         "  decimals: tell the controller this column and this unit. Zones of rate 0 are in it.\n",
                         unit);
}

bool foci_task_add_geojson(foci_text *page, const char *unit, foci_error *err) {
    return foci_text_add(page, err, "\nzones.geojson\n  The same polygons for other programs; 'rate' is in %s.\n",
                         unit);
}

/* ---- notes ---- */

const char foci_task_nothing_to_treat[] = "The survey has no zone to treat: the rate of --treat is used nowhere.";

bool foci_task_note_cut(foci_sentences *notes, const char *what, int most, const char *kept, foci_error *err) {
    return foci_sentences_add(notes, err, "The %s's name is longer than %d characters and is cut to '%s'.", what, most,
                              kept);
}

bool foci_task_note_small(foci_sentences *notes, const char *zone, const char *cells, const char *outline,
                          double percent, const char *cell, foci_error *err) {
    return foci_sentences_add(notes, err,
                              "The cells of zone '%s' cover %s, its outline %s (they differ by %.0f %%): it is small "
                              "for cells of %s.",
                              zone, cells, outline, percent, cell);
}

/* ---- guards ---- */

const foci_task_guard_words foci_task_guard_laboratory = {
    "the disease needs a laboratory's word before anything is applied", "wait for it"};
const foci_task_guard_words foci_task_guard_too_late = {"it is too late to protect the plants in this season",
                                                        "plan for the next with this map"};
const foci_task_guard_words foci_task_guard_unclear = {
    "the stops cannot tell whether the disease sits in pockets, so no zone is to be treated",
    "dig and look first (with a reason the files hold the dig and leave zones only)"};
const foci_task_guard_words foci_task_guard_no_chances = {
    "its zones come from the estimate alone and nothing tells how sure they are",
    "map it again with a surface that gives chances"};
