#include "run/look/look_words.h"

#include <ctype.h>
#include <stddef.h>
#include <string.h>

#include "base/text.h"

#define MOST_WORDS 8
#define MOST_LETTERS 24

/* English words of the trade and their usual short forms (common practice, no source). */
#define HITS                                                                                                           \
    "hits", "hit", "infected", "diseased", "rotted", "rotten", "affected", "sick", "infested", "positive",             \
        "positives", "symptomatic", "wilted", "inf", "cases"
#define UNITS                                                                                                          \
    "plants", "plant", "sections", "section", "pods", "pod", "stems", "stem", "heads", "leaves", "roots", "units"
#define SHARES "percent", "pct", "perc", "percentage", "incidence", "proportion", "share", "rate", "ratio"
#define COUNTING "no", "nr", "num", "number", "count", "the", "n", "of", "at", "in", "on", "by"

/* A name made of `words` and `fillers` alone, with one of `words` at least and none that is `against` it, fits. */
static const struct {
    const char *words[40], *fillers[40], *against[32];
} roles[] = {
    [FOCI_ROLE_HITS] = {{HITS}, {COUNTING, UNITS, "checked", "total"}, {SHARES, "not", "non", "un"}},
    [FOCI_ROLE_CHECKED] = {{UNITS, "checked", "of", "n", "looked", "total", "sampled", "inspected", "examined",
                            "assessed", "counted", "observed", "tested"},
                           {COUNTING},
                           {SHARES, HITS}},
    [FOCI_ROLE_VALUE] = {{"score", "rating", "severity", "sev", "grade", "index", "dsi", "percent", "pct", "perc",
                          "percentage", "incidence"},
                         {HITS, UNITS, "of", "disease", "leaf", "root", "foliar", "canopy", "mean"},
                         {"not", "healthy"}},
    [FOCI_ROLE_ID] = {{"stop", "id", "point", "plot", "name", "label", "site", "sample", "station", "waypoint",
                       "location", "wpt", "fid"},
                      {COUNTING, "code", "field"},
                      {NULL}},
    [FOCI_ROLE_WHEN] = {{"date", "when", "day", "time", "datetime", "timestamp", "scouted", "visited", "surveyed"},
                        {COUNTING, "survey", "scouting", "sample", "sampling", "visit", "rating", "rated", "field",
                         "observation", "start"},
                        {"planting", "planted", "sowing", "sown", "harvest", "harvested", "emergence", "sprayed",
                         "treated"}},
    [FOCI_ROLE_RATER] = {{"rater", "scout", "scouter", "observer", "surveyor", "assessor", "inspector", "initials",
                          "who"},
                         {COUNTING, "name", "id", "rated", "scouted"},
                         {NULL}},
    [FOCI_ROLE_EAST] = {{"lon", "lng", "long", "longitude", "x", "easting", "east"},
                        {"gps", "wgs84", "wgs", "deg", "dd", "utm", "coord", "coordinate", "point"},
                        {NULL}},
    [FOCI_ROLE_NORTH] = {{"lat", "latitude", "y", "northing", "north"},
                         {"gps", "wgs84", "wgs", "deg", "dd", "utm", "coord", "coordinate", "point"},
                         {NULL}},
};

typedef struct {
    size_t count;
    char words[MOST_WORDS][MOST_LETTERS];
} name_words;

static bool is_one_of(const char *const *list, const char *word) {
    for (; *list; list++)
        if (strcmp(*list, word) == 0)
            return true;
    return false;
}

static bool begins_word(const char *name, size_t at) {
    return at > 0 && isupper((unsigned char)name[at]) && islower((unsigned char)name[at - 1]);
}

/* In small letters, taken apart at all that is no letter or digit and where a capital follows a small letter; "%" is a
 * word. False where the name is too long to be one. */
static bool split(name_words *out, const char *name) {
    size_t length = 0;
    *out = (name_words){0};
    for (size_t i = 0;; i++) {
        const unsigned char letter = (unsigned char)name[i];
        const bool in_word = isalnum(letter) || letter >= 0x80;
        if (length > 0 && (!in_word || begins_word(name, i))) {
            out->count++;
            length = 0;
        }
        if (!letter)
            return true;
        if ((in_word || letter == '%') && (out->count == MOST_WORDS || length == MOST_LETTERS - 1))
            return false;
        if (letter == '%')
            memcpy(out->words[out->count++], "percent", sizeof "percent");
        else if (in_word)
            out->words[out->count][length++] = (char)tolower(letter);
    }
}

static bool has_any(const name_words *name, const char *const *list) {
    for (size_t i = 0; i < name->count; i++)
        if (is_one_of(list, name->words[i]))
            return true;
    return false;
}

int foci_role_fit(foci_role role, const char *name) {
    name_words words;
    size_t known = 0;
    if (!split(&words, name) || has_any(&words, roles[role].against))
        return 0;
    for (size_t i = 0; i < words.count; i++) {
        const bool is = is_one_of(roles[role].words, words.words[i]);
        known += is;
        if (!is && !is_one_of(roles[role].fillers, words.words[i]))
            return 0;
    }
    return known == 0 ? 0 : words.count == 1 ? 2 : 1;
}

bool foci_role_is_against(foci_role role, const char *name) {
    name_words words;
    return split(&words, name) && has_any(&words, roles[role].against);
}

bool foci_role_is_share(const char *name) {
    static const char *const shares[] = {SHARES, NULL};
    name_words words;
    return split(&words, name) && has_any(&words, shares);
}
