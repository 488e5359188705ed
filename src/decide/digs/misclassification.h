/* Where a further reading would best tell which places pass the threshold: a posterior of many places on a scale where
 * it is normal, and what readings to come would take from its uncertainty. */
#ifndef FOCI_DECIDE_MISCLASSIFICATION_H
#define FOCI_DECIDE_MISCLASSIFICATION_H

#include "fieldfoci/error.h"

/* Chance that a place is on the other side of the threshold than its mean. `off`: |mean - threshold| over its
 * deviation. */
double foci_misclassified(double off);

/* The same, expected, after readings that take `learned` from the variance: 2 T(off, sqrt((variance - learned) /
 * learned)), T Owen's function. 0 where nothing is left unknown. */
double foci_misclassified_after(double off, double variance, double learned);

typedef struct {
    size_t count;       /* places */
    size_t targets;     /* the first so many count; the others are places where readings may be taken too */
    double *covariance; /* count x count: what is still unknown; owned */
    double *off;        /* per target; 0 / 0 is infinity: nothing to learn */
    double *variance;   /* per target, before any reading */
    double *learned;    /* per target: taken from it so far */
} foci_misclassification;

/* Takes over `covariance` (count x count; NULLs it). A threshold that is infinite leaves nothing to learn. */
bool foci_misclassification_make(foci_misclassification *out, const double *mean, double **covariance, size_t count,
                                 size_t targets, double threshold, foci_error *err) FOCI_MUST_CHECK;
void foci_misclassification_free(foci_misclassification *m);

/* Misclassified targets expected after what was learned so far. */
double foci_misclassification_sum(const foci_misclassification *m);

/* The same if a reading with error variance `noise` were taken at `place` too. */
double foci_misclassification_with(const foci_misclassification *m, size_t place, double noise);

/* A reading will be taken there: C <- C - C(., x) C(x, .) / (C(x, x) + noise). Its value is not needed. */
void foci_misclassification_learn(foci_misclassification *m, size_t place, double noise);

#endif
