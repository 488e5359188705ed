#include "show/task/task_guards.h"

#include <math.h>
#include <string.h>

#include "decide/words/task_words.h"
#include "fieldfoci/pattern.h"
#include "fieldfoci/zones.h"

static bool is_said(const foci_json *object, const char *key) {
    bool said = false;
    return foci_json_bool(foci_json_get(object, key), &said) && said;
}

static bool is_unclear(const foci_json *root) {
    const char *verdict = foci_json_text(foci_json_get(foci_json_get(root, "pattern"), "verdict"));
    return verdict && strcmp(verdict, foci_verdict_name(FOCI_VERDICT_UNCLEAR)) == 0;
}

static bool has_no_chances(const foci_json *root) {
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        double chance = NAN;
        const foci_json *zone = foci_json_get(foci_json_get(root, "zones"), foci_zone_name((foci_zone_code)code));
        if (foci_json_number(foci_json_get(zone, "chance"), &chance) && !isnan(chance))
            return false;
    }
    return true;
}

static bool needs_laboratory(const foci_json *root) {
    return is_said(foci_json_get(root, "disease"), "laboratory");
}

static bool is_too_late(const foci_json *root) {
    return is_said(foci_json_get(root, "disease"), "too_late_in_season");
}

/* In the order in which they are told; each gives way to a reason. */
static const struct {
    bool (*stops)(const foci_json *root);
    const foci_task_guard_words *words;
} guards[] = {
    {needs_laboratory, &foci_task_guard_laboratory},
    {is_too_late, &foci_task_guard_too_late},
    {is_unclear, &foci_task_guard_unclear},
    {has_no_chances, &foci_task_guard_no_chances},
};

bool foci_task_pass_guards(const foci_json *root, const char *file, const char *even_so, foci_error *err) {
    const char *no_zones = foci_json_text(foci_json_get(root, "no_zones_why"));
    if (no_zones)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, "the survey has no zones, so there is nothing to write: %s",
                         no_zones);
    for (size_t i = 0; !even_so && i < sizeof guards / sizeof *guards; i++)
        if (guards[i].stops(root))
            return foci_fail(err, FOCI_BAD_INPUT, file, 0, "%s; %s, or give your reason with {even-so}",
                             guards[i].words->why, guards[i].words->instead);
    return true;
}
