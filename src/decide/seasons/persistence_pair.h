/* Two seasons held against each other. */
#ifndef FOCI_DECIDE_PERSISTENCE_PAIR_H
#define FOCI_DECIDE_PERSISTENCE_PAIR_H

#include "decide/seasons/persistence_areas.h"

/* Of two seasons that cannot be read together, for the reason of whichever has one: "no comparison", or where that is
 * only since a surface does not vary, "not hot anywhere" or "cannot tell" (P = 1). */
foci_season_pair foci_season_pair_none(const foci_study *study, size_t first, size_t second);

/* The same where a season turned out not to vary. */
void foci_season_pair_set_flat(foci_season_pair *pair, const foci_study *study, size_t season, const char *why);

/* What the two seasons say that were read together; `areas` are theirs. */
bool foci_season_pair_make(foci_season_pair *out, const foci_study *study, const foci_together *together,
                           const foci_persistence_areas *areas, foci_error *err) FOCI_MUST_CHECK;

#endif
