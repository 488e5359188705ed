#include "decide/seasons/persistence_pair.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "fieldfoci/agreement.h"

#define CAME_BACK 0.05
#define SOME_SIGN 0.20
#define HECTARE 10000.0

static const char not_hot[] = "not hot anywhere";

/* A surface that does not vary has nothing in common with another: the likelihood ratio is 1. */
void foci_season_pair_set_flat(foci_season_pair *pair, const foci_study *study, size_t season, const char *why) {
    pair->p = 1;
    pair->verdict = study->cold[pair->first] || study->cold[pair->second] ? not_hot : "cannot tell";
    pair->why_not = why;
    pair->reason = season;
}

static bool is_fenced(const foci_study *study, size_t season) {
    return study->why_not[season] && !study->flat[season];
}

foci_season_pair foci_season_pair_none(const foci_study *study, size_t first, size_t second) {
    const foci_estimate none = {NAN, NAN, NAN};
    const bool fenced = is_fenced(study, first) || is_fenced(study, second);
    const bool by_first = fenced ? is_fenced(study, first) : study->why_not[first] != NULL;
    const size_t reason = by_first ? first : second;
    foci_season_pair pair = {.first = first,
                             .second = second,
                             .verdict = "no comparison",
                             .why_not = study->why_not[reason],
                             .reason = reason,
                             .rho = NAN,
                             .rho_low = NAN,
                             .rho_high = NAN,
                             .rho_none = NAN,
                             .p = NAN,
                             .ratio = NAN,
                             .correlation = NAN,
                             .effective = NAN,
                             .both = none,
                             .only_first = none,
                             .only_second = none,
                             .neither = none,
                             .by_chance = none,
                             .jaccard = NAN,
                             .dice = NAN,
                             .kappa = NAN};
    if (!fenced && pair.why_not)
        foci_season_pair_set_flat(&pair, study, reason, pair.why_not);
    return pair;
}

static const char *verdict_of(double p) {
    return p <= CAME_BACK ? "came back" : p <= SOME_SIGN ? "some sign" : "cannot tell";
}

/* A season's surface and its root over the coarse cells, from what both seasons' stops say of them at rho = 0, where a
 * season's own stops alone count. */
static foci_predicted_map own_map(double *values, double *root, const foci_joint_places *cells, size_t season) {
    const foci_observations *stops = cells->stops;
    size_t from = stops->first[season], rows = foci_observations_in(stops, season);
    for (size_t k = 0; k < cells->count; k++) {
        values[k] = cells->mean[k * stops->seasons + season];
        memcpy(root + k * rows, cells->root + (season * cells->count + k) * stops->count + from, rows * sizeof *root);
    }
    return (foci_predicted_map){values, root, rows};
}

/* Both surfaces over the coarse cells, and how far they agree. */
static bool test_maps(foci_modified_t *out, const foci_study *study, const foci_together *together, foci_error *err) {
    const foci_joint *joint = &together->joint;
    const size_t n = joint->data.count, c = study->cells.count;
    foci_joint_places cells = {0};
    bool ok = false;
    double *values = foci_new_array(c, (2 + n) * sizeof *values, err);
    if (!values || !foci_joint_places_make(&cells, &joint->data, study->cells.places, c, err) ||
        !foci_joint_mode_at(&cells, &joint->modes[0], err))
        goto done;
    const foci_predicted_map first = own_map(values, values + 2 * c, &cells, 0);
    const foci_predicted_map second = own_map(values + c, values + 2 * c + first.rows * c, &cells, 1);
    ok = foci_modified_t_model(out, &first, &second, c, err);
done:
    free(values);
    foci_joint_places_free(&cells);
    return ok;
}

static bool judge(foci_season_pair *pair, const foci_study *study, const foci_together *together, foci_error *err) {
    foci_modified_t t = {0};
    pair->rho = together->joint.verdict.mean_rho;
    pair->rho_low = foci_joint_rho_below(together->joint.weight, 0.05);
    pair->rho_high = foci_joint_rho_below(together->joint.weight, 0.95);
    pair->rho_none = together->joint.weight[0];
    pair->p = together->joint.verdict.p;
    pair->ratio = together->joint.verdict.ratio;
    if (study->scores) {
        if (!test_maps(&t, study, together, err))
            return false;
        pair->p = t.above;
        pair->ratio = NAN;
        pair->correlation = t.correlation;
        pair->effective = t.effective;
    }
    pair->verdict = verdict_of(pair->p);
    return true;
}

/* Ground smaller than what one stop stands for is not told from none. */
static bool is_cold(const foci_study *study, const foci_together *together, const foci_persistence_areas *areas) {
    const size_t *first = together->joint.data.first;
    for (size_t s = 0; s < 2; s++)
        if (areas->hot[s].high < study->options->area_ha / (double)(first[s + 1] - first[s]))
            return true;
    return false;
}

/* In the order of the keys, so that the order given does not change the last digit. */
static void describe(foci_season_pair *pair, const foci_study *study, const foci_persistence_areas *areas) {
    foci_overlap overlap = {areas->both.value, areas->only_first.value, areas->only_second.value, areas->neither.value};
    double cell = study->grid->cell * study->grid->cell / HECTARE;
    if (overlap.both + overlap.first + overlap.second < cell)
        return;
    pair->jaccard = foci_overlap_jaccard(&overlap);
    pair->dice = foci_overlap_dice(&overlap);
    pair->kappa = foci_overlap_kappa(&overlap).kappa;
}

bool foci_season_pair_make(foci_season_pair *out, const foci_study *study, const foci_together *together,
                           const foci_persistence_areas *areas, foci_error *err) {
    bool turned = together->given[0] > together->given[1];
    foci_season_pair pair = foci_season_pair_none(study, together->given[turned], together->given[!turned]);
    pair.why_not = NULL;
    if (!judge(&pair, study, together, err))
        return false;
    if (is_cold(study, together, areas))
        pair.verdict = not_hot;
    pair.both = areas->both;
    pair.only_first = turned ? areas->only_second : areas->only_first;
    pair.only_second = turned ? areas->only_first : areas->only_second;
    pair.neither = areas->neither;
    pair.by_chance = areas->by_chance;
    describe(&pair, study, areas);
    *out = pair;
    return true;
}
