/* What a fit tells, before it knows anything. */
#ifndef FOCI_ESTIMATE_SURFACE_FACTS_H
#define FOCI_ESTIMATE_SURFACE_FACTS_H

#include "fieldfoci/surface.h"

/* As surface.h says: NaN where nothing is known, readings taken as they are. */
foci_surface_facts foci_surface_facts_unknown(void);

#endif
