#include "decide/plan/season_knowledge.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/seasons/joint_fit.h"

struct foci_season_knowledge {
    foci_joint joint;
    size_t rho;
    bool counts;
    double threshold; /* on the scale of the surface */
};

/* Mean and deviation of a season's scores. */
static void find_scale(double *mean, double *deviation, const foci_readings *readings) {
    double sum = 0, squares = 0;
    for (size_t i = 0; i < readings->count; i++)
        sum += readings->values[i] / (double)readings->count;
    for (size_t i = 0; i < readings->count; i++)
        squares += (readings->values[i] - sum) * (readings->values[i] - sum);
    *mean = sum;
    *deviation = sqrt(squares / (double)readings->count);
}

/* Scores to mean 0 and deviation 1; the engine copies them. */
static bool take(foci_season_readings *season, double **scaled, const foci_readings *readings, bool counts,
                 foci_error *err) {
    double mean = 0, deviation = 1;
    *season =
        (foci_season_readings){readings->places, readings->hits, counts ? readings->checked : NULL, readings->count};
    if (counts)
        return true;
    if (!(*scaled = foci_new_array(readings->count, sizeof **scaled, err)))
        return false;
    find_scale(&mean, &deviation, readings);
    for (size_t i = 0; i < readings->count; i++)
        (*scaled)[i] = (readings->values[i] - mean) / deviation;
    season->readings = *scaled;
    return true;
}

static double threshold_on_scale(double threshold, bool counts, const foci_readings *last) {
    double mean = 0, deviation = 1;
    if (counts)
        return threshold > 0 && threshold < 100 ? log(threshold / (100 - threshold)) : NAN;
    find_scale(&mean, &deviation, last);
    return (threshold - mean) / deviation;
}

bool foci_season_knowledge_make(foci_season_knowledge **out, const foci_readings *const *seasons, size_t count,
                                foci_reading_kind kind, double threshold, double row_heading, const foci_execution *how,
                                foci_error *err) {
    const bool counts = kind == FOCI_READING_COUNT;
    foci_season_readings readings[FOCI_SEASONS_TOGETHER];
    double *scaled[FOCI_SEASONS_TOGETHER] = {NULL};
    if (count == 0 || count >= FOCI_SEASONS_TOGETHER)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "%zu earlier seasons cannot be read; give 1 to %d", count,
                         FOCI_SEASONS_TOGETHER - 1);
    foci_season_knowledge *known = foci_new_array(1, sizeof *known, err);
    bool ok = known != NULL;
    for (size_t s = 0; ok && s < count; s++)
        ok = take(&readings[s], &scaled[s], seasons[s], counts, err);
    ok = ok && foci_joint_fit_any(&known->joint, readings, count, row_heading, how, err);
    for (size_t s = 0; s < count; s++)
        free(scaled[s]);
    if (!ok) {
        free(known);
        return false;
    }
    known->counts = counts;
    known->rho = foci_joint_rho_to_come(&known->joint);
    known->threshold = threshold_on_scale(threshold, counts, seasons[count - 1]);
    *out = known;
    return true;
}

void foci_season_knowledge_free(foci_season_knowledge *seasons) {
    if (seasons)
        foci_joint_free(&seasons->joint);
    free(seasons);
}

static bool ask(double *mean, double *covariance, const void *what, const foci_point *places, size_t count,
                foci_error *err) {
    const foci_season_knowledge *known = what;
    return foci_joint_to_come(mean, covariance, &known->joint, known->rho, places, count, err);
}

foci_layout_knowledge foci_season_knowledge_of(const foci_season_knowledge *seasons, double units) {
    const double *noise = seasons->joint.parameters.noise;
    double variance = 0;
    for (size_t s = 0; s < seasons->joint.data.seasons; s++)
        variance += noise[s] * noise[s] / (double)seasons->joint.data.seasons;
    return (foci_layout_knowledge){.at = ask,
                                   .what = seasons,
                                   .threshold = seasons->threshold,
                                   .logit = seasons->counts,
                                   .units = units,
                                   .noise = seasons->counts ? 0 : variance};
}

double foci_season_knowledge_rho(const foci_season_knowledge *seasons) {
    return foci_joint_rho[seasons->rho];
}
