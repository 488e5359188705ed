#include "fieldfoci/pattern.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "decide/pattern/autocorrelation.h"
#include "decide/pattern/beta_binomial.h"
#include "decide/pattern/crowding.h"
#include "decide/pattern/dispersion.h"
#include "decide/pattern/field_mean.h"
#include "decide/pattern/join_counts.h"
#include "decide/pattern/likeness.h"
#include "decide/pattern/local_tests.h"
#include "decide/pattern/permutations.h"
#include "decide/pattern/supplies.h"
#include "decide/pattern/verdict.h"

/* ---- the part that has no place: dispersion and mean ---- */

static bool effort_is_equal(const foci_readings *readings) {
    for (size_t i = 1; i < readings->count; i++)
        if (readings->checked[i] != readings->checked[0])
            return false;
    return true;
}

static bool put_dispersion(foci_pattern *out, const foci_readings *readings, foci_reading_kind kind, foci_error *err) {
    size_t counted = kind == FOCI_READING_COUNT ? readings->count : 0;
    size_t alike = counted > 0 && effort_is_equal(readings) ? counted : 0;
    return foci_dispersion_make(&out->counts, readings->hits, alike, err) &&
           foci_beta_binomial_make(&out->incidence, readings->hits, readings->checked, counted, err);
}

/* The mean, and whether the stops crowd the bad spots. */
static bool put_mean(foci_pattern *out, const foci_readings *readings, foci_reading_kind kind, uint64_t seed,
                     foci_error *err) {
    foci_field_mean_find(&out->field.mean, readings, kind, out->incidence.rho);
    return foci_crowding_test(&out->field, readings, kind, seed, out->permutations, err);
}

/* ---- permutations ---- */

typedef double (*measured)(const foci_measures *m);

static double moran_of(const foci_measures *m) {
    return m->moran;
}

static double geary_of(const foci_measures *m) {
    return -m->geary; /* low where neighbours are alike */
}

static double general_g_of(const foci_measures *m) {
    return m->general_g;
}

static double joins_of(const foci_measures *m) {
    return m->joins;
}

static double transport_of(const foci_measures *m) {
    return m->transport;
}

/* (1 + permutations at least as far) / (1 + permutations). */
static double permuted_p(const foci_measures *measures, size_t permutations, measured of) {
    double own = of(&measures[0]), least = foci_permuted_least(own);
    size_t reached = 0;
    if (isnan(own))
        return NAN;
    for (size_t k = 1; k <= permutations; k++)
        reached += of(&measures[k]) >= least;
    return (double)(1 + reached) / (double)(1 + permutations);
}

static void put_transport(foci_pattern *out, const foci_measures *measures, const foci_supplies *supplies) {
    out->transport = (foci_transport_index){NAN, NAN, NAN, NAN, supplies->left_out};
    if (supplies->left_out)
        return;
    double sum = 0;
    for (size_t k = 1; k <= out->permutations; k++)
        sum += measures[k].transport;
    out->transport.distance = measures[0].transport * supplies->unit;
    out->transport.expected = sum / (double)out->permutations * supplies->unit;
    if (out->transport.expected > 0) {
        out->transport.index = out->transport.distance / out->transport.expected;
        out->transport.p = permuted_p(measures, out->permutations, transport_of);
    }
}

static void put_permuted(foci_pattern *out, const foci_measures *measures, const foci_supplies *supplies) {
    out->moran.permuted_p = permuted_p(measures, out->permutations, moran_of);
    out->geary.permuted_p = permuted_p(measures, out->permutations, geary_of);
    out->general_g.permuted_p = permuted_p(measures, out->permutations, general_g_of);
    if (!isnan(out->joins.value))
        out->joins.permuted_p = permuted_p(measures, out->permutations, joins_of);
    put_transport(out, measures, supplies);
}

static bool permute(foci_pattern *out, const foci_links *links, const bool *infected, const foci_readings *readings,
                    foci_reading_kind kind, const foci_pattern_options *options, const foci_execution *how,
                    foci_error *err) {
    foci_supplies supplies = {0};
    foci_measures *measures = NULL;
    bool ok = false;
    if (!foci_supplies_make(&supplies, readings, kind, err))
        return false;
    measures = foci_new_array(out->permutations + 1, sizeof *measures, err);
    if (!measures)
        goto done;
    foci_permutation_plan plan = {.links = links,
                                  .places = readings->places,
                                  .values = readings->values,
                                  .infected = infected,
                                  .parts = supplies.parts,
                                  .count = readings->count,
                                  .permutations = out->permutations,
                                  .seed = options->seed};
    if (!foci_permutations_run(measures, &plan, how, err))
        goto done;
    put_permuted(out, measures, &supplies);
    ok = true;
done:
    free(measures);
    foci_supplies_free(&supplies);
    return ok;
}

/* ---- the whole ---- */

static bool put_links(foci_pattern *out, foci_links *links, const foci_readings *readings, foci_error *err) {
    if (!foci_links_make(links, readings->places, readings->count, out->band, err))
        return false;
    out->isolated = foci_links_isolated(links);
    out->neighbours = readings->count ? (double)links->first[readings->count] / (double)readings->count : NAN;
    return true;
}

static bool put_local(foci_pattern *out, const foci_links *links, const foci_readings *readings, foci_error *err) {
    out->local = foci_new_array(readings->count, sizeof *out->local, err);
    return out->local && foci_local_tests_make(out->local, links, readings->values, err);
}

/* All that looks at which stops are neighbours. */
static bool put_autocorrelation(foci_pattern *out, const foci_links *links, const foci_readings *readings,
                                foci_reading_kind kind, const foci_pattern_options *options, const foci_execution *how,
                                foci_error *err) {
    bool *infected = foci_new_array(readings->count, sizeof *infected, err);
    if (!infected)
        return false;
    for (size_t i = 0; i < readings->count; i++)
        infected[i] = readings->values[i] > readings->none;
    bool ok = foci_autocorrelation_test(out, links, readings->values, err) &&
              foci_join_counts_test(&out->joins, links, infected, err) &&
              permute(out, links, infected, readings, kind, options, how, err);
    free(infected);
    return ok;
}

static bool are_equal(const foci_readings *readings) {
    for (size_t i = 1; i < readings->count; i++)
        if (readings->values[i] != readings->values[0])
            return false;
    return true;
}

static bool put_likeness(foci_pattern *out, const foci_readings *readings, foci_reading_kind kind,
                         const foci_pattern_options *options, const foci_execution *how, foci_error *err) {
    const foci_likeness_options wanted = {
        .row_heading = options->row_heading, .seed = options->seed, .permutations = out->permutations};
    return foci_likeness_test(&out->likeness_p, readings, kind, &wanted, how, err);
}

bool foci_pattern_make(foci_pattern *out, const foci_readings *readings, foci_reading_kind kind,
                       const foci_pattern_options *options, const foci_execution *how, foci_error *err) {
    const foci_execution permuting = foci_execution_part(how, 0, 0.7), testing = foci_execution_part(how, 0.7, 1);
    if (!(options->band >= 0 && options->band < INFINITY))
        return foci_fail(err, FOCI_BAD_SETTING, "{band}", 0,
                         "%g is no distance; give the meters within which stops are neighbors", options->band);
    if (options->no_pattern < 0 || options->no_pattern > 1)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0,
                         "%g is no weight of no pattern; give 0 to 1, or NaN where there is none", options->no_pattern);
    foci_pattern made = {.count = readings->count, .no_pattern = options->no_pattern, .all_equal = are_equal(readings)};
    foci_links links = {0};
    bool ok = false;
    if (!foci_readings_spacing(&made.spacing, readings, err))
        return false;
    made.band = options->band > 0 ? options->band : 1.5 * made.spacing;
    made.permutations = options->permutations > 0 ? options->permutations : (size_t)FOCI_PERMUTATIONS;
    if (!put_links(&made, &links, readings, err) || !put_dispersion(&made, readings, kind, err) ||
        !put_mean(&made, readings, kind, options->seed, err) || !put_local(&made, &links, readings, err) ||
        !put_autocorrelation(&made, &links, readings, kind, options, &permuting, err) ||
        !put_likeness(&made, readings, kind, options, &testing, err))
        goto done;
    foci_verdict_give(&made);
    *out = made;
    made = (foci_pattern){0};
    ok = true;
done:
    foci_links_free(&links);
    foci_pattern_free(&made);
    return ok;
}

void foci_pattern_free(foci_pattern *pattern) {
    free(pattern->local);
    *pattern = (foci_pattern){0};
}

foci_pattern_options foci_pattern_options_make(void) {
    return (foci_pattern_options){.seed = 1, .row_heading = NAN, .no_pattern = NAN};
}
