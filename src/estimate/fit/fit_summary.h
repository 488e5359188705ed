/* What a fit tells, before it knows anything. */
#ifndef FOCI_ESTIMATE_FIT_SUMMARY_H
#define FOCI_ESTIMATE_FIT_SUMMARY_H

#include "fieldfoci/surface.h"

/* As surface.h says: NaN where nothing is known, readings taken as they are. */
foci_fit_summary foci_fit_summary_unknown(void);

#endif
