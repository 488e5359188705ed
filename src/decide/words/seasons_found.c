/* A comparison in sentences, the headline first. */
#include "decide/words/seasons_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "decide/words/cautions.h"

enum { P_SIZE = 32 };

/* ---- numbers ---- */

/* "4.7 acres (2.2 to 7.8)" */
static void area_words(char text[FOCI_WORDS_SIZE], const foci_seasons *seasons, const foci_estimate *area) {
    foci_words_area_range(text, area->value, area->low, area->high,
                          foci_paper_measures(seasons->rounds[seasons->count - 1].paper));
}

/* How often chance alone would give as much: "less than 1 chance in 1,000", "about 1 chance in 77", "about 43 chances
 * in 100". P itself stands in the report and in seasons.json. */
static void chance_words(char text[P_SIZE], double p) {
    const double times = 1 / p;
    if (p < 0.001)
        snprintf(text, P_SIZE, "less than 1 chance in 1,000");
    else if (p < 0.1)
        snprintf(text, P_SIZE, "about 1 chance in %.0f", times < 100 ? times : 10 * round(times / 10));
    else
        snprintf(text, P_SIZE, "about %.0f chances in 100", 100 * p);
}

/* ---- pairs ---- */

/* By verdict: the headline, and how several pairs of it are counted. */
static const struct {
    const char *verdict;
    const char *headline, *counted;
    bool scout_again; /* more of the same would tell more */
} verdicts[] = {
    {"came back", "Hotspots came back in the same places more than chance would give", "came back", false},
    {"some sign", "There is some sign that hotspots came back in the same places", "show some sign", true},
    {"cannot tell", "Whether hotspots came back in the same places cannot be told from chance",
     "cannot be told from chance", true},
    {"not hot anywhere", "One season has nothing near its threshold, so no hotspots could come back",
     "have a season with nothing near its threshold", false},
    {"no comparison", NULL, "cannot be compared", false},
};

enum { VERDICTS = sizeof verdicts / sizeof *verdicts };

static size_t verdict_of(const foci_season_pair *pair) {
    size_t v = 0;
    while (v + 1 < VERDICTS && strcmp(verdicts[v].verdict, pair->verdict) != 0)
        v++;
    return v;
}

/* The last two seasons that were compared; NULL where none were. */
static const foci_season_pair *latest_pair(const foci_persistence *persistence) {
    const foci_season_pair *latest = NULL;
    for (size_t i = 0; i < persistence->pair_count; i++) {
        const foci_season_pair *pair = &persistence->pairs[i];
        if (isnan(pair->p))
            continue;
        if (!latest || pair->second > latest->second || (pair->second == latest->second && pair->first > latest->first))
            latest = pair;
    }
    return latest;
}

static bool say_overlap(foci_seasons *seasons, const foci_season_pair *pair, foci_error *err) {
    char both[FOCI_WORDS_SIZE], chance[FOCI_WORDS_SIZE];
    if (isnan(pair->both.value))
        return true;
    area_words(both, seasons, &pair->both);
    area_words(chance, seasons, &pair->by_chance);
    if (!foci_sentences_add(&seasons->sentences, err, "About %s were hot in both seasons; by chance %s.", both, chance))
        return false;
    return !isnan(pair->jaccard) ||
           foci_sentences_add(&seasons->sentences, err,
                              "So little was hot in either season that a share in common is not defined.");
}

static bool say_latest(foci_seasons *seasons, const foci_season_pair *pair, foci_error *err) {
    const size_t verdict = verdict_of(pair);
    char chance[P_SIZE];
    chance_words(chance, pair->p);
    return foci_sentences_add(&seasons->sentences, err, "%s (%s and %s: %s)", verdicts[verdict].headline,
                              foci_seasons_label(seasons, pair->first), foci_seasons_label(seasons, pair->second),
                              chance) &&
           say_overlap(seasons, pair, err) &&
           (!verdicts[verdict].scout_again ||
            foci_sentences_add(&seasons->sentences, err,
                               "Scout the same stops again next season: the same places seen again tell most of "
                               "whether hotspots come back."));
}

static bool say_not_compared(foci_seasons *seasons, foci_error *err) {
    for (size_t i = 0; i < seasons->persistence.pair_count; i++) {
        const foci_season_pair *pair = &seasons->persistence.pairs[i];
        if (pair->why_not &&
            !foci_sentences_add(&seasons->sentences, err, "%s %s and %s, because of %s: %s.",
                                isnan(pair->p) ? "No comparison of" : "No areas for",
                                foci_seasons_label(seasons, pair->first), foci_seasons_label(seasons, pair->second),
                                foci_seasons_label(seasons, pair->reason), pair->why_not))
            return false;
    }
    return true;
}

/* "Of 6 pairs of seasons 2 came back, 4 cannot be told from chance." */
static bool count_pairs(foci_seasons *seasons, foci_error *err) {
    size_t counts[VERDICTS] = {0}, used = 0;
    char list[200] = "";
    if (seasons->persistence.pair_count < 2)
        return true;
    for (size_t i = 0; i < seasons->persistence.pair_count; i++)
        counts[verdict_of(&seasons->persistence.pairs[i])]++;
    for (size_t v = 0; v < VERDICTS; v++)
        if (counts[v])
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%zu %s", used ? ", " : "", counts[v],
                                     verdicts[v].counted);
    return foci_sentences_add(&seasons->sentences, err, "Of %zu pairs of seasons %s.", seasons->persistence.pair_count,
                              list);
}

/* ---- classes ---- */

/* The compared season before `end`. */
static size_t compared_before(const foci_seasons *seasons, size_t end) {
    while (end > 0 && !seasons->persistence.chance[end - 1])
        end--;
    return end - 1;
}

static bool say_new_and_gone(foci_seasons *seasons, foci_error *err) {
    const foci_persistence *persistence = &seasons->persistence;
    const size_t last = compared_before(seasons, seasons->count), before = compared_before(seasons, last);
    char fresh[FOCI_WORDS_SIZE], gone[FOCI_WORDS_SIZE];
    area_words(fresh, seasons, &persistence->classes[FOCI_CLASS_NEW]);
    area_words(gone, seasons, &persistence->classes[FOCI_CLASS_GONE]);
    if (persistence->compared == 2)
        return foci_sentences_add(&seasons->sentences, err,
                                  "About %s were hot in %s only (new), about %s in %s only (gone).", fresh,
                                  foci_seasons_label(seasons, last), gone, foci_seasons_label(seasons, before));
    return foci_sentences_add(&seasons->sentences, err,
                              "About %s were hot in %s and not before (new), about %s before, not often, and not in %s "
                              "(gone).",
                              fresh, foci_seasons_label(seasons, last), gone, foci_seasons_label(seasons, last));
}

static bool say_classes(foci_seasons *seasons, foci_error *err) {
    const foci_persistence *persistence = &seasons->persistence;
    char always[FOCI_WORDS_SIZE], often[FOCI_WORDS_SIZE], unsure[FOCI_WORDS_SIZE];
    area_words(always, seasons, &persistence->classes[FOCI_CLASS_ALWAYS]);
    area_words(often, seasons, &persistence->classes[FOCI_CLASS_OFTEN]);
    foci_words_area(unsure, seasons->places.unsure_ha, foci_paper_measures(seasons->rounds[seasons->count - 1].paper));
    if (persistence->compared > 2 &&
        !foci_sentences_add(&seasons->sentences, err,
                            "About %s were hot in all %zu seasons that were compared, about %s often.", always,
                            persistence->compared, often))
        return false;
    return say_new_and_gone(seasons, err) &&
           (!(seasons->places.unsure_ha > 0) ||
            foci_sentences_add(
                &seasons->sentences, err,
                "On the map %s are unsure: there no class is likelier than not. The areas above count every place by "
                "its chance, so a class holds more than its color shows.",
                unsure)) &&
           foci_sentences_add(&seasons->sentences, err,
                              "Areas and classes are of the seasons read together; each season's own map is of its own "
                              "stops alone.");
}

/* ---- cautions ---- */

/* From the limits of the method (docs/seasons.md); rotation and the wet corner are common practice, no source. */
static bool say_cautions(foci_seasons *seasons, foci_error *err) {
    const foci_survey *newest = &seasons->rounds[seasons->count - 1];
    size_t stops = 0;
    for (size_t s = 0; s < seasons->count; s++)
        stops += seasons->rounds[s].readings.count;
    return foci_cautions_standing(&seasons->cautions, newest->has_profile ? &newest->profile : NULL, err) &&
           foci_sentences_add(&seasons->cautions, err,
                              "An estimate from %zu stops of %zu seasons, uncertain between them: not a diagnosis and "
                              "not a recommendation. Local extension advice prevails.",
                              stops, seasons->count) &&
           (seasons->count > 2 ||
            foci_sentences_add(&seasons->cautions, err, "These are two seasons only: a third may look different.")) &&
           foci_sentences_add(
               &seasons->cautions, err,
               "Cannot tell is not no: two seasons of 40 to 150 stops often cannot show hotspots that do "
               "come back.") &&
           foci_sentences_add(&seasons->cautions, err,
                              "A wet corner comes back too: whatever stays in the field (soil, drainage, edges, where "
                              "the scout walks) looks like disease that comes back.") &&
           foci_sentences_add(
               &seasons->cautions, err,
               "Mind the rotation: what grew between the seasons changes what is seen, and a crop that is "
               "no host hides what is still in the soil.");
}

/* ---- warnings ---- */

bool foci_seasons_warn_label(foci_seasons *seasons, const char *first, const char *second, const char *label,
                             foci_error *err) {
    return foci_sentences_add(&seasons->warnings, err,
                              "%s and %s are both labeled %s: rounds of one season tell how disease went on, not "
                              "whether it comes back.",
                              first, second, label);
}

bool foci_seasons_warn_order(foci_seasons *seasons, const char *first, const char *first_date, const char *second,
                             const char *second_date, foci_error *err) {
    return foci_sentences_add(&seasons->warnings, err,
                              "%s is dated %s, after %s (%s): new and gone go by the order that was given.", first,
                              first_date, second, second_date);
}

bool foci_seasons_warn_thresholds(foci_seasons *seasons, foci_error *err) {
    return foci_sentences_add(&seasons->warnings, err,
                              "The seasons' thresholds differ; each season is held against its own, so what is hot in "
                              "one may not be in another at the same severity.");
}

bool foci_seasons_warn_earlier(foci_seasons *seasons, const char *name, foci_error *err) {
    return foci_sentences_add(&seasons->warnings, err,
                              "%s was mapped with the help of an earlier season; its map here is made from its own "
                              "stops alone.",
                              name);
}

bool foci_seasons_warn_rows(foci_seasons *seasons, double degrees, foci_error *err) {
    return foci_sentences_add(&seasons->warnings, err,
                              "The crop rows of the seasons run in directions that differ by %.0f degrees: no "
                              "direction is assumed in reading them together.",
                              degrees);
}

bool foci_seasons_say(foci_seasons *seasons, foci_error *err) {
    const foci_season_pair *latest = latest_pair(&seasons->persistence);
    if (latest && !say_latest(seasons, latest, err))
        return false;
    return say_not_compared(seasons, err) && (!latest || count_pairs(seasons, err)) &&
           (seasons->persistence.compared < 2 || say_classes(seasons, err)) && say_cautions(seasons, err);
}
