#include "show/map_words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "fieldfoci/plain_number.h"

#define BLANK "\u00A0" /* where no line may end */
#define SEPARATOR "  \u00B7  "
#define FEET_PER_METRE (1 / 0.3048)

const char *foci_words_suffix(const foci_round *round) {
    return round->stops.unit && strncmp(round->stops.unit, "percent", 7) == 0 ? " %" : "";
}

void foci_words_reading(char text[FOCI_WORDS_SIZE], const foci_round *round, double value) {
    snprintf(text, FOCI_WORDS_SIZE, "%s%s", foci_number_plain(value, 3).text, foci_words_suffix(round));
}

void foci_words_area(char text[FOCI_WORDS_SIZE], double hectares) {
    const double acres = hectares * FOCI_ACRES_PER_HECTARE;
    if (acres < 0.05)
        snprintf(text, FOCI_WORDS_SIZE, "under 0.1 acre (%.2f ha)", hectares);
    else
        snprintf(text, FOCI_WORDS_SIZE, "%.1f acres (%.*f ha)", acres, acres < 0.5 ? 2 : 1, hectares);
}

void foci_words_area_columns(char acres[FOCI_WORDS_SIZE], char metric[FOCI_WORDS_SIZE], double hectares) {
    const double whole = hectares * FOCI_ACRES_PER_HECTARE;
    const bool little = hectares > 0 && whole < 0.05;
    snprintf(acres, FOCI_WORDS_SIZE, little ? "< 0.1" : "%.1f", whole);
    snprintf(metric, FOCI_WORDS_SIZE, "%.*f", hectares > 0 && whole < 0.5 ? 2 : 1, hectares);
}

/* "passing 10 %", "passing the threshold of 3.5". */
static void threshold_words(char text[FOCI_WORDS_SIZE], const foci_round *round) {
    const char *suffix = foci_words_suffix(round);
    snprintf(text, FOCI_WORDS_SIZE, "%s%s%s", *suffix ? "" : "the threshold of ",
             foci_number_plain(round->threshold, 3).text, suffix);
}

/* "Two"; figures above ten. */
static void count_words(char text[FOCI_WORDS_SIZE], size_t count) {
    static const char *const words[] = {"No",  "One",   "Two",   "Three", "Four", "Five",
                                        "Six", "Seven", "Eight", "Nine",  "Ten"};
    if (count < sizeof words / sizeof *words)
        snprintf(text, FOCI_WORDS_SIZE, "%s", words[count]);
    else
        snprintf(text, FOCI_WORDS_SIZE, "%zu", count);
}

static const char *disease_name(const foci_round *round) {
    return round->has_profile && round->profile.title && *round->profile.title ? round->profile.title : "disease";
}

/* Part of the field's expected severity, above that of a place with nothing found, that lies inside the hotspots. */
static double part_inside(const foci_round *round) {
    double inside = 0, all = 0;
    for (size_t cell = 0; cell < round->grid.columns * round->grid.rows; cell++) {
        const double found = round->surface.estimate[cell] - round->readings.none;
        if (!(round->grid.share[cell] > 0) || !(found > 0))
            continue;
        double amount = round->grid.share[cell] * found;
        all += amount;
        if (round->hotspots.label[cell] > 0)
            inside += amount;
    }
    return all > 0 ? inside / all : 0;
}

static double highest_chance(const foci_round *round) {
    double highest = 0;
    for (size_t cell = 0; cell < round->grid.columns * round->grid.rows; cell++)
        if (round->surface.chance[cell] > highest)
            highest = round->surface.chance[cell];
    return highest;
}

static char *words_hotspots(const foci_round *round, foci_error *err) {
    char count[FOCI_WORDS_SIZE], area[FOCI_WORDS_SIZE], part[FOCI_WORDS_SIZE] = "most of";
    const double inside = part_inside(round);
    const bool one = round->hotspots.count == 1;
    double hectares = 0;
    for (size_t i = 0; i < round->hotspots.count; i++)
        hectares += round->hotspots.items[i].area_ha;
    count_words(count, round->hotspots.count);
    foci_words_area(area, hectares);
    if (inside >= 0.995)
        snprintf(part, sizeof part, "all of");
    else if (inside < 0.5)
        snprintf(part, sizeof part, "about %.0f %% of", 100 * inside);
    return foci_format_text(err, "%s hotspot%s, %s, %s %s the %s", count, one ? "" : "s", area, one ? "holds" : "hold",
                            part, disease_name(round));
}

static char *words_no_hotspot(const foci_round *round, foci_error *err) {
    char limit[FOCI_WORDS_SIZE], area[FOCI_WORDS_SIZE];
    const double treat = round->hotspots_options.treat_chance;
    threshold_words(limit, round);
    foci_words_area(area, fmax(round->hotspots_options.least_area_ha, round->grid.cell * round->grid.cell / 10000));
    if (!round->surface.chance && round->surface.max < round->hotspots_options.threshold)
        return foci_format_text(err, "No hotspot: nowhere does severity reach %s", limit);
    if (round->surface.chance && highest_chance(round) < treat)
        return foci_format_text(err, "No hotspot: nowhere is the chance of passing %s at least %.3g %%", limit,
                                100 * treat);
    return foci_format_text(err, "No hotspot: no patch above %s is as large as %s", limit, area);
}

typedef struct {
    char mean[FOCI_WORDS_SIZE], low[FOCI_WORDS_SIZE], high[FOCI_WORDS_SIZE];
} average;

static average average_of(const foci_round *round) {
    average made;
    foci_words_reading(made.mean, round, round->pattern.field.mean);
    foci_words_reading(made.low, round, round->pattern.field.low);
    foci_words_reading(made.high, round, round->pattern.field.high);
    return made;
}

/* Where to look first: the ground to dig, else the numbered places. */
static char *words_unclear(const foci_round *round, foci_error *err) {
    const double hectares = round->zones.items[FOCI_ZONE_DIG].area_ha;
    char area[FOCI_WORDS_SIZE], first[FOCI_WORDS_SIZE + 40] = "";
    foci_words_area(area, hectares);
    if (hectares > 0)
        snprintf(first, sizeof first, ": look first in the Dig ground, %s", area);
    else if (round->digs.count > 0)
        snprintf(first, sizeof first, ": look first at the numbered places");
    return foci_format_text(err, "These stops cannot tell whether the disease sits in pockets%s", first);
}

/* Stops no more alike than chance would have it: the average says as much as the map. */
static char *words_no_pattern(const foci_round *round, foci_error *err) {
    const average field = average_of(round);
    return foci_format_text(err, "No pattern found: use the field's average, %s (%s to %s)", field.mean, field.low,
                            field.high);
}

static char *words_too_few(const foci_round *round, foci_error *err) {
    const average field = average_of(round);
    return foci_format_text(err, "Too few stops for a map (%zu of at least %d): the average is %s (%s to %s)",
                            round->readings.count, FOCI_STOPS_FOR_MAP, field.mean, field.low, field.high);
}

/* By verdict, where it is not that the disease is patchy. */
static char *(*const doubts[FOCI_VERDICT_END])(const foci_round *, foci_error *) = {
    [FOCI_VERDICT_UNCLEAR] = words_unclear,
    [FOCI_VERDICT_NO_PATTERN] = words_no_pattern,
    [FOCI_VERDICT_TOO_FEW] = words_too_few,
};

char *foci_words_finding(const foci_round *round, foci_error *err) {
    char mean[FOCI_WORDS_SIZE];
    if (round->spread.max <= round->readings.none)
        return foci_format_text(err, "No disease found at %zu stop%s", round->readings.count,
                                round->readings.count == 1 ? "" : "s");
    const foci_verdict verdict = round->pattern.verdict;
    if (verdict == FOCI_VERDICT_TOO_FEW || verdict == FOCI_VERDICT_NO_PATTERN)
        return doubts[verdict](round, err);
    if (!round->has_zones) {
        foci_words_reading(mean, round, round->surface.mean);
        const bool percent = *foci_words_suffix(round);
        char *text = foci_format_text(err, "%s averages %s%s%s over the field: no hotspots are drawn",
                                      disease_name(round), mean, percent ? "" : " ", percent ? "" : round->stops.unit);
        if (text)
            *text = (char)toupper((unsigned char)*text);
        return text;
    }
    if (verdict == FOCI_VERDICT_UNCLEAR)
        return doubts[verdict](round, err);
    return round->hotspots.count > 0 ? words_hotspots(round, err) : words_no_hotspot(round, err);
}

/* "2025-08-12" to "12 August 2025"; other texts as they are. */
static void date_words(char text[FOCI_WORDS_SIZE], const char *date) {
    static const char *const months[] = {"January", "February", "March",     "April",   "May",      "June",
                                         "July",    "August",   "September", "October", "November", "December"};
    const long month = strlen(date) == 10 && date[4] == '-' && date[7] == '-' ? strtol(date + 5, NULL, 10) : 0;
    if (month < 1 || month > 12)
        snprintf(text, FOCI_WORDS_SIZE, "%s", date);
    else
        snprintf(text, FOCI_WORDS_SIZE, "%ld" BLANK "%s" BLANK "%.4s", strtol(date + 8, NULL, 10), months[month - 1],
                 date);
}

/* "11 to 12 August 2025": what both dates share at their end is said once. */
static void dates_words(char text[2 * FOCI_WORDS_SIZE], const char *first, const char *last) {
    char from[FOCI_WORDS_SIZE], to[FOCI_WORDS_SIZE];
    date_words(from, first);
    date_words(to, last);
    if (strcmp(from, to) == 0)
        snprintf(text, 2 * FOCI_WORDS_SIZE, "%s", to);
    else if (strlen(first) == 10 && strncmp(first, last, 7) == 0 && strstr(from, BLANK))
        snprintf(text, 2 * FOCI_WORDS_SIZE, "%.*s" BLANK "to" BLANK "%s", (int)(strstr(from, BLANK) - from), from, to);
    else
        snprintf(text, 2 * FOCI_WORDS_SIZE, "%s to %s", from, to);
}

static bool add_dates(foci_text *line, const foci_round *round, foci_error *err) {
    char dates[2 * FOCI_WORDS_SIZE];
    const char *season = round->season ? round->season : "";
    if (!round->first_date || !*round->first_date)
        return !*season || (foci_text_add(line, err, SEPARATOR "season ") && foci_text_add_name(line, season, err));
    dates_words(dates, round->first_date, round->last_date);
    if (!foci_text_add(line, err, SEPARATOR "scouted" BLANK "%s", dates))
        return false;
    /* A season that is just the year stands in the date already. */
    return !*season || strncmp(round->last_date, season, strlen(season)) == 0 ||
           (foci_text_add(line, err, SEPARATOR "season ") && foci_text_add_name(line, season, err));
}

size_t foci_words_left_out(const foci_round *round) {
    size_t count = 0;
    for (size_t i = 0; i < round->stops.count; i++)
        count += !round->stops.items[i].used && round->stops.items[i].pooled_into == FOCI_NOT_POOLED;
    return count;
}

char *foci_words_place(const foci_round *round, foci_error *err) {
    foci_text line = {0};
    char area[FOCI_WORDS_SIZE];
    const bool named = round->field.name && *round->field.name;
    foci_words_area(area, round->field.area_ha);
    bool ok = foci_text_add_name(&line, named ? round->field.name : "The field", err) &&
              foci_text_add(&line, err, ", %s", area);
    if (ok && round->has_profile)
        ok = foci_text_add(&line, err, SEPARATOR) && foci_text_add_name(&line, disease_name(round), err) &&
             foci_text_add(&line, err, " (") && foci_text_add_name(&line, round->profile.cause, err) &&
             foci_text_add(&line, err, ")");
    if (ok && round->rated && *round->rated)
        ok = foci_text_add(&line, err, ", rated %s", round->rated);
    if (!ok)
        foci_text_free(&line);
    return line.text;
}

char *foci_words_when(const foci_round *round, foci_error *err) {
    foci_text line = {0};
    const size_t left_out = foci_words_left_out(round);
    bool ok = add_dates(&line, round, err) &&
              foci_text_add(&line, err, SEPARATOR "%zu" BLANK "stops used, none found at %zu" BLANK "of" BLANK "them",
                            round->readings.count, round->spread.zeros);
    if (ok && left_out > 0)
        ok = foci_text_add(&line, err, ", %zu" BLANK "left" BLANK "out", left_out);
    if (!ok)
        foci_text_free(&line);
    else
        memmove(line.text, line.text + strlen(SEPARATOR), line.length - strlen(SEPARATOR) + 1);
    return line.text;
}

char *foci_words_facts(const foci_round *round, foci_error *err) {
    char *place = foci_words_place(round, err), *when = place ? foci_words_when(round, err) : NULL;
    char *facts = when ? foci_format_text(err, "%s" SEPARATOR "%s", place, when) : NULL;
    free(place);
    free(when);
    return facts;
}

void foci_words_length(char text[FOCI_WORDS_SIZE], double metres) {
    double shown[] = {metres, metres * FEET_PER_METRE};
    for (int i = 0; i < 2; i++) {
        const double step = shown[i] > 0 ? pow(10, floor(log10(shown[i])) - 1) : 1;
        shown[i] = step * round(shown[i] / step);
    }
    snprintf(text, FOCI_WORDS_SIZE, "%.10g m (%.10g ft)", shown[0], shown[1]);
}

static bool add_model(foci_text *line, const foci_round *round, foci_error *err) {
    const foci_variogram *model = &round->model.facts.variogram;
    char reach[FOCI_WORDS_SIZE];
    if (!model->kind)
        return true;
    if (model->partial_sill <= 0)
        return foci_text_add(line, err, " Neighboring stops are no more alike than distant ones (%s model).",
                             model->kind->name);
    foci_words_length(reach, foci_variogram_practical_range(model));
    return foci_text_add(line, err, " Stops up to about %s from each other are alike (%s model).", reach,
                         model->kind->name);
}

#define LEAST_ACRES 0.05 /* to be told in acres at all */

/* Beside the outlines: ground outside of them passes too, here and there, and some inside does not. */
static bool add_expected(foci_text *line, const foci_round *round, foci_error *err) {
    char area[FOCI_WORDS_SIZE];
    const double hectares = round->surface.over * round->field.area_ha;
    if (!round->surface.chance || hectares * FOCI_ACRES_PER_HECTARE < LEAST_ACRES)
        return true;
    foci_words_area(area, hectares);
    return foci_text_add(line, err, " With the chance counted everywhere%s, %s are expected to pass the threshold.",
                         round->hotspots.count > 0 ? ", not only in the hotspots" : "", area);
}

char *foci_words_made(const foci_round *round, foci_error *err) {
    foci_text line = {0};
    char cell[FOCI_WORDS_SIZE], spacing[FOCI_WORDS_SIZE];
    if (!round->surface.estimate)
        return foci_format_text(err, "How made: the readings of %zu stops as they are. Made %.10s by fieldfoci %s.",
                                round->readings.count, round->made, FOCI_VERSION);
    foci_words_length(cell, round->grid.cell);
    foci_words_length(spacing, round->spacing);
    bool ok =
        foci_text_add(&line, err, "How made: %s of %zu stops", round->method.method->title, round->readings.count);
    if (ok && !isnan(round->spacing))
        ok = foci_text_add(&line, err, ", about %s apart", spacing);
    ok = ok && foci_text_add(&line, err, ", in cells of %s.", cell) && add_model(&line, round, err);
    if (ok && round->earlier.words)
        ok = foci_text_add(&line, err, " %s", round->earlier.words);
    ok = ok && add_expected(&line, round, err);
    if (ok && round->has_cross_check)
        ok = foci_text_add(&line, err, " Stops guessed from the others are missed by %s%s as a rule.",
                           foci_number_plain(round->cross_check.rmse, 2).text, foci_words_suffix(round));
    if (ok && round->has_cross_check && !isnan(round->cross_check.coverage_90))
        ok = foci_text_add(&line, err, " Left-out stops fell inside their 90 %% bounds %.0f times in 100.",
                           100 * round->cross_check.coverage_90);
    ok = ok && foci_text_add(&line, err, " Made %.10s by fieldfoci %s.", round->made, FOCI_VERSION);
    if (!ok)
        foci_text_free(&line);
    return line.text;
}

char *foci_words_economics(const foci_round *round, foci_error *err) {
    const foci_economics *net = &round->economics;
    if (!round->has_economics)
        return foci_copy_text("", err);
    return foci_format_text(err,
                            "Expected net per hectare of the field (per acre): treating the zones %.2f (%.2f), the "
                            "whole field %.2f (%.2f), nothing 0. It assumes that treating costs %.4g a hectare and "
                            "avoids a loss of %.4g a hectare where the threshold is passed, and none elsewhere.",
                            net->zones.net_share, net->zones.net_share / FOCI_ACRES_PER_HECTARE, net->whole.net_share,
                            net->whole.net_share / FOCI_ACRES_PER_HECTARE, round->economics_options.cost,
                            round->economics_options.loss);
}

char *foci_words_even_so(const foci_round *round, foci_error *err) {
    foci_text line = {0};
    bool ok = foci_text_add(&line, err, "%s", round->even_so.count > 0 ? "Drawn even so, for a stated reason:" : "");
    for (size_t i = 0; i < round->even_so.count; i++)
        ok = ok && foci_text_add(&line, err, " %s", round->even_so.items[i]);
    if (!ok)
        foci_text_free(&line);
    return line.text;
}

char *foci_words_no_chance(const foci_round *round, foci_error *err) {
    if (isnan(round->threshold))
        return foci_copy_text("No threshold was stated, so there is no chance to show.", err);
    char *text = foci_format_text(err,
                                  "%s does not tell how sure it is, so there is no chance to show. Hotspots are the "
                                  "places where the estimate itself is at or above the threshold.",
                                  round->method.method->title);
    if (text)
        *text = (char)toupper((unsigned char)*text);
    return text;
}

char *foci_words_caution(const foci_round *round, foci_error *err) {
    return foci_format_text(err,
                            "An estimate from %zu stops, not a diagnosis and not a recommendation. Dig and look before "
                            "anyone treats. The label is the law: follow it, local rules and licensed applicators.",
                            round->readings.count);
}
