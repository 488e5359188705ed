#include "estimate/fit/fit_summary.h"

#include <math.h>

foci_fit_summary foci_fit_summary_unknown(void) {
    const foci_interval none = {NAN, NAN, NAN};
    return (foci_fit_summary){
        .lambda = 1,
        .range = none,
        .ratio = none,
        .nugget_share = none,
        .sigma = none,
        .tau = none,
        .stop_variation_ratio = NAN,
        .no_pattern = NAN,
        .log_likelihood = NAN,
        .suggested_heading = NAN,
        .suggested_ratio = NAN,
        .suggested_gain = NAN,
        .suggested_p = NAN,
        .earlier = {.rho = NAN, .log_score_with = NAN, .log_score_without = NAN},
    };
}
