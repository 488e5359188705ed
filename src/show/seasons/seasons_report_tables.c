#include "show/seasons/seasons_report.h"

#include <math.h>
#include <stdio.h>

#include "base/path.h"
#include "show/page/page.h"
#include "decide/words/seasons_report_words.h"
#include "show/seasons/seasons_looks.h"

void foci_report_classes(foci_html *html, const foci_seasons *seasons) {
    static const char *const heads[2][5] = {{"Class", "What it means", "Acres", "Hectares", NULL},
                                            {"Class", "What it means", "Hectares", "Acres", NULL}};
    const foci_measures lead = foci_words_comparison_measures(seasons);
    char first[FOCI_WORDS_SIZE], second[FOCI_WORDS_SIZE], meaning[2 * FOCI_WORDS_SIZE];
    foci_html_table(html, foci_seasons_of_classes, heads[lead]);
    for (size_t i = 0; i < FOCI_CLASS_END; i++) {
        const foci_class code = foci_class_looks[i].code;
        if (!foci_words_class_can_be(seasons, code) || code == FOCI_CLASS_UNSURE)
            continue;
        foci_words_meaning(meaning, seasons, code);
        foci_words_expected(first, &seasons->persistence.classes[code], lead);
        foci_words_expected(second, &seasons->persistence.classes[code], foci_words_other(lead));
        foci_html_row(html,
                      (const char *const[]){foci_seasons_class_word(seasons, code), meaning, first, second, NULL});
    }
    foci_html_table_end(html);
    foci_words_area(first, seasons->places.unsure_ha, lead);
    char unsure[FOCI_WORDS_LINE];
    foci_words_unsure(unsure, first);
    foci_html_element(html, "p", unsure);
}

/* "0.43"; "not compared" and "not defined" are told apart by whether the pair was compared. */
static void describe(char text[FOCI_WORDS_SIZE], const foci_season_pair *pair, double number) {
    foci_words_number(text, number, 2, isnan(pair->both.value) ? "not compared" : "not defined");
}

static void pair_row(foci_html *html, const foci_seasons *seasons, const foci_season_pair *pair) {
    const foci_estimate *const areas[] = {&pair->both, &pair->by_chance, &pair->only_first, &pair->only_second};
    char name[2 * FOCI_WORDS_SIZE], verdict[3 * FOCI_WORDS_SIZE], p[FOCI_WORDS_SIZE], shown[4][FOCI_WORDS_SIZE];
    foci_words_pair_name(name, seasons, pair);
    foci_words_pair_verdict(verdict, seasons, pair);
    foci_words_p(p, pair->p);
    for (size_t i = 0; i < 4; i++)
        foci_words_expected(shown[i], areas[i], foci_words_comparison_measures(seasons));
    foci_html_row(html, (const char *const[]){name, verdict, p, shown[0], shown[1], shown[2], shown[3], NULL});
}

static void likeness_row(foci_html *html, const foci_seasons *seasons, const foci_season_pair *pair) {
    const double numbers[] = {pair->rho,     pair->rho_low, pair->rho_high, pair->rho_none,
                              pair->jaccard, pair->dice,    pair->kappa};
    char name[2 * FOCI_WORDS_SIZE], described[7][FOCI_WORDS_SIZE];
    foci_words_pair_name(name, seasons, pair);
    for (size_t i = 0; i < 7; i++)
        describe(described[i], pair, numbers[i]);
    foci_html_row(html, (const char *const[]){name, described[0], described[1], described[2], described[3],
                                              described[4], described[5], described[6], NULL});
}

void foci_report_pairs(foci_html *html, const foci_seasons *seasons) {
    static const char *const heads[] = {
        "Seasons", "Verdict", "P", "Hot in both", "By chance alone", "Only in the first", "Only in the second", NULL};
    foci_html_table(html, foci_words_of_pairs(seasons), heads);
    for (size_t i = 0; i < seasons->persistence.pair_count; i++)
        pair_row(html, seasons, &seasons->persistence.pairs[i]);
    foci_html_table_end(html);
    foci_html_element(html, "p", foci_seasons_p);
}

void foci_report_likeness(foci_html *html, const foci_seasons *seasons) {
    static const char *const heads[] = {
        "Seasons", "Variation shared", "5 %", "95 %", "Weight of none", "Jaccard", "Dice", "Kappa", NULL};
    foci_html_table(html, foci_seasons_of_pairs, heads);
    for (size_t i = 0; i < seasons->persistence.pair_count; i++)
        likeness_row(html, seasons, &seasons->persistence.pairs[i]);
    foci_html_table_end(html);
    foci_html_element(html, "p", foci_seasons_coefficients);
}

static void round_row(foci_html *html, const foci_seasons *seasons, size_t which) {
    const foci_survey *round = &seasons->rounds[which];
    char threshold[FOCI_WORDS_SIZE], stops[FOCI_WORDS_SIZE], hot[FOCI_WORDS_SIZE], also[FOCI_WORDS_SIZE];
    const foci_measures lead = foci_words_comparison_measures(seasons);
    char dates[FOCI_WORDS_SIZE];
    const char *first = round->first_date ? round->first_date : "", *last = round->last_date ? round->last_date : "";
    snprintf(threshold, sizeof threshold, "not stated");
    if (!isnan(round->threshold))
        foci_words_reading(threshold, round, round->threshold);
    snprintf(stops, sizeof stops, "%zu", round->readings.count);
    if (*first)
        foci_words_dates(dates, first, last);
    else
        snprintf(dates, sizeof dates, "not stated");
    foci_words_expected(hot, &seasons->persistence.hot[which], lead);
    foci_words_expected(also, &seasons->persistence.hot[which], foci_words_other(lead));
    foci_html_row(
        html, (const char *const[]){foci_seasons_label(seasons, which), foci_seasons_survey_name(seasons, which),
                                    round->has_profile && round->profile.title ? round->profile.title : "not stated",
                                    threshold, round->rated && *round->rated ? round->rated : "not stated", dates,
                                    stops, hot, also, NULL});
}

void foci_report_rounds(foci_html *html, const foci_seasons *seasons) {
    const bool acres = foci_words_comparison_measures(seasons) == FOCI_ACRES;
    const char *const heads[] = {"Season",
                                 "Survey",
                                 "Disease",
                                 "Threshold",
                                 "Rated",
                                 "Dates",
                                 "Stops used",
                                 acres ? "Hot, acres" : "Hot, ha",
                                 acres ? "Hot, ha" : "Hot, acres",
                                 NULL};
    foci_html_table(html, foci_seasons_of_rounds, heads);
    for (size_t s = 0; s < seasons->count; s++)
        round_row(html, seasons, s);
    foci_html_table_end(html);
}

static void place_row(foci_html *html, const foci_seasons *seasons, const foci_class_place *place) {
    char id[FOCI_WORDS_SIZE], hectares[FOCI_WORDS_SIZE], acres[FOCI_WORDS_SIZE], chance[FOCI_WORDS_SIZE];
    const bool american = foci_words_comparison_measures(seasons) == FOCI_ACRES;
    char centre[FOCI_WORDS_SIZE];
    foci_text hot = {0};
    if (html->err.status != FOCI_OK || !foci_words_add_hot(&hot, seasons, place->hot, &html->err)) {
        foci_text_free(&hot);
        return;
    }
    snprintf(id, sizeof id, "%d", place->id);
    foci_words_decimal(hectares, place->area_ha, 2);
    foci_words_decimal(acres, place->area_ha * FOCI_ACRES_PER_HECTARE, 2);
    foci_words_number(chance, 100 * place->chance, 0, "not defined");
    snprintf(centre, sizeof centre, "%.6f,\u00A0%.6f", place->centre.y, place->centre.x);
    foci_html_row(html, (const char *const[]){id, foci_seasons_class_word(seasons, place->code),
                                              hot.text ? hot.text : "no one season", american ? acres : hectares,
                                              american ? hectares : acres, chance, centre, NULL});
    foci_text_free(&hot);
}

void foci_report_places(foci_html *html, const foci_seasons *seasons) {
    const bool acres = foci_words_comparison_measures(seasons) == FOCI_ACRES;
    const char *const heads[] = {"Number",
                                 "Class",
                                 "Likely hot in",
                                 acres ? "Acres" : "Hectares",
                                 acres ? "Hectares" : "Acres",
                                 "Chance of the class, %",
                                 "Latitude, longitude",
                                 NULL};
    size_t count = 0;
    for (size_t i = 0; i < seasons->places.count; i++)
        count += seasons->places.items[i].id > 0;
    if (count == 0) {
        foci_html_element(html, "p", foci_seasons_no_places);
        return;
    }
    foci_html_table(html, foci_seasons_of_places, heads);
    for (size_t number = 1; number <= count; number++)
        for (size_t i = 0; i < seasons->places.count; i++)
            if (seasons->places.items[i].id == (int)number)
                place_row(html, seasons, &seasons->places.items[i]);
    foci_html_table_end(html);
}

static void surveys_table(foci_html *html, const foci_seasons *seasons) {
    static const char *const heads[] = {"Season", "Survey", "SHA-256 of its content", NULL};
    foci_html_table(html, foci_seasons_of_surveys, heads);
    for (size_t s = 0; s < seasons->count; s++)
        foci_html_row(html, (const char *const[]){foci_seasons_label(seasons, s), foci_seasons_survey_name(seasons, s),
                                                  seasons->keys[s], NULL});
    foci_html_table_end(html);
}

void foci_report_provenance(foci_html *html, const foci_seasons *seasons) {
    static const char *const heads[] = {"Season", "File", "Rows", "SHA-256", NULL};
    const foci_survey *last = &seasons->rounds[seasons->count - 1];
    char rows[FOCI_WORDS_SIZE];
    foci_page_job(html, &seasons->job);
    surveys_table(html, seasons);
    foci_html_table(html, foci_seasons_of_stops, heads);
    for (size_t s = 0; s < seasons->count; s++)
        for (size_t i = 0; i < seasons->rounds[s].stops.input_count; i++) {
            const foci_input *input = &seasons->rounds[s].stops.inputs[i];
            snprintf(rows, sizeof rows, "%zu", input->rows);
            foci_html_row(html, (const char *const[]){foci_seasons_label(seasons, s),
                                                      input->file ? foci_path_name(input->file) : "", rows,
                                                      input->sha256, NULL});
        }
    foci_html_table_end(html);
    foci_page_programs(html, seasons->made, last->work_crs, seasons->grid.cell);
}
