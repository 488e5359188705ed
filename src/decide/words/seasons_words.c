#include "decide/words/seasons_words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

#define BLANK "\u00A0" /* where no line may end */
#define SEPARATOR "  \u00B7  "

/* ---- seasons ---- */

bool foci_words_any_compared(const foci_seasons *seasons) {
    return seasons->persistence.class_code != NULL;
}

bool foci_words_is_compared(const foci_seasons *seasons, size_t which) {
    return seasons->persistence.chance[which] != NULL;
}

bool foci_words_thresholds_differ(const foci_seasons *seasons) {
    const double newest = seasons->rounds[seasons->count - 1].threshold;
    for (size_t s = 0; s + 1 < seasons->count; s++) {
        const double own = seasons->rounds[s].threshold;
        if (isnan(own) != isnan(newest) || own < newest || own > newest)
            return true;
    }
    return false;
}

bool foci_words_add_hot(foci_text *text, const foci_seasons *seasons, const bool *hot, foci_error *err) {
    const char *before = "";
    for (size_t s = 0; s < seasons->count; s++) {
        if (!hot[s])
            continue;
        if (!foci_text_add(text, err, "%s%s", before, foci_seasons_label(seasons, s)))
            return false;
        before = ", ";
    }
    return true;
}

bool foci_words_add_seasons(foci_text *text, const foci_seasons *seasons, foci_error *err) {
    bool all[FOCI_SEASONS_MOST];
    for (size_t s = 0; s < FOCI_SEASONS_MOST; s++)
        all[s] = true;
    return foci_words_add_hot(text, seasons, all, err);
}

/* The last season that was compared; `skip` of them are passed over. */
static size_t last_compared(const foci_seasons *seasons, size_t skip) {
    for (size_t s = seasons->count; s-- > 0;)
        if (foci_words_is_compared(seasons, s) && skip-- == 0)
            return s;
    return 0;
}

const foci_season_pair *foci_words_pair_before(const foci_seasons *seasons, size_t back) {
    const foci_persistence *persistence = &seasons->persistence;
    const size_t second = last_compared(seasons, back), first = last_compared(seasons, back + 1);
    for (size_t i = 0; i < persistence->pair_count && back + 1 < persistence->compared; i++)
        if (persistence->pairs[i].first == first && persistence->pairs[i].second == second)
            return &persistence->pairs[i];
    return NULL;
}

/* ---- classes ---- */

bool foci_words_class_can_be(const foci_seasons *seasons, foci_class code) {
    return code != FOCI_CLASS_OFTEN || seasons->persistence.compared > 2;
}

void foci_words_meaning(char text[2 * FOCI_WORDS_SIZE], const foci_seasons *seasons, foci_class code) {
    const size_t count = seasons->persistence.compared, size = 2 * FOCI_WORDS_SIZE;
    const char *last = foci_seasons_label(seasons, last_compared(seasons, 0));
    const char *first = foci_seasons_label(seasons, last_compared(seasons, 1));
    switch (code) {
    case FOCI_CLASS_ALWAYS:
        if (count == 2)
            snprintf(text, size, "hot in both seasons");
        else
            snprintf(text, size, "hot in all %zu seasons", count);
        break;
    case FOCI_CLASS_OFTEN:
        snprintf(text, size, "hot in two seasons or more: half of them, or also in %.60s", last);
        break;
    case FOCI_CLASS_NEW:
        snprintf(text, size, "hot in %.60s, not before", last);
        break;
    case FOCI_CLASS_GONE:
        if (count == 2)
            snprintf(text, size, "hot in %.60s, not in %.60s", first, last);
        else
            snprintf(text, size, "hot before, not often, and not in %.60s", last);
        break;
    case FOCI_CLASS_NEVER:
        snprintf(text, size, count == 2 ? "hot in neither season" : "hot in none of the seasons");
        break;
    default:
        snprintf(text, size, "the readings cannot tell: look there");
    }
}

/* ---- numbers ---- */

void foci_words_number(char text[FOCI_WORDS_SIZE], double number, int decimals, const char *undefined) {
    if (isnan(number))
        snprintf(text, FOCI_WORDS_SIZE, "%s", undefined);
    else
        snprintf(text, FOCI_WORDS_SIZE, "%.*f", decimals, number);
}

foci_measures foci_words_comparison_measures(const foci_seasons *seasons) {
    return foci_paper_measures(seasons->rounds[seasons->count - 1].paper);
}

/* `words` with blanks at which no line may end, where there are numbers. */
static void unbroken(char text[FOCI_WORDS_SIZE], const char *words) {
    size_t used = 0;
    const char *blank = isdigit((unsigned char)words[strcspn(words, "0123456789")]) ? BLANK : " ";
    for (; *words && used + sizeof BLANK < FOCI_WORDS_SIZE; words++)
        used += (size_t)snprintf(text + used, FOCI_WORDS_SIZE - used, "%s%.1s", *words == ' ' ? blank : "",
                                 *words == ' ' ? "" : words);
    text[used] = '\0';
}

void foci_words_expected(char text[FOCI_WORDS_SIZE], const foci_estimate *area, foci_measures measure) {
    char words[FOCI_WORDS_SIZE];
    foci_words_range(words, area->value, area->low, area->high, measure);
    unbroken(text, words);
}

void foci_words_about(char text[FOCI_WORDS_SIZE], const foci_estimate *area, foci_measures measure) {
    char words[FOCI_WORDS_SIZE], about[FOCI_WORDS_SIZE];
    foci_words_area_range(words, area->value, area->low, area->high, measure);
    snprintf(about, sizeof about, "%s%.80s", isnan(area->value) ? "" : "about ", words);
    unbroken(text, about);
}

/* ---- sentences ---- */

char *foci_words_comparison_facts(const foci_seasons *seasons, foci_error *err) {
    foci_text line = {0};
    char *place = foci_words_place(&seasons->rounds[seasons->count - 1], err);
    const bool ok = place && foci_text_add(&line, err, "%s" SEPARATOR, place) &&
                    foci_text_add_name(&line, foci_seasons_label(seasons, 0), err) &&
                    foci_text_add(&line, err, " %s ", seasons->count == 2 ? "and" : "to") &&
                    foci_text_add_name(&line, foci_seasons_label(seasons, seasons->count - 1), err);
    free(place);
    if (!ok)
        foci_text_free(&line);
    return line.text;
}

char *foci_words_comparison_made(const foci_seasons *seasons, foci_error *err) {
    char made[FOCI_WORDS_SIZE];
    foci_words_date(made, seasons->made);
    return foci_format_text(err,
                            "How made: the stops of all seasons are read together. Hot is where the true %s is at or "
                            "above the season's threshold. Made %s, by fieldfoci %s.",
                            foci_reading_word(seasons->rounds[0].stops.kind), made, FOCI_VERSION);
}

char *foci_words_comparison_caution(const foci_seasons *seasons, foci_error *err) {
    return foci_format_text(err,
                            "An estimate from the stops of %zu seasons, not a diagnosis and not a recommendation. Dig "
                            "and look before anyone treats. The label is the law.",
                            seasons->count);
}

void foci_words_p(char text[FOCI_WORDS_SIZE], double p) {
    if (isnan(p))
        snprintf(text, FOCI_WORDS_SIZE, "not compared");
    else if (p < 0.0005)
        snprintf(text, FOCI_WORDS_SIZE, "below 0.001");
    else
        snprintf(text, FOCI_WORDS_SIZE, "%.*f", p < 0.0995 ? 3 : 2, p);
}

char *foci_words_verdict(const foci_seasons *seasons, const foci_season_pair *pair, foci_error *err) {
    const char *first = foci_seasons_label(seasons, pair->first), *second = foci_seasons_label(seasons, pair->second);
    char p[FOCI_WORDS_SIZE];
    if (isnan(pair->p))
        return foci_format_text(err, "%s and %s: %s", first, second, pair->verdict);
    foci_words_p(p, pair->p);
    return foci_format_text(err, "%s and %s: %s (P %s%s)", first, second, pair->verdict, *p == 'b' ? "" : "= ", p);
}

char *foci_words_overlap(const foci_seasons *seasons, const foci_season_pair *pair, foci_error *err) {
    char both[FOCI_WORDS_SIZE], chance[FOCI_WORDS_SIZE];
    if (isnan(pair->both.value))
        return pair->why_not ? foci_format_text(err, "%s: %s", foci_seasons_label(seasons, pair->reason), pair->why_not)
                             : foci_copy_text("not compared", err);
    foci_words_about(both, &pair->both, foci_words_comparison_measures(seasons));
    foci_words_about(chance, &pair->by_chance, foci_words_comparison_measures(seasons));
    return foci_format_text(err, "hot in both: %s; by chance alone: %s", both, chance);
}

char *foci_words_comparison_even_so(const foci_seasons *seasons, foci_error *err) {
    foci_text line = {0};
    bool ok =
        foci_text_add(&line, err, "%s", seasons->even_so.count > 0 ? "Compared even so, for a stated reason:" : "");
    for (size_t i = 0; i < seasons->even_so.count; i++)
        ok = ok && foci_text_add(&line, err, " %s", seasons->even_so.items[i]);
    if (!ok)
        foci_text_free(&line);
    return line.text;
}

const char *foci_words_comparison_title(const foci_seasons *seasons) {
    if (seasons->title && *seasons->title)
        return seasons->title;
    return seasons->sentences.count > 0 ? seasons->sentences.items[0] : "Seasons compared";
}
