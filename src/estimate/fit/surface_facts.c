#include "estimate/fit/surface_facts.h"

#include <math.h>

foci_surface_facts foci_surface_facts_unknown(void) {
    const foci_interval none = {NAN, NAN, NAN};
    return (foci_surface_facts){
        .lambda = 1,
        .range = none,
        .ratio = none,
        .nugget_share = none,
        .sigma = none,
        .tau = none,
        .stop_variation_ratio = NAN,
        .no_pattern = NAN,
        .log_likelihood = NAN,
        .better_heading = NAN,
        .better_ratio = NAN,
        .better_gain = NAN,
        .better_chance = NAN,
        .earlier = {.shared = NAN, .log_score_with = NAN, .log_score_without = NAN},
    };
}
