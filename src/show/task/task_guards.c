#include "show/task/task_guards.h"

#include <math.h>
#include <string.h>

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
    const char *why, *instead;
} guards[] = {
    {needs_laboratory, "the disease needs a laboratory's word before anything is applied", "wait for it"},
    {is_too_late, "it is too late to protect the plants in this season", "plan for the next with this map"},
    {is_unclear, "the stops cannot tell whether the disease sits in pockets, so no zone is to be treated",
     "dig and look first (with a reason the files hold the dig and leave zones only)"},
    {has_no_chances, "its zones come from the estimate alone and nothing tells how sure they are",
     "map it again with a surface that gives chances"},
};

bool foci_task_pass_guards(const foci_json *root, const char *file, const char *even_so, foci_error *err) {
    const char *no_zones = foci_json_text(foci_json_get(root, "no_zones_why"));
    if (no_zones)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, "the survey has no zones, so there is nothing to write: %s",
                         no_zones);
    for (size_t i = 0; !even_so && i < sizeof guards / sizeof *guards; i++)
        if (guards[i].stops(root))
            return foci_fail(err, FOCI_BAD_INPUT, file, 0, "%s; %s, or give your reason with {even-so}", guards[i].why,
                             guards[i].instead);
    return true;
}
