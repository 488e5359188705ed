#include "decide/pattern/field_mean.h"

#include <math.h>

#include "base/probability.h"
#include "decide/pattern/moments.h"

static void mean_of_scores(foci_estimate *out, const foci_readings *readings) {
    foci_moments m = foci_moments_of(readings->values, readings->count);
    out->value = m.mean;
    if (readings->count < 2)
        return;
    double half = foci_student_95(m.n - 1) * sqrt(m.squares / (m.n - 1) / m.n);
    out->low = m.mean - half;
    out->high = m.mean + half;
}

static void mean_of_counts(foci_estimate *out, const foci_readings *readings, double rho) {
    double hits = 0, checked = 0, spread = 0;
    for (size_t i = 0; i < readings->count; i++) {
        double n = readings->checked[i];
        hits += readings->hits[i];
        checked += n;
        spread += n * (1 + rho * (n - 1));
    }
    if (!(checked > 0))
        return;
    out->value = 100 * hits / checked;
    if (readings->count < 2)
        return;
    double units = checked * checked / spread;
    foci_wilson_interval(hits / checked * units, units, foci_student_95((double)readings->count - 1), &out->low,
                         &out->high);
    out->low *= 100;
    out->high *= 100;
}

void foci_field_mean_find(foci_estimate *out, const foci_readings *readings, foci_reading_kind kind, double rho) {
    out->value = out->low = out->high = NAN;
    if (kind == FOCI_READING_COUNT)
        mean_of_counts(out, readings, rho > 0 ? rho : 0);
    else
        mean_of_scores(out, readings);
}

double foci_field_mean_weighted(const foci_readings *readings, foci_reading_kind kind, const double *weights) {
    double above = 0, below = 0;
    for (size_t i = 0; i < readings->count; i++) {
        bool counted = kind == FOCI_READING_COUNT;
        above += weights[i] * (counted ? 100 * readings->hits[i] : readings->values[i]);
        below += weights[i] * (counted ? readings->checked[i] : 1);
    }
    return below > 0 ? above / below : NAN;
}
