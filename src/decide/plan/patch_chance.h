/* What becomes of a patch that no plan knows of. */
#ifndef FOCI_DECIDE_PATCH_CHANCE_H
#define FOCI_DECIDE_PATCH_CHANCE_H

#include "fieldfoci/layout.h"

/* The stops that may fall into it; borrowed. */
typedef struct {
    const foci_layout *layout;
    const foci_point *there; /* further ones, meters */
    size_t there_count;
    double shows; /* chance that a stop in the patch reads at or above the threshold */
} foci_patch_stops;

/* Of round patches whose middle lies anywhere in the field: the share with one stop at least, and that of which one
 * stop at least gives it away. 2,000 patches drawn by lot, the same ones for the same field and seed. */
typedef struct {
    double one, shown;
} foci_patch_chance;

bool foci_patch_chance_find(foci_patch_chance *out, const foci_patch_stops *stops, const foci_multipolygon *field,
                            double patch, uint64_t seed, foci_error *err) FOCI_MUST_CHECK;

/* The least patch (square meters) that is shown with this chance; NaN where none in this field is. */
bool foci_patch_least(double *out, const foci_patch_stops *stops, const foci_multipolygon *field, double chance,
                      uint64_t seed, foci_error *err) FOCI_MUST_CHECK;

#endif
