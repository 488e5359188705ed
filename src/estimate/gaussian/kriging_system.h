/* One kriging system: the stops that enter, factored once; any number of places estimated from it. */
#ifndef FOCI_ESTIMATE_KRIGING_SYSTEM_H
#define FOCI_ESTIMATE_KRIGING_SYSTEM_H

#include "base/frame.h"
#include "estimate/gaussian/drift.h"
#include "fieldfoci/variogram.h"

/* The plane in which the model is isotropic: centred, turned so that u runs along the heading, v divided by the ratio.
 */
typedef struct {
    foci_frame frame;
    double ratio;
} foci_kriging_plane;

foci_kriging_plane foci_kriging_plane_make(const foci_variogram *model, const foci_readings *readings);
void foci_kriging_plane_place(const foci_kriging_plane *plane, foci_point place, double *u, double *v);

/* Distances in the plane become covariances without the nugget, in place. */
void foci_kriging_covariances(double *distances, size_t count, const foci_variogram *model);

/* Of the trends of two seasons. */
enum { FOCI_KRIGING_FUNCTIONS = 2 * FOCI_DRIFT_MOST };

/* C = L L' covariance of the stops, F their drift, z their readings. Arrays have room for `room` stops. Set `order`
 * before solving: a trend of order 0 (as made), 1 or 2, in the coordinates of the plane, which spans the same trends as
 * x and y do. */
typedef struct {
    size_t room, count;
    size_t earlier; /* the last so many stops are of an earlier season, with a trend of its own ... */
    double shared;  /* ... and this share of the partial sill in common with the season in question; 0 as made */
    int order;
    double *u, *v;    /* stops' places in the plane, metres */
    double *values;   /* z, reading's unit */
    double *error;    /* variance of the error of each reading, which is no part of what is estimated; 0 as made */
    double *factor;   /* L, count x count */
    double *drift;    /* L^-1 F, count x functions */
    double *residual; /* C^-1 (z - F trend) */
    foci_drift frame; /* of this system's stops */
    double normal[FOCI_KRIGING_FUNCTIONS * FOCI_KRIGING_FUNCTIONS]; /* Cholesky factor of F' C^-1 F */
    double trend[FOCI_KRIGING_FUNCTIONS];                           /* generalised least squares */
} foci_kriging_system;

bool foci_kriging_system_make(foci_kriging_system *out, size_t room, foci_error *err) FOCI_MUST_CHECK;
void foci_kriging_system_free(foci_kriging_system *system);

/* How many functions the trends of the system's seasons have. */
size_t foci_kriging_system_functions(const foci_kriging_system *system);

/* They at a place of the plane in the season in question: those of an earlier season are 0. */
void foci_kriging_system_functions_at(double *functions, const foci_kriging_system *system, foci_point place);

/* Leaves of the covariances of all stops with `columns` places of the season in question what the seasons share;
 * system->count x columns. */
void foci_kriging_system_share(double *covariance, const foci_kriging_system *system, size_t columns);

/* Factors the system of the `count`, u, v and values that stand in it. FOCI_NO_FIT where it is singular. */
bool foci_kriging_system_solve(foci_kriging_system *system, const foci_variogram *model,
                               foci_error *err) FOCI_MUST_CHECK;

/* Estimates, for the season in question, at `count` places of the plane; `variance` may be NULL; `work` has room for
 * system->count x count. */
bool foci_kriging_system_at(double *estimate, double *variance, const foci_kriging_system *system,
                            const foci_variogram *model, const double *u, const double *v, size_t count, double *work,
                            foci_error *err) FOCI_MUST_CHECK;

/* Each stop from the others; overwrites the factor. */
bool foci_kriging_system_left_out(double *estimate, double *variance, foci_kriging_system *system,
                                  foci_error *err) FOCI_MUST_CHECK;

#endif
