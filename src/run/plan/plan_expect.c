/* What the field is expected to be like, and what the stops will be worth if it is. */
#include <math.h>

#include "decide/pattern/beta_binomial.h"
#include "fieldfoci/sample_size.h"
#include "run/plan/plan_work.h"

#define MEAN_ASSUMED 10.0 /* percent of units */
#define THETA_ASSUMED 0.1 /* between those of docs/plan.md; common practice, no source */
#define DEVIATION_ASSUMED 1.0

static const foci_readings *last_readings(const foci_plan_work *work) {
    return work->count > 0 ? &work->surveys[work->count - 1].readings : NULL;
}

static void expect_mean(foci_plan_precision *precision, const foci_plan_work *work) {
    const foci_readings *last = last_readings(work);
    const bool counts = work->plan.reading.kind == FOCI_READING_COUNT;
    const double stated = work->settings->plan.expect;
    if (!isnan(stated)) {
        precision->mean = stated;
        precision->mean_why = "as expected";
    } else if (last && last->spread.mean > 0) {
        precision->mean = last->spread.mean;
        precision->mean_why = "as in the last survey";
    } else if (work->threshold > 0) {
        precision->mean = work->threshold;
        precision->mean_why = "the threshold, where it matters most";
    } else {
        precision->mean = counts ? MEAN_ASSUMED : 1;
        precision->mean_why = counts ? "assumed" : "";
    }
}

/* theta of the last survey; NaN where it does not tell. */
static bool last_theta(double *theta, const foci_readings *last, foci_error *err) {
    foci_incidence_dispersion fit = {0};
    *theta = NAN;
    if (!last || !(last->spread.min < last->spread.max))
        return true;
    if (!foci_beta_binomial_make(&fit, last->hits, last->checked, last->count, err))
        return false;
    *theta = fit.theta;
    return true;
}

static double last_deviation(const foci_readings *last) {
    double squares = 0;
    if (!last || last->count < 2 || !(last->spread.mean > 0))
        return NAN;
    for (size_t i = 0; i < last->count; i++)
        squares += (last->values[i] - last->spread.mean) * (last->values[i] - last->spread.mean);
    return sqrt(squares / (double)(last->count - 1)) / last->spread.mean;
}

static bool expect_aggregation(foci_plan_precision *precision, const foci_plan_work *work, foci_error *err) {
    const bool counts = work->plan.reading.kind == FOCI_READING_COUNT;
    double found = NAN;
    if (!counts)
        found = last_deviation(last_readings(work));
    else if (!last_theta(&found, last_readings(work), err))
        return false;
    precision->aggregation = work->settings->plan.aggregation;
    precision->aggregation_why = "as stated";
    if (!isnan(precision->aggregation))
        return true;
    const double published = work->plan.has_profile && counts ? work->plan.profile.theta : NAN;
    if (isnan(found) && !isnan(published)) {
        precision->aggregation = published;
        precision->aggregation_why = "as published for this disease";
        return true;
    }
    precision->aggregation = !isnan(found) ? found : counts ? THETA_ASSUMED : DEVIATION_ASSUMED;
    precision->aggregation_why = !isnan(found) ? "as in the last survey" : "assumed";
    return true;
}

bool foci_plan_expect(foci_plan_work *work, foci_error *err) {
    foci_plan_precision *precision = &work->plan.precision;
    expect_mean(precision, work);
    if (!expect_aggregation(precision, work, err))
        return false;
    if (work->plan.reading.kind != FOCI_READING_COUNT) {
        const double deviation = precision->aggregation * precision->mean;
        precision->variance = deviation * deviation;
        return true;
    }
    if (!(precision->mean < 100))
        return foci_fail(err, FOCI_BAD_SETTING, "{expect}", 0,
                         "%g is out of range; it is a percentage of units, above 0 and below 100", precision->mean);
    precision->variance =
        10000 * foci_variance_beta_binomial(precision->mean / 100, work->plan.reading.units, precision->aggregation);
    return true;
}

bool foci_plan_count(size_t *stops, const foci_plan_work *work, foci_error *err) {
    const foci_plan_options *options = &work->settings->plan;
    const foci_plan_precision *precision = &work->plan.precision;
    *stops = options->stops;
    if (!(options->for_mean > 0))
        return true;
    *stops = foci_stops_whole(foci_stops_for_cv(precision->variance, precision->mean, options->for_mean));
    return *stops <= FOCI_LAYOUT_MOST ||
           foci_fail(err, FOCI_BAD_SETTING, "{for-mean}", 0,
                     "%g would take %zu stops, and %d is the most; give a larger one, or look at more units a stop",
                     options->for_mean, *stops, FOCI_LAYOUT_MOST);
}
