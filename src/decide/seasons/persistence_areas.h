/* Hectares by where they are hot, with their intervals: from draws of all that is not known. */
#ifndef FOCI_DECIDE_PERSISTENCE_AREAS_H
#define FOCI_DECIDE_PERSISTENCE_AREAS_H

#include "decide/seasons/persistence_study.h"

typedef struct {
    foci_estimate hot[FOCI_SEASONS_MOST]; /* as the seasons read together */
    foci_estimate classes[FOCI_CLASS_UNSURE];
    /* of two seasons; by_chance: of `both`, the mean of the product of the two hot areas over the field's, and between
     * which the overlap lies where one of them is hot somewhere else */
    foci_estimate both, only_first, only_second, neither, by_chance;
} foci_persistence_areas;

bool foci_persistence_areas_make(foci_persistence_areas *out, const foci_study *study, const foci_together *together,
                                 const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Mean, and the 5 % and 95 % quantiles (linear between the sorted numbers), which are left sorted. */
foci_estimate foci_persistence_area_of(double *drawn, size_t count);

#endif
