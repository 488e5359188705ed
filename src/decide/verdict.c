#include "decide/verdict.h"

enum { STOPS_LEAST = 20 };

static const double chance_most = 0.05, nugget_share_most = 0.75; /* Cambardella et al. 1994: above, weak dependence */

static bool are_few(const foci_pattern *pattern, const foci_pattern_options *options) {
    (void)options;
    return pattern->count < STOPS_LEAST;
}

static bool is_mostly_nugget(const foci_pattern *pattern, const foci_pattern_options *options) {
    (void)pattern;
    return options->nugget_share > nugget_share_most;
}

static bool is_finer_than_stops(const foci_pattern *pattern, const foci_pattern_options *options) {
    return options->practical_range > 0 && options->practical_range < pattern->spacing;
}

static bool is_by_chance(const foci_pattern *pattern, const foci_pattern_options *options) {
    (void)options;
    return !(pattern->moran.permuted_p <= chance_most) && !(pattern->transport.p <= chance_most);
}

static bool is_left(const foci_pattern *pattern, const foci_pattern_options *options) {
    (void)pattern;
    (void)options;
    return true;
}

static const struct {
    bool (*holds)(const foci_pattern *, const foci_pattern_options *);
    const char *verdict, *why;
} rules[] = {
    {are_few, "too few stops", "fewer than 20 stops cannot show a pattern"},
    {is_mostly_nugget, "no pattern found", "more than three quarters of the variation is between neighboring stops"},
    {is_finer_than_stops, "no pattern found", "what pattern there is, is finer than the distance between stops"},
    {is_by_chance, "no pattern found", "stops close together are no more alike than chance makes them"},
    {is_left, "patchy", "stops close together are more alike than chance makes them"},
};

void foci_verdict_give(foci_pattern *pattern, const foci_pattern_options *options) {
    size_t i = 0;
    while (!rules[i].holds(pattern, options))
        i++;
    pattern->verdict = rules[i].verdict;
    pattern->why = rules[i].why;
}
