/* What stands on a field sheet beside the map. */
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "decide/words/plan_words.h"
#include "fieldfoci/ordinal.h"
#include "fieldfoci/plain_number.h"

void foci_plan_words_free(foci_plan_words *words) {
    for (size_t i = 0; i < words->count; i++)
        free((char *)words->items[i].text);
    free(words->items);
    *words = (foci_plan_words){0};
}

static bool add(foci_plan_words *words, bool heading, foci_error *err, const char *text) {
    if (!*text)
        return true;
    if (!foci_grow_array((void **)&words->items, &words->capacity, words->count + 1, sizeof *words->items, err))
        return false;
    char *copy = foci_copy_text(text, err);
    if (copy)
        words->items[words->count++] = (foci_plan_paragraph){copy, heading};
    return copy != NULL;
}

/* A heading and lines below it; NULL ends them. */
static bool add_section(foci_plan_words *words, const char *heading, const char *const *lines, foci_error *err) {
    bool ok = add(words, true, err, heading);
    for (; ok && *lines; lines++)
        ok = add(words, false, err, *lines);
    return ok;
}

static bool add_numbered(foci_plan_words *words, const foci_fact *facts, size_t count, foci_error *err) {
    bool ok = true;
    for (size_t i = 0; ok && i < count; i++) {
        char *line = foci_format_text(err, "%zu. %s", i + 1, facts[i].text);
        ok = line && add(words, false, err, line);
        free(line);
    }
    return ok;
}

static bool add_facts(foci_plan_words *words, const char *heading, const foci_fact *facts, size_t count,
                      foci_error *err) {
    bool ok = count == 0 || add(words, true, err, heading);
    for (size_t i = 0; ok && i < count; i++)
        ok = add(words, false, err, facts[i].text);
    return ok;
}

static bool add_fact(foci_plan_words *words, const char *heading, const foci_fact *fact, foci_error *err) {
    return !fact->text || !*fact->text || add_facts(words, heading, fact, 1, err);
}

/* ---- how to write it down ---- */

static bool how_to_count(foci_plan_words *words, const foci_plan *plan, foci_error *err) {
    const foci_plan_reading *reading = &plan->reading;
    char *look = reading->units_stated
                     ? foci_format_text(err,
                                        "At each stop look at %.0f units, one after the other along the row, "
                                        "without choosing, and write how many are infected under '%s'.",
                                        reading->units, reading->hits)
                     : foci_format_text(err,
                                        "At each stop look at units one after the other along the row, without "
                                        "choosing: how many are infected goes under '%s', how many you looked at "
                                        "under '%s'. The same number at all stops is best.",
                                        reading->hits, reading->checked);
    char *unit = foci_format_text(err, "It is read as %s.", reading->unit);
    const bool ok = look && unit && add(words, false, err, look) && add(words, false, err, unit);
    free(look);
    free(unit);
    return ok;
}

static bool goes_by_scale(const foci_plan *plan) {
    return plan->has_profile && *plan->profile.scale;
}

/* "1 no disease; 2 very few spots, ..." */
static bool how_to_score_by_scale(foci_plan_words *words, const foci_plan *plan, foci_error *err) {
    foci_ordinal scale = {0};
    foci_text line = {0};
    if (!foci_ordinal_read(&scale, plan->profile.scale, err))
        return false;
    bool ok = foci_text_add(&line, err,
                            "One score a stop under '%s', of the %s (%s where nothing is found; blank: nobody looked):",
                            plan->reading.value, scale.title, foci_number_plain(scale.steps[0].score, 3).text);
    for (size_t i = 0; ok && i < scale.count; i++)
        ok = foci_text_add(&line, err, " %g %s%s", scale.steps[i].score, scale.steps[i].text,
                           i + 1 < scale.count ? ";" : ".");
    ok = ok && add(words, false, err, line.text);
    foci_text_free(&line);
    foci_ordinal_free(&scale);
    return ok;
}

static bool how_to_score(foci_plan_words *words, const foci_plan *plan, foci_error *err) {
    const foci_profile *profile = &plan->profile;
    if (goes_by_scale(plan))
        return how_to_score_by_scale(words, plan, err);
    const bool limited = plan->has_profile && profile->least < profile->most;
    char *line =
        limited ? foci_format_text(err,
                                   "One number a stop under '%s' (%s), %s where nothing is found, %s at "
                                   "most.",
                                   plan->reading.value, plan->reading.unit, foci_number_plain(profile->least, 4).text,
                                   foci_number_plain(profile->most, 4).text)
                : foci_format_text(err, "One number a stop under '%s' (%s).", plan->reading.value, plan->reading.unit);
    const bool ok = line && add(words, false, err, line);
    free(line);
    return ok;
}

/* Common practice, no source. */
static const char *const any_reading[] = {
    /* of amounts: a scale says itself what is written where nothing is found */
    "Nothing found is a finding: write 0. A cell left blank means that nobody looked.",
    "Go to the number, not to where it looks bad: a stop that is moved to the disease makes the map run high. Where "
    "you cannot stand, take the nearest row and say so.",
    "Step across a few rows between stops, and rate each stop before you read the one before.",
    NULL,
};

bool foci_plan_words_how(foci_plan_words *words, const foci_plan *plan, foci_error *err) {
    if (!add(words, true, err, plan->of_digs ? "At each place" : "At each stop"))
        return false;
    if (plan->of_digs && !add(words, false, err,
                              "Dig, wash or shake the roots and pods clean, and look below ground "
                              "before you write. What is dug up is never put on one map with what "
                              "was seen above ground."))
        return false;
    if (!(plan->reading.kind == FOCI_READING_COUNT ? how_to_count(words, plan, err) : how_to_score(words, plan, err)))
        return false;
    for (const char *const *line = any_reading + goes_by_scale(plan); *line; line++)
        if (!add(words, false, err, *line))
            return false;
    return !plan->has_profile || !plan->profile.look_for_count ||
           (add(words, true, err, "What to look for, step by step") &&
            add_numbered(words, plan->profile.look_for, plan->profile.look_for_count, err));
}

/* ---- signs, look-alikes, clinic ---- */

/* Common practice of plant clinics, no source. */
static const char *const sample[] = {
    "Call first: the clinic says what it wants, by when, and has a form.",
    "Send whole plants with roots, dug and not pulled, from the edge of a patch where plants are just turning, with "
    "soil on the roots; and one healthy plant of the same row.",
    "Roots and soil in a plastic bag tied at the stem, tops dry in paper. No water added, nothing frozen, out of the "
    "sun, cool. Send early in the week.",
    "For nematodes: soil from the root zone, 8 in (20 cm) deep, of many places in and round the patch, mixed, a pint "
    "(half a liter), kept cool and moist.",
    NULL,
};

static const char *const bag[] = {
    "On the bag, in waterproof ink, and again on paper in a second bag: field, number of the stop, date, crop and "
    "variety, what was seen and on how many plants, what was applied lately, your name and telephone.",
    "One stop, one bag: the number ties the answer to the map.",
    NULL,
};

/* Soil on boots and tools carries disease (common practice, no source). */
static const char *const clean[] = {
    "Clean boots and tools between places and before you leave; go to the field with the disease last.",
    "Stay out where something was applied until its re-entry interval is over.",
    NULL,
};

bool foci_plan_words_signs(foci_plan_words *words, const foci_plan *plan, foci_error *err) {
    const foci_profile *profile = &plan->profile;
    if (plan->has_profile &&
        (!add_fact(words, "Where it shows first", &profile->seen, err) ||
         !add_fact(words, "When", &profile->when, err) || !add_fact(words, "Where it lives", &profile->habitat, err) ||
         !add_fact(words, "Digging", &profile->dig, err) ||
         !add_fact(words, "How sure you can be in the field", &profile->diagnosis, err) ||
         !add_facts(words, "What looks like it", profile->look_alikes, profile->look_alike_count, err) ||
         !add_fact(words, profile->laboratory ? "A laboratory's word is needed" : "Laboratory",
                   &profile->laboratory_why, err)))
        return false;
    return add_section(words, "What to send to a diagnostic clinic", sample, err) &&
           add_section(words, "How to label it", bag, err) && add_section(words, "Between stops", clean, err);
}
