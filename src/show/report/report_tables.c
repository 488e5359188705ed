#include "show/report/report_parts.h"

#include <math.h>
#include <stdio.h>

#include "base/path.h"
#include "decide/words/report_words.h"
#include "decide/words/survey_words.h"
#include "show/page/page.h"

enum { ROWS_MOST = 40 };

static const char *leading(const foci_survey *round) {
    return foci_words_measures(round) == FOCI_ACRES ? "Acres" : "Hectares";
}

static const char *following(const foci_survey *round) {
    return foci_words_measures(round) == FOCI_ACRES ? "Hectares" : "Acres";
}

void foci_report_hotspots(foci_html *html, const foci_survey *round) {
    const char *const heads[] = {"Number", leading(round), following(round),      "Average", "Highest",
                                 "Chance", "Stops in it",  "Latitude, longitude", NULL};
    if (round->hotspots.count == 0) {
        foci_html_element(html, "p", foci_report_no_hotspots);
        return;
    }
    foci_html_table(html, foci_report_of_hotspots, heads);
    for (size_t i = 0; i < round->hotspots.count && i < ROWS_MOST; i++) {
        const foci_hotspot *spot = &round->hotspots.items[i];
        char words[8][FOCI_WORDS_SIZE];
        snprintf(words[0], sizeof words[0], "%d", spot->id);
        foci_words_area_columns(words[1], words[2], spot->area_ha, foci_words_measures(round));
        foci_words_reading(words[3], round, spot->mean);
        foci_words_reading(words[4], round, spot->peak);
        foci_words_chance(words[5], spot->chance);
        snprintf(words[6], sizeof words[6], "%zu", spot->stops);
        foci_words_lonlat(words[7], spot->centre);
        foci_html_row(html, (const char *const[]){words[0], words[1], words[2], words[3], words[4], words[5], words[6],
                                                  words[7], NULL});
    }
    foci_html_table_end(html);
    if (round->hotspots.count > ROWS_MOST) {
        char more[FOCI_WORDS_SIZE];
        foci_words_more_hotspots(more, round->hotspots.count - ROWS_MOST);
        foci_html_element(html, "p", more);
    }
}

void foci_report_zones(foci_html *html, const foci_survey *round) {
    static const foci_zone_code order[] = {FOCI_ZONE_TREAT, FOCI_ZONE_DIG, FOCI_ZONE_LEAVE};
    const char *const heads[] = {"Zone", leading(round), following(round), "Parts", "Average", "Chance", NULL};
    if (!round->has_zones) {
        foci_html_element(html, "p", round->no_zones_why ? round->no_zones_why : foci_report_no_zones);
        return;
    }
    foci_html_table(html, foci_report_of_zones, heads);
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        const foci_zone *zone = &round->zones.items[order[i]];
        char words[5][FOCI_WORDS_SIZE];
        foci_words_area_columns(words[0], words[1], zone->area_ha, foci_words_measures(round));
        snprintf(words[2], sizeof words[2], "%zu", zone->parts);
        snprintf(words[3], sizeof words[3], "none");
        snprintf(words[4], sizeof words[4], "none");
        if (zone->parts > 0) {
            foci_words_reading(words[3], round, zone->severity);
            foci_words_chance(words[4], zone->chance);
        }
        foci_html_row(html, (const char *const[]){foci_words_zone(round, order[i]), words[0], words[1], words[2],
                                                  words[3], words[4], NULL});
    }
    foci_html_table_end(html);
}

void foci_report_digs(foci_html *html, const foci_survey *round) {
    static const char *const heads[] = {"Number", "To learn", "Latitude, longitude", "Chance", "Found", NULL};
    if (round->digs.count == 0) {
        foci_html_element(html, "p", foci_report_no_digs);
        return;
    }
    foci_html_table(html, foci_report_of_digs, heads);
    for (size_t i = 0; i < round->digs.count; i++) {
        const foci_dig_point *dig = &round->digs.items[i];
        char number[FOCI_WORDS_SIZE], place[FOCI_WORDS_SIZE], chance[FOCI_WORDS_SIZE];
        snprintf(number, sizeof number, "%d", dig->visit);
        foci_words_lonlat(place, dig->lonlat);
        foci_words_chance(chance, dig->chance);
        foci_html_row(html, (const char *const[]){number, foci_words_dig(dig->why), place, chance, "", NULL});
    }
    foci_html_table_end(html);
}

void foci_report_findings(foci_html *html, const foci_survey *round) {
    if (round->findings.count == 0)
        return;
    foci_html_element(html, "h3", foci_report_data_show);
    foci_html_raw(html, "<ul>\n");
    for (size_t i = 0; i < round->findings.count; i++)
        foci_html_element(html, "li", round->findings.items[i].text);
    foci_html_raw(html, "</ul>\n");
}

static void file_row(foci_html *html, const foci_input *input, const char *what) {
    char rows[FOCI_WORDS_SIZE];
    if (!input->file)
        return;
    snprintf(rows, sizeof rows, "%zu", input->rows);
    foci_html_row(html, (const char *const[]){what, foci_path_name(input->file), rows, input->sha256, NULL});
}

void foci_report_files(foci_html *html, const foci_survey *round) {
    static const char *const heads[] = {"What", "File", "Rows", "SHA-256", NULL};
    foci_page_job(html, &round->job);
    foci_html_table(html, foci_report_of_files, heads);
    for (size_t i = 0; i < round->stops.input_count; i++)
        file_row(html, &round->stops.inputs[i], "stops");
    file_row(html, &round->field.input, "boundary");
    if (round->earlier.survey)
        foci_html_row(html, (const char *const[]){"earlier survey", foci_path_name(round->earlier.survey), "",
                                                  round->earlier.sha256, NULL});
    foci_html_table_end(html);
    foci_page_programs(html, round->made, round->work_crs, round->grid.cell);
    foci_html_element(html, "p", foci_report_other_files);
}
