/* What the picture of semivariances says beside its points and lines. */
#ifndef FOCI_DECIDE_VARIOGRAM_WORDS_H
#define FOCI_DECIDE_VARIOGRAM_WORDS_H

#include "base/text.h"
#include "fieldfoci/variogram.h"

extern const char foci_variogram_title[], foci_variogram_feet[], foci_variogram_meters[]; /* along the axes */
extern const char foci_variogram_nugget_means[], foci_variogram_sill_means[];

/* How far neighbors count. */
const char *foci_words_range_means(const foci_variogram *model);

/* What stands upwards; `unit` of the readings. Owned by the caller. */
char *foci_words_upwards(const char *unit, foci_error *err) FOCI_MUST_CHECK;

/* Adds how many points there are, the model in numbers (`model` NULL: none) and when it was made. */
bool foci_words_add_variogram(foci_text *text, const foci_semivariances *semivariances, const foci_variogram *model,
                              const char *made, foci_error *err) FOCI_MUST_CHECK;

#endif
