/* The comparison cell by cell. */
#ifndef FOCI_DECIDE_PERSISTENCE_MAP_H
#define FOCI_DECIDE_PERSISTENCE_MAP_H

#include "decide/seasons/persistence_study.h"

/* Fills hot_seasons, chance, class_chance and class_code: worked at the nodes of a lattice an eighth of the stops'
 * spacing apart, the rest interpolated. What is there already on failure belongs to the caller. */
bool foci_persistence_map(foci_persistence *out, const foci_study *study, const foci_together *together,
                          const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif
