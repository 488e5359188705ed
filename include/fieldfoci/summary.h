/* What the program prints and keeps as JSON, of nouns that need nothing else for it. Texts are owned by the caller. */
#ifndef FIELDFOCI_SUMMARY_H
#define FIELDFOCI_SUMMARY_H

#include "fieldfoci/plan.h"
#include "fieldfoci/profile.h"
#include "fieldfoci/seasons.h"
#include "fieldfoci/variogram.h"

/* The text of seasons.json. */
FOCI_API char *foci_seasons_summary(const foci_seasons *seasons, foci_error *err) FOCI_MUST_CHECK;

/* What `variogram --json` prints. `model` may be NULL. */
FOCI_API char *foci_variogram_summary(const foci_semivariances *semivariances, const foci_variogram *model,
                                      foci_error *err) FOCI_MUST_CHECK;

/* What `profiles NAME --json` prints: a whole profile, to be changed and given to --disease. */
FOCI_API char *foci_profile_summary(const foci_profile *profile, foci_error *err) FOCI_MUST_CHECK;

/* What `plan --json` prints. */
FOCI_API char *foci_plan_summary(const foci_plan *plan, foci_error *err) FOCI_MUST_CHECK;

#endif
