#include "decide/pattern/crowding.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/random.h"
#include "decide/pattern/evenness.h"
#include "decide/pattern/field_mean.h"
#include "decide/pattern/moments.h"
#include "decide/pattern/permutations.h"

/* Permutations take readings for independent of each other. In patchy fields with stops laid out at random they are
 * not, and 1 in 100 becomes up to 9 in 100 (docs/pattern.md); so no laxer chance is asked for here. */
static const double chance_most = 0.01;

static bool put_declustered(foci_field_mean *field, const foci_readings *readings, foci_reading_kind kind,
                            foci_error *err) {
    double *weights = foci_new_array(readings->count, sizeof *weights, err);
    const bool ok = weights && foci_decluster(weights, &field->cell, readings->places, readings->count, err);
    if (ok)
        field->declustered = foci_field_mean_weighted(readings, kind, weights);
    free(weights);
    return ok;
}

/* (1 + permutations at least as far) / (1 + permutations). */
static double chance_of(double own, const double *density, const foci_readings *readings, uint64_t seed,
                        size_t permutations, size_t *order) {
    const double least = foci_permuted_least(own);
    size_t reached = 0;
    for (size_t k = 1; k <= permutations; k++) {
        foci_random draws = foci_random_stream(seed, k);
        foci_random_order(&draws, order, readings->count);
        reached += foci_correlation(density, readings->values, order, readings->count) >= least;
    }
    return (double)(1 + reached) / (double)(1 + permutations);
}

bool foci_crowding_test(foci_field_mean *field, const foci_readings *readings, foci_reading_kind kind, uint64_t seed,
                        size_t permutations, foci_error *err) {
    foci_field_mean made = {.mean = field->mean, .crowding = NAN, .crowding_p = NAN};
    bool even = false, ok = false;
    size_t *order = NULL;
    double *density = foci_new_array(readings->count, sizeof *density, err);
    if (!density)
        return false;
    order = foci_new_array(readings->count, sizeof *order, err);
    if (!order || !put_declustered(&made, readings, kind, err) ||
        !foci_stop_density(density, &even, readings->places, readings->count, err))
        goto done;
    if (!even)
        made.crowding = foci_correlation(density, readings->values, NULL, readings->count);
    if (!isnan(made.crowding))
        made.crowding_p = chance_of(made.crowding, density, readings, seed,
                                    permutations > 0 ? permutations : (size_t)FOCI_PERMUTATIONS, order);
    made.preferential = made.crowding_p <= chance_most && made.mean.value > made.declustered;
    *field = made;
    ok = true;
done:
    free(order);
    free(density);
    return ok;
}
