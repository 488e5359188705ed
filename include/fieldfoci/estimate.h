/* A number that is known only so well: an area, the mean of a field. */
#ifndef FIELDFOCI_ESTIMATE_H
#define FIELDFOCI_ESTIMATE_H

/* In the unit named where it stands. NaN where not known; a value may be known whose bounds are not. */
typedef struct {
    double value;     /* an expectation (areas) or a mean (of the field) */
    double low, high; /* 90 % bounds, 5 % on either side: quantiles of what was drawn, or a confidence interval */
} foci_estimate;

#endif
