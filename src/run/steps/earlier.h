/* An earlier season's survey, read along with this one's. */
#ifndef FOCI_RUN_EARLIER_H
#define FOCI_RUN_EARLIER_H

#include "fieldfoci/steps.h"

/* Reads the survey folder used->earlier into round->earlier and its readings, in the round's work system. Refused
 * with the reason: another field, disease, kind of reading, unit or rating, the same readings, a disease that does not
 * live in the soil (but for used->even_so), a round without a field. */
bool foci_earlier_read(foci_readings *out, foci_survey *round, const foci_survey_options *used,
                       foci_error *err) FOCI_MUST_CHECK;

/* Once the model is fitted: what became of it, as a sentence; where it could not be tried, a warning too. */
bool foci_earlier_tell(foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

#endif
