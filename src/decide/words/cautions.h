/* What prevents harm: the sentences that stand on everything that is made of a survey or of several. */
#ifndef FOCI_DECIDE_CAUTIONS_H
#define FOCI_DECIDE_CAUTIONS_H

#include "fieldfoci/survey.h"

/* Those that are the same for any stops; `profile` NULL: no disease is named. */
bool foci_cautions_standing(foci_sentences *cautions, const foci_profile *profile, foci_error *err) FOCI_MUST_CHECK;

/* The cautions of a survey: those of its disease, those of every one, and of what it is made. */
bool foci_cautions_make(foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

#endif
