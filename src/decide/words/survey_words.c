#include "decide/words/survey_words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "fieldfoci/plain_number.h"

#define BLANK "\u00A0" /* where no line may end */
#define LIKELIER_THAN_NOT 0.5
#define SEPARATOR "  \u00B7  "

const char *foci_words_unspoken(const foci_survey *round) {
    for (size_t cell = 0; round->unspoken && cell < round->grid.columns * round->grid.rows; cell++)
        if (round->unspoken[cell])
            return "no stop near enough to speak for this ground";
    return NULL;
}

const char *foci_words_zone(const foci_survey *round, foci_zone_code code) {
    if (code == FOCI_ZONE_TREAT)
        return round->has_profile && round->profile.too_late_in_season ? "Plan for next season" : "Treat";
    return code == FOCI_ZONE_DIG ? "Dig and look first" : "Leave";
}

const char *foci_words_dig(foci_dig_why why) {
    static const char *const words[FOCI_DIG_END] = {
        [FOCI_DIG_CONFIRM] = "is it there?",
        [FOCI_DIG_HIGHEST] = "most likely",
        [FOCI_DIG_UNSURE] = "not sure",
        [FOCI_DIG_OUTSIDE] = "what is missed",
    };
    return words[why];
}

void foci_words_disease(char text[FOCI_WORDS_SIZE], const foci_profile *profile) {
    const char *title = profile->title && *profile->title ? profile->title : "disease";
    const size_t word = strcspn(title, " ");
    char first[FOCI_WORDS_SIZE];
    snprintf(first, sizeof first, "%.*s", (int)(word < 80 ? word : 80), title);
    const bool name = profile->cause && strstr(profile->cause, first);
    snprintf(text, FOCI_WORDS_SIZE, "%s", title);
    if (!name && islower((unsigned char)text[1]))
        text[0] = (char)tolower((unsigned char)text[0]);
}

/* "passing 10 %", "passing the threshold of 3.5". */
static void threshold_words(char text[FOCI_WORDS_SIZE], const foci_survey *round) {
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

static const char *disease_name(const foci_survey *round) {
    return round->has_profile && round->profile.title && *round->profile.title ? round->profile.title : "disease";
}

/* What lies inside the hotspots: the part of the field's disease, above that of a place with
 * nothing found, and of its ground. */
static double part_inside(double *ground, const foci_survey *round) {
    double inside = 0, all = 0, ground_inside = 0, ground_all = 0;
    for (size_t cell = 0; cell < round->grid.columns * round->grid.rows; cell++) {
        const double share = round->grid.share[cell];
        if (!(share > 0))
            continue;
        const double found = round->surface.estimate[cell] - round->readings.none;
        const double amount = found > 0 ? share * found : 0;
        const bool hot = round->hotspots.label[cell] > 0;
        all += amount;
        inside += hot ? amount : 0;
        ground_all += share;
        ground_inside += hot ? share : 0;
    }
    *ground = ground_all > 0 ? ground_inside / ground_all : 0;
    return all > 0 ? inside / all : 0;
}

static double highest_chance(const foci_survey *round) {
    double highest = 0;
    for (size_t cell = 0; cell < round->grid.columns * round->grid.rows; cell++)
        if (round->surface.chance[cell] > highest)
            highest = round->surface.chance[cell];
    return highest;
}

/* How much of the disease they hold is said only where it is more than their share of the ground, and where they are
 * likelier hot than not: a hotspot of a small chance holds nothing that is known. */
static char *words_hotspots(const foci_survey *round, foci_error *err) {
    char count[FOCI_WORDS_SIZE], area[FOCI_WORDS_SIZE], part[FOCI_WORDS_SIZE], disease[FOCI_WORDS_SIZE] = "disease";
    double ground = 0, hectares = 0;
    const double inside = part_inside(&ground, round);
    const bool one = round->hotspots.count == 1;
    for (size_t i = 0; i < round->hotspots.count; i++)
        hectares += round->hotspots.items[i].area_ha;
    count_words(count, round->hotspots.count);
    foci_words_area(area, hectares, foci_words_measures(round));
    if (round->has_profile)
        foci_words_disease(disease, &round->profile);
    if (!round->surface.chance || round->hotspots_options.treat_chance < LIKELIER_THAN_NOT || inside <= ground)
        return foci_format_text(err, "%s hotspot%s of %s, %s", count, one ? "" : "s", disease, area);
    snprintf(part, sizeof part, inside >= 0.995 ? "more than 99 %%" : "about %.0f %%", 100 * inside);
    return foci_format_text(err, "%s hotspot%s, %s, %s %s of the %s", count, one ? "" : "s", area,
                            one ? "holds" : "hold", part, disease);
}

static char *words_no_hotspot(const foci_survey *round, foci_error *err) {
    char limit[FOCI_WORDS_SIZE], area[FOCI_WORDS_SIZE];
    const double treat = round->hotspots_options.treat_chance;
    threshold_words(limit, round);
    foci_words_area(area, fmax(round->hotspots_options.least_area_ha, round->grid.cell * round->grid.cell / 10000),
                    foci_words_measures(round));
    if (!round->surface.chance && round->surface.max < round->hotspots_options.threshold)
        return foci_format_text(err, "No hotspot: nowhere does %s reach %s", foci_reading_word(round->stops.kind),
                                limit);
    if (round->surface.chance && highest_chance(round) < treat)
        return foci_format_text(err, "No hotspot: nowhere is the chance of passing %s at least %.3g %%", limit,
                                100 * treat);
    return foci_format_text(err, "No hotspot: no patch above %s is as large as %s", limit, area);
}

typedef struct {
    char mean[FOCI_WORDS_SIZE], low[FOCI_WORDS_SIZE], high[FOCI_WORDS_SIZE];
} average;

static average average_of(const foci_survey *round) {
    average made;
    foci_words_reading(made.mean, round, round->pattern.field.mean.value);
    foci_words_reading(made.low, round, round->pattern.field.mean.low);
    foci_words_reading(made.high, round, round->pattern.field.mean.high);
    return made;
}

/* Where to look first: the ground to dig, else the numbered places. */
static char *words_unclear(const foci_survey *round, foci_error *err) {
    const double hectares = round->zones.items[FOCI_ZONE_DIG].area_ha;
    char area[FOCI_WORDS_SIZE], first[FOCI_WORDS_SIZE + 40] = "";
    foci_words_area(area, hectares, foci_words_measures(round));
    if (hectares > 0)
        snprintf(first, sizeof first, ": look first in the Dig ground, %s", area);
    else if (round->digs.count > 0)
        snprintf(first, sizeof first, ": look first at the numbered places");
    return foci_format_text(err, "These stops cannot tell whether the disease sits in pockets%s", first);
}

/* Stops no more alike than chance would have it: the average says as much as the map. */
static char *words_no_pattern(const foci_survey *round, foci_error *err) {
    const average field = average_of(round);
    return foci_format_text(err, "No pattern found: use the field's average, %s (%s to %s)", field.mean, field.low,
                            field.high);
}

static char *words_too_few(const foci_survey *round, foci_error *err) {
    const average field = average_of(round);
    return foci_format_text(err, "Too few stops for a map (%zu of at least %d): the average is %s (%s to %s)",
                            round->readings.count, FOCI_STOPS_FOR_MAP, field.mean, field.low, field.high);
}

/* By verdict, where it is not that the disease is patchy. */
static char *(*const doubts[FOCI_VERDICT_END])(const foci_survey *, foci_error *) = {
    [FOCI_VERDICT_UNCLEAR] = words_unclear,
    [FOCI_VERDICT_NO_PATTERN] = words_no_pattern,
    [FOCI_VERDICT_TOO_FEW] = words_too_few,
};

char *foci_words_finding(const foci_survey *round, foci_error *err) {
    char mean[FOCI_WORDS_SIZE];
    if (round->readings.spread.max <= round->readings.none)
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

/* As one word: no line ends in it. */
static bool add_unbroken(foci_text *line, const char *text, foci_error *err) {
    for (const char *rest = text; *rest; rest += strcspn(rest, " ")) {
        const bool blank = *rest == ' ';
        rest += blank;
        if (!foci_text_add(line, err, "%s%.*s", blank ? BLANK : "", (int)strcspn(rest, " "), rest))
            return false;
    }
    return true;
}

static bool add_dates(foci_text *line, const foci_survey *round, foci_error *err) {
    char dates[FOCI_WORDS_SIZE];
    const char *season = round->season ? round->season : "";
    if (!round->first_date || !*round->first_date)
        return !*season || (foci_text_add(line, err, SEPARATOR "season ") && foci_text_add_name(line, season, err));
    foci_words_dates(dates, round->first_date, round->last_date);
    if (!foci_text_add(line, err, SEPARATOR "scouted" BLANK) || !add_unbroken(line, dates, err))
        return false;
    /* A season that is just the year stands in the date already. */
    return !*season || strncmp(round->last_date, season, strlen(season)) == 0 ||
           (foci_text_add(line, err, SEPARATOR "season ") && foci_text_add_name(line, season, err));
}

size_t foci_words_excluded(const foci_survey *round) {
    size_t count = 0;
    for (size_t i = 0; i < round->stops.count; i++)
        count += !round->stops.items[i].used && round->stops.items[i].pooled_into == FOCI_NOT_POOLED;
    return count;
}

char *foci_words_place(const foci_survey *round, foci_error *err) {
    foci_text line = {0};
    char area[FOCI_WORDS_SIZE];
    const bool named = round->field.name && *round->field.name;
    foci_words_area(area, round->field.area_ha, foci_words_measures(round));
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

char *foci_words_when(const foci_survey *round, foci_error *err) {
    foci_text line = {0};
    const size_t left_out = foci_words_excluded(round);
    bool ok = add_dates(&line, round, err) &&
              foci_text_add(&line, err, SEPARATOR "%zu" BLANK "stops used, none found at %zu" BLANK "of" BLANK "them",
                            round->readings.count, round->readings.spread.zeros);
    if (ok && left_out > 0)
        ok = foci_text_add(&line, err, ", %zu" BLANK "left" BLANK "out", left_out);
    if (!ok)
        foci_text_free(&line);
    else
        memmove(line.text, line.text + strlen(SEPARATOR), line.length - strlen(SEPARATOR) + 1);
    return line.text;
}

char *foci_words_facts(const foci_survey *round, foci_error *err) {
    char *place = foci_words_place(round, err), *when = place ? foci_words_when(round, err) : NULL;
    char *facts = when ? foci_format_text(err, "%s" SEPARATOR "%s", place, when) : NULL;
    free(place);
    free(when);
    return facts;
}
