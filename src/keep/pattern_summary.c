#include "keep/pattern_summary.h"

#include <stddef.h>

#include "keep/summary_parts.h"

/* One number of a struct under its key. */
typedef struct {
    const char *key;
    size_t where;
} number_row;

static bool put_numbers(foci_json *object, const void *from, const number_row *rows, foci_error *err) {
    for (const number_row *row = rows; row->key; row++)
        if (!foci_json_put_number(object, row->key, *(const double *)((const char *)from + row->where), err))
            return false;
    return true;
}

#define AT(member) offsetof(foci_pattern, member)
static const number_row overall[] = {
    {"no_pattern_weight", AT(no_pattern)},
    {"likeness_p", AT(likeness_p)},
    {"moran_i", AT(moran.value)},
    {"moran_expectation", AT(moran.expectation)},
    {"moran_variance", AT(moran.variance)},
    {"moran_z", AT(moran.z)},
    {"moran_p", AT(moran.p)},
    {"moran_permuted_p", AT(moran.permuted_p)},
    {"geary_c", AT(geary.value)},
    {"geary_z", AT(geary.z)},
    {"geary_p", AT(geary.p)},
    {"geary_permuted_p", AT(geary.permuted_p)},
    {"general_g", AT(general_g.value)},
    {"general_g_z", AT(general_g.z)},
    {"general_g_p", AT(general_g.p)},
    {"general_g_permuted_p", AT(general_g.permuted_p)},
    {"dispersion", AT(incidence.dispersion)},
    {"dispersion_p", AT(incidence.p)},
    {"c_alpha_z", AT(incidence.c_alpha_z)},
    {"c_alpha_p", AT(incidence.c_alpha_p)},
    {"beta_binomial_share", AT(incidence.beta_share)},
    {"beta_binomial_theta", AT(incidence.theta)},
    {"beta_binomial_rho", AT(incidence.rho)},
    {"variance_to_mean", AT(counts.ratio)},
    {"variance_to_mean_p", AT(counts.p)},
    {"morisita", AT(counts.morisita)},
    {"lloyd_crowding", AT(counts.crowding)},
    {"lloyd_patchiness", AT(counts.patchiness)},
    {"green", AT(counts.green)},
    {"negative_binomial_k", AT(counts.k)},
    {"negative_binomial_k_moments", AT(counts.k_moments)},
    {"transport_distance_m", AT(transport.distance)},
    {"transport_index", AT(transport.index)},
    {"transport_p", AT(transport.p)},
    {"field_mean", AT(field.mean.value)},
    {"field_mean_low", AT(field.mean.low)},
    {"field_mean_high", AT(field.mean.high)},
    {"declustered_mean", AT(field.declustered)},
    {"crowding_p", AT(field.crowding_p)},
    {"band_m", AT(band)},
    {"neighbours", AT(neighbours)},
    {0},
};

bool foci_pattern_summary_put(foci_json *root, const foci_survey *round, foci_error *err) {
    const foci_pattern *pattern = &round->pattern;
    if (!round->has_pattern)
        return foci_json_put_null(root, "pattern", err);
    foci_json *object = foci_summary_child(root, "pattern", err);
    return object && foci_json_put_text(object, "verdict", foci_verdict_name(pattern->verdict), err) &&
           foci_json_put_text(object, "why", pattern->why, err) && put_numbers(object, pattern, overall, err) &&
           foci_json_put_text(object, "transport_left_out", pattern->transport.left_out, err) &&
           foci_json_put_bool(object, "crowded", pattern->field.preferential, err) &&
           foci_json_put_whole(object, "islands", (long long)pattern->isolated, err) &&
           foci_json_put_whole(object, "permutations", (long long)pattern->permutations, err);
}

char *foci_pattern_summary(const foci_survey *round, foci_error *err) {
    char *text = NULL;
    foci_json *root = foci_json_object(err);
    if (root && foci_json_put_whole(root, "stops", (long long)round->readings.count, err) &&
        foci_json_put_text(root, "unit", round->stops.unit, err) && foci_pattern_summary_put(root, round, err))
        text = foci_json_print(root, err);
    foci_json_free(root);
    return text;
}
