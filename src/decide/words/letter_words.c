#include "decide/words/letter_words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/memory.h"
#include "base/text.h"
#include "decide/words/survey_words.h"
#include "decide/words/fixed_words.h"

enum { SPOTS_MOST = 5, LOOK_ALIKES_MOST = 3, DAYS = 7 };

#define LOOK_WITHIN "a week" /* DAYS; common practice, no source */

const char *foci_letter_heading(foci_letter_part part) {
    static const char *const headings[FOCI_LETTER_PARTS] = {
        [FOCI_LETTER_FOUND] = "What was found",
        [FOCI_LETTER_LOOK] = "What to look at first, and by when",
        [FOCI_LETTER_NOT] = "What not to do",
        [FOCI_LETTER_CAUTIONS] = FOCI_BEFORE_ANYONE_ACTS,
    };
    return headings[part];
}

void foci_letter_free(foci_letter *letter) {
    free(letter->about);
    free(letter->finding);
    for (int part = 0; part < FOCI_LETTER_PARTS; part++)
        foci_sentences_free(&letter->parts[part]);
    *letter = (foci_letter){0};
}

/* ---- where, and how sure ---- */

/* In which part of the field, as the map shows it; north is up but for a degree or so. */
static const char *where_in(const foci_survey *round, const foci_hotspot *spot) {
    static const char *const parts[3][3] = {{"in the southwest", "in the south", "in the southeast"},
                                            {"in the west", "near the middle", "in the east"},
                                            {"in the northwest", "in the north", "in the northeast"}};
    const foci_box box = foci_multipolygon_box(&round->field.shape);
    const foci_point at = foci_multipolygon_centroid(&spot->shape);
    const double east = (at.x - box.west) / (box.east - box.west), north = (at.y - box.south) / (box.north - box.south);
    return parts[north > 2.0 / 3 ? 2 : north > 1.0 / 3 ? 1 : 0][east > 2.0 / 3 ? 2 : east > 1.0 / 3 ? 1 : 0];
}

static const char *how_sure(double chance) {
    return chance > 0.9    ? "nearly certain"
           : chance > 0.75 ? "very likely"
           : chance > 0.6  ? "likely"
                           : "more likely than not";
}

/* ---- what was found ---- */

static bool say_looked(foci_letter *letter, const foci_survey *round, foci_error *err) {
    foci_sentences *said = &letter->parts[FOCI_LETTER_FOUND];
    char dates[FOCI_WORDS_SIZE], average[FOCI_WORDS_SIZE + 8], unit[2 * FOCI_WORDS_SIZE];
    const bool dated = round->first_date && *round->first_date;
    const double mean = round->surface.estimate ? round->surface.mean : round->readings.spread.mean;
    if (*foci_words_suffix(round))
        snprintf(unit, sizeof unit, "%s", round->stops.unit + strlen("percent"));
    else
        snprintf(unit, sizeof unit, " (%s)", round->stops.unit);
    if (dated)
        foci_words_dates(dates, round->first_date, round->last_date);
    foci_words_rough_reading(average, round, mean);
    if (!foci_sentences_add(said, err, "We looked at %zu places in the field%s%s. At %zu of them nothing was found.",
                            round->readings.count, dated ? " on " : "", dated ? dates : "",
                            round->readings.spread.zeros))
        return false;
    return round->readings.spread.max <= round->readings.none
               ? foci_sentences_add(said, err,
                                    "That does not prove that the field is free of it: nobody looked between them.")
               : foci_sentences_add(said, err, "The average over the field is %s%s.", average, unit);
}

static bool say_spot(foci_sentences *said, const foci_survey *round, const foci_hotspot *spot, foci_error *err) {
    char area[FOCI_WORDS_SIZE + 8], reading[FOCI_WORDS_SIZE + 8], limit[FOCI_WORDS_SIZE];
    foci_words_rough_area(area, spot->area_ha, foci_words_measures(round));
    foci_words_rough_reading(reading, round, spot->mean);
    foci_words_reading(limit, round, round->threshold);
    if (isnan(spot->chance))
        return foci_sentences_add(said, err, "Hotspot %d, %s: %s, with %s there.", spot->id, where_in(round, spot),
                                  area, reading);
    return foci_sentences_add(said, err, "Hotspot %d, %s: %s, with %s there. It is %s that it passes %s.", spot->id,
                              where_in(round, spot), area, reading, how_sure(spot->chance), limit);
}

static bool say_spots(foci_letter *letter, const foci_survey *round, foci_error *err) {
    foci_sentences *said = &letter->parts[FOCI_LETTER_FOUND];
    const size_t count = round->hotspots.count, shown = count > SPOTS_MOST ? SPOTS_MOST : count;
    bool ok = true;
    for (size_t i = 0; ok && i < shown; i++)
        ok = say_spot(said, round, &round->hotspots.items[i], err);
    if (ok && count > shown)
        ok = foci_sentences_add(said, err, "The map shows %zu smaller ones.", count - shown);
    return ok && (round->has_zones || !round->no_zones_why || !*round->no_zones_why ||
                  foci_sentences_add(said, err, "%s", round->no_zones_why));
}

/* ---- what to look at first, and by when ---- */

/* So many days after the last stop's date; false where there is none. */
static bool find_day(char text[FOCI_WORDS_SIZE], const foci_survey *round) {
    struct tm day = {.tm_isdst = 0};
    char iso[16];
    if (!round->last_date || sscanf(round->last_date, "%d-%d-%d", &day.tm_year, &day.tm_mon, &day.tm_mday) != 3)
        return false;
    day.tm_year -= 1900;
    day.tm_mon -= 1;
    day.tm_mday += DAYS;
    const time_t moment = timegm(&day);
    if (!gmtime_r(&moment, &day) || strftime(iso, sizeof iso, "%Y-%m-%d", &day) == 0)
        return false;
    foci_words_date(text, iso);
    return true;
}

static bool say_digs(foci_sentences *said, const foci_survey *round, foci_error *err) {
    if (round->digs.count == 0)
        return foci_sentences_add(
            said, err, "Look again at places between the ones we saw, best at 20 or more all over the field.");
    return foci_sentences_add(
        said, err,
        "Start with the %zu numbered places on the map. They stand in walking order on its second page, and "
        "digs.gpx takes a phone there. Dig, look, and write down what you find, also where it is nothing.",
        round->digs.count);
}

static bool say_when(foci_sentences *said, const foci_survey *round, foci_error *err) {
    char day[FOCI_WORDS_SIZE];
    if (round->has_profile && round->profile.too_late_in_season)
        return foci_sentences_add(said, err, "This season there is no hurry.%s%s%s",
                                  *round->profile.next_season ? " For the next one plan: " : "",
                                  round->profile.next_season, *round->profile.next_season ? "." : "");
    return find_day(day, round)
               ? foci_sentences_add(said, err, "Go by %s: later the field may look different.", day)
               : foci_sentences_add(said, err,
                                    "Go within " LOOK_WITHIN " of our walk: later the field may look different.");
}

static bool say_disease(foci_sentences *said, const foci_survey *round, foci_error *err) {
    const foci_profile *profile = &round->profile;
    bool ok = true;
    if (!round->has_profile)
        return true;
    if (profile->laboratory)
        ok = foci_sentences_add(said, err, "Send samples to a diagnostic clinic before you decide: %s",
                                profile->laboratory_why.text);
    for (size_t i = 0; ok && i < profile->look_alike_count && i < LOOK_ALIKES_MOST; i++)
        ok = foci_sentences_add(said, err, "Do not mistake it: %s", profile->look_alikes[i].text);
    return ok;
}

/* ---- what not to do ---- */

static bool say_not(foci_sentences *said, const foci_survey *round, foci_error *err) {
    static const char *const single[FOCI_VERDICT_END] = {
        [FOCI_VERDICT_UNCLEAR] = "Do not treat single spots: these stops cannot tell whether there are any.",
        [FOCI_VERDICT_NO_PATTERN] =
            "Do not treat single spots: no pattern was found, and the field's average says as much as the map.",
        [FOCI_VERDICT_TOO_FEW] = "Do not treat single spots: there are too few stops for a map.",
    };
    const char *spots = round->readings.spread.max > round->readings.none ? single[round->pattern.verdict] : NULL;
    bool ok = foci_sentences_add(
        said, err, "Do not spray by this letter or the map alone. It is an estimate from %zu stops, not a diagnosis.",
        round->readings.count);
    if (ok && round->has_profile && round->profile.too_late_in_season)
        ok = foci_sentences_add(said, err, "Do not treat plants that show it: for them it is too late.");
    if (ok && spots)
        ok = foci_sentences_add(said, err, "%s", spots);
    if (ok && round->gaps.share > 0.005 && round->surface.estimate)
        ok = foci_sentences_add(
            said, err, "Do not go by the map where it is hatched: no stop was near enough to speak for that ground.");
    return ok;
}

/* ---- the whole ---- */

static bool say_all(foci_sentences *said, const char *first, const foci_sentences *sentences, foci_error *err) {
    bool ok = true;
    for (size_t i = 0; ok && i < sentences->count; i++)
        ok = foci_sentences_add(said, err, "%s%s", first, sentences->items[i]);
    return ok;
}

static bool say_cautions(foci_sentences *said, const foci_survey *round, foci_error *err) {
    return say_all(said, "Drawn even so, for a stated reason: ", &round->even_so, err) &&
           say_all(said, "", &round->cautions, err) && say_all(said, "", &round->warnings, err);
}

bool foci_letter_make(foci_letter *out, const foci_survey *round, foci_error *err) {
    foci_letter letter = {0};
    foci_sentences *look = &letter.parts[FOCI_LETTER_LOOK];
    const bool ok = (letter.about = foci_words_place(round, err)) &&
                    (letter.finding = foci_words_finding(round, err)) && say_looked(&letter, round, err) &&
                    say_spots(&letter, round, err) && say_digs(look, round, err) && say_when(look, round, err) &&
                    say_disease(look, round, err) && say_not(&letter.parts[FOCI_LETTER_NOT], round, err) &&
                    say_cautions(&letter.parts[FOCI_LETTER_CAUTIONS], round, err);
    if (ok)
        *out = letter;
    else
        foci_letter_free(&letter);
    return ok;
}
