/* Two seasons held against each other. */
#ifndef FOCI_DECIDE_PERSISTENCE_PAIR_H
#define FOCI_DECIDE_PERSISTENCE_PAIR_H

#include "decide/persistence_areas.h"

/* No comparison, for the reason of whichever season has one. */
foci_season_pair foci_season_pair_none(const foci_study *study, size_t first, size_t second);

/* Whether two seasons that were read together say that hotspots came back. */
bool foci_season_pair_came_back(bool *out, const foci_study *study, const foci_together *together,
                                foci_error *err) FOCI_MUST_CHECK;

/* What the two seasons say that were read together; `areas` are theirs. */
bool foci_season_pair_make(foci_season_pair *out, const foci_study *study, const foci_together *together,
                           const foci_persistence_areas *areas, foci_error *err) FOCI_MUST_CHECK;

#endif
