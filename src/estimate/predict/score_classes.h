/* Scores that are known to lie between two limits only: classes of an ordinal scale. What lies in the classes is drawn
 * together with the parameters, in turn (data augmentation: Tanner & Wong 1987, Journal of the American Statistical
 * Association 82:528-540), so that each component of the mixture has readings of its own. */
#ifndef FOCI_ESTIMATE_SCORE_CLASSES_H
#define FOCI_ESTIMATE_SCORE_CLASSES_H

#include "estimate/fit/score_draws.h"

/* Where the drawing begins: each class's stops are spread evenly over it, in an order that is drawn. */
bool foci_score_classes_start(double *values, const foci_readings *readings, foci_error *err) FOCI_MUST_CHECK;

/* All stops in the frame of the draws, those of an earlier season with the sill of the other. */
bool foci_score_observe(foci_observations *out, const foci_readings *own, const foci_readings *earlier, int trend,
                        const foci_score_draws *draws, foci_error *err) FOCI_MUST_CHECK;

/* Draws of parameters, of equal weight, and the own season's readings of each: `values`, FOCI_SCORE_DRAWS x own->count.
 * `own`, `earlier` (none: a count of 0): on the scale of kriging; own->values, inside own->low and own->high, become
 * those of the last draw. Facts are those of the last draw too, from which no other differs in kind. */
bool foci_score_classes_draw(foci_score_draws *out, double *values, foci_fit_summary *facts, foci_readings *own,
                             const foci_readings *earlier, const foci_surface_options *options, bool headings,
                             const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif
