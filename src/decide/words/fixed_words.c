#include "decide/words/fixed_words.h"

#include <math.h>
#include <stdio.h>

#include "base/memory.h"
#include "base/text.h"

/* ---- letter, and places to dig ---- */

const char foci_letter_enclosed[] =
    "With this letter: the map (map.pdf) and, where places are to be dug, their list for a phone (digs.gpx).";

/* Common practice, no source: soil on boots and spade carries disease from place to place. Re-entry: 40 CFR 170, from
 * memory; elsewhere the local rules. */
#define MIND "clean boots and spade after it; keep the re-entry interval of what was applied"

char *foci_words_waypoint(const foci_dig_point *dig, foci_error *err) {
    if (isnan(dig->chance))
        return foci_format_text(err, "Dig %d: %s; " MIND, dig->visit, foci_dig_why_title(dig->why));
    return foci_format_text(err, "Dig %d, chance that the threshold is passed %.0f %%: %s; " MIND, dig->visit,
                            100 * dig->chance, foci_dig_why_title(dig->why));
}
