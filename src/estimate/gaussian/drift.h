/* The trend of a field: a polynomial in x and y, fitted together with what is left over. */
#ifndef FOCI_ESTIMATE_DRIFT_H
#define FOCI_ESTIMATE_DRIFT_H

#include "fieldfoci/geometry.h"

/* 1; x, y; x^2, x y, y^2. */
enum { FOCI_DRIFT_MOST = 6, FOCI_DRIFT_ORDER_MOST = 2 };

/* How many functions a trend of this order (0, 1 or 2) has: 1, 3 or 6. */
size_t foci_drift_count(int order);

/* The frame in which the functions are taken: centred on the stops, their farthest coordinate is 1. */
typedef struct {
    int order;
    foci_point centre;
    double scale; /* metres */
} foci_drift;

/* {0} with its order set where there are no places. */
foci_drift foci_drift_make(int order, const foci_point *places, size_t count);

/* The functions at a place, foci_drift_count(order) numbers. */
void foci_drift_at(const foci_drift *drift, foci_point place, double *functions);

/* F, count x functions, column after column. FOCI_BAD_INPUT where the places cannot tell the functions apart: too few,
 * or all on one line (order 1) or one conic (order 2). `log_determinant`: of F'F; may be NULL. */
bool foci_drift_fill(double *functions, double *log_determinant, const foci_drift *drift, const foci_point *places,
                     size_t count, foci_error *err) FOCI_MUST_CHECK;

/* Takes the trend of ordinary least squares from `values`, in place. FOCI_BAD_INPUT as above. */
bool foci_drift_remove(double *values, int order, const foci_point *places, size_t count,
                       foci_error *err) FOCI_MUST_CHECK;

#endif
