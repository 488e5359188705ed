/* The estimate between the stops, with its uncertainty. */
#ifndef FIELDFOCI_SURFACE_H
#define FIELDFOCI_SURFACE_H

#include "fieldfoci/grid.h"
#include "fieldfoci/variogram.h"

typedef struct foci_surface_method foci_surface_method;

typedef struct {
    const foci_surface_method *method;
    const foci_variogram *variogram; /* NULL where the method needs none */
    double power;                    /* inverse distance */
    size_t neighbours;               /* nearest stops that enter each estimate; 0 = all */
    int threads;                     /* 0 = all cores; the result does not depend on it */
    double least, most;              /* bounds of the reading's unit: 0 and 100 for percent, 0 and infinity else */
    double threshold;                /* reading's unit; NaN: no chance is computed */
    bool (*progress)(void *context, double share); /* may be NULL; called from one thread; false stops the work */
    void *context;
} foci_surface_options;

/* One row of the catalogue of methods. */
struct foci_surface_method {
    const char *name;  /* "kriging" */
    const char *title; /* "ordinary kriging" */
    bool needs_variogram;
    bool gives_variance;
    /* Estimates at `count` places; `variance` NULL where the method gives none or it is not wanted. Places are worked
     * in fixed tiles, so the answer does not depend on the number of threads. */
    bool (*at)(double *estimate, double *variance, const foci_readings *readings, const foci_surface_options *options,
               const foci_point *places, size_t count, foci_error *err);
    /* Each stop estimated from the others, the model not refitted. */
    bool (*left_out)(double *estimate, double *variance, const foci_readings *readings,
                     const foci_surface_options *options, foci_error *err);
};

/* Ends with a row of zeros. */
FOCI_API extern const foci_surface_method foci_surface_methods[];

FOCI_API const foci_surface_method *foci_surface_method_find(const char *name);

/* One number per cell of the grid, NaN outside the field. The last four are NULL where the method gives no variance;
 * chance is NULL too where no threshold is given. */
typedef struct {
    double *estimate;      /* reading's unit, held within [least, most] */
    double *deviation;     /* standard deviation of the estimate's error, reading's unit */
    double *low;           /* 5 % bound, reading's unit, held within [least, most] */
    double *high;          /* 95 % bound */
    double *chance;        /* that severity is at or above the threshold, 0 to 1 */
    size_t held;           /* cells whose estimate had to be brought within the bounds */
    double mean, min, max; /* over the field, mean weighted by each cell's share */
} foci_surface;

FOCI_API bool foci_surface_estimate(foci_surface *out, const foci_readings *readings, const foci_grid *grid,
                                    const foci_surface_options *options, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_surface_free(foci_surface *surface);

/* The chance that severity is at or above `threshold`, given estimate and variance of a normal error; a variance of 0
 * gives 0 or 1. */
FOCI_API double foci_surface_chance(double estimate, double variance, double threshold);

#endif
