#include "decide/pattern/verdict.h"

#include <math.h>

/* Chosen on simulated fields: docs/pattern.md. */
static const double weight_patchy = 0.07,
                    weight_no_pattern = 0.4;             /* of no pattern, where the surface has a posterior */
static const double p_patchy = 0.05, p_no_pattern = 0.5; /* of the permutation test, where it has none */

static const char *const names[FOCI_VERDICT_END] = {"patchy", "unclear", "no pattern found", "too few stops"};

const char *foci_verdict_name(foci_verdict verdict) {
    return names[verdict];
}

static bool are_few(const foci_pattern *pattern) {
    return pattern->count < FOCI_STOPS_FOR_MAP;
}

static bool are_equal(const foci_pattern *pattern) {
    return pattern->all_equal;
}

static bool is_patchy_by_weight(const foci_pattern *pattern) {
    return pattern->no_pattern <= weight_patchy;
}

static bool has_none_by_weight(const foci_pattern *pattern) {
    return pattern->no_pattern > weight_no_pattern;
}

static bool has_weight(const foci_pattern *pattern) {
    return !isnan(pattern->no_pattern);
}

static bool is_patchy_by_test(const foci_pattern *pattern) {
    return pattern->likeness_p <= p_patchy;
}

static bool has_none_by_test(const foci_pattern *pattern) {
    return pattern->likeness_p > p_no_pattern;
}

static bool is_left(const foci_pattern *pattern) {
    (void)pattern;
    return true;
}

static const struct {
    bool (*holds)(const foci_pattern *);
    foci_verdict verdict;
    const char *why;
} rules[] = {
    {are_few, FOCI_VERDICT_TOO_FEW, "fewer than 20 stops cannot show a pattern"},
    {are_equal, FOCI_VERDICT_NO_PATTERN, "all stops read the same"},
    {is_patchy_by_weight, FOCI_VERDICT_PATCHY, "stops close together are more alike than distant ones"},
    {has_none_by_weight, FOCI_VERDICT_NO_PATTERN, "the stops speak for no pattern rather than for one"},
    {has_weight, FOCI_VERDICT_UNCLEAR, "the stops neither show a pattern nor speak against one"},
    {is_patchy_by_test, FOCI_VERDICT_PATCHY, "stops close together are more alike than chance makes them"},
    {has_none_by_test, FOCI_VERDICT_NO_PATTERN, "stops close together are no more alike than chance makes them"},
    {is_left, FOCI_VERDICT_UNCLEAR, "stops close together are hardly more alike than chance makes them"},
};

void foci_verdict_give(foci_pattern *pattern) {
    size_t i = 0;
    while (!rules[i].holds(pattern))
        i++;
    pattern->verdict = rules[i].verdict;
    pattern->why = rules[i].why;
}
