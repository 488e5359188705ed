#include "show/verdict_words.h"

#include <stdio.h>

#include "base/memory.h"
#include "show/map_words.h"

typedef char *(*sentence)(const foci_round *round, foci_error *err);

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

static char *patchy(const foci_round *round, foci_error *err) {
    (void)round;
    return foci_copy_text("", err);
}

/* Where to look first: the ground to dig, else the numbered places. */
static char *unclear(const foci_round *round, foci_error *err) {
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
static char *no_pattern(const foci_round *round, foci_error *err) {
    const average field = average_of(round);
    return foci_format_text(err, "No pattern found: use the field's average, %s (%s to %s)", field.mean, field.low,
                            field.high);
}

static char *too_few(const foci_round *round, foci_error *err) {
    const average field = average_of(round);
    return foci_format_text(err, "Too few stops for a map (%zu of at least %d): the average is %s (%s to %s)",
                            round->readings.count, FOCI_STOPS_FOR_MAP, field.mean, field.low, field.high);
}

static const sentence sentences[FOCI_VERDICT_END] = {
    [FOCI_VERDICT_PATCHY] = patchy,
    [FOCI_VERDICT_UNCLEAR] = unclear,
    [FOCI_VERDICT_NO_PATTERN] = no_pattern,
    [FOCI_VERDICT_TOO_FEW] = too_few,
};

char *foci_words_doubt(const foci_round *round, foci_error *err) {
    return sentences[round->pattern.verdict](round, err);
}
