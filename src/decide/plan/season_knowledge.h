/* What surveys of earlier seasons say of a season to come. */
#ifndef FOCI_DECIDE_SEASON_KNOWLEDGE_H
#define FOCI_DECIDE_SEASON_KNOWLEDGE_H

#include "fieldfoci/layout.h"
#include "fieldfoci/stops.h"

typedef struct foci_season_knowledge foci_season_knowledge;

/* Seasons, oldest first, of one kind of reading, none with equal readings all over; their places in one system. Counts:
 * on the logit scale, `threshold` in percent; scores: on that of the last season's mean and deviation. FOCI_NO_FIT
 * where they found no stable estimate. */
bool foci_season_knowledge_make(foci_season_knowledge **out, const foci_readings *const *seasons, size_t count,
                                foci_reading_kind kind, double threshold, double row_heading, const foci_execution *how,
                                foci_error *err) FOCI_MUST_CHECK;
void foci_season_knowledge_free(foci_season_knowledge *seasons);

/* As a layout takes it, borrowed; `units` looked at in a stop to come. */
foci_layout_knowledge foci_season_knowledge_of(const foci_season_knowledge *seasons, double units);

/* The share of their pattern that is expected to come back. */
double foci_season_knowledge_rho(const foci_season_knowledge *seasons);

#endif
