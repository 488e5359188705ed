/* The estimate between the stops, with its uncertainty: a method is fitted to the readings, then asked at places. */
#ifndef FIELDFOCI_SURFACE_H
#define FIELDFOCI_SURFACE_H

#include "fieldfoci/execution.h"
#include "fieldfoci/grid.h"
#include "fieldfoci/variogram.h"

typedef struct foci_surface_method foci_surface_method;
typedef struct foci_fit_method foci_fit_method;

/* Transformation of scores before kriging. FOCI_SCALE_OPEN: the step that fits chooses; no method takes it. */
typedef enum { FOCI_SCALE_NONE, FOCI_SCALE_AUTO, FOCI_SCALE_BOX_COX, FOCI_SCALE_OPEN } foci_scale;

/* Variation of counts from stop to stop beyond the smooth surface and the binomial. */
typedef enum {
    FOCI_STOP_VARIATION_AUTO, /* where its evidence is more than three times that of none */
    FOCI_STOP_VARIATION_ON,
    FOCI_STOP_VARIATION_OFF
} foci_stop_variation;

typedef struct {
    const foci_surface_method *method;
    double area;        /* of the field, square meters: ranges are judged in units of sqrt(area / stops) */
    double row_heading; /* degrees clockwise from grid north of the work system; NaN: isotropic */
    double least, most; /* limits of the reading's unit: 0 and 100 for percent, 0 and infinity else */
    double threshold;   /* reading's unit; NaN: no chance is computed */
    size_t neighbours;  /* nearest stops that enter each estimate; 0 = all */
    /* kriging */
    const foci_variogram *variogram; /* a whole model, taken as known; NULL: fitted */
    const foci_correlation *kind;    /* the model to fit; NULL: those tried by default */
    double smoothness;               /* of `kind`; 0: its own */
    const foci_fit_method *fit;      /* NULL: restricted likelihood */
    int trend;                       /* order of the drift: 0, 1 or 2 */
    foci_scale scale;
    double lambda;        /* of FOCI_SCALE_BOX_COX */
    double lag, farthest; /* of the semivariances, meters; 0: their own */
    /* counts */
    foci_stop_variation stop_variation;
    /* inverse distance */
    double power;
} foci_surface_options;

/* Isotropic, all stops enter each estimate, readings 0 and up as they are, no threshold; `method` and `area` are the
 * caller's to state. */
FOCI_API foci_surface_options foci_surface_options_make(void);

/* 5 %, 50 % and 95 % of the posterior; all NaN where a method has no such parameter. */
typedef struct {
    double low, median, high;
} foci_interval;

/* What became of an earlier season. Zeros and NaN where none was given. */
typedef struct {
    size_t stops;
    bool used;
    double rho;                               /* mean share of the surface's variance that both have in common */
    double log_score_with, log_score_without; /* mean over the left-out stops of the season in question */
    char why_not[256];                        /* why it could not be tried; "" where it was */
} foci_earlier_facts;

/* What a fit found out. NaN where a method knows nothing of it. */
typedef struct {
    foci_variogram
        variogram;        /* the best or the middle one, on the scale of estimation; kind NULL where there is none */
    bool logit;           /* the scale of estimation is log(p / (1 - p)) of the share infected */
    double lambda, shift; /* the Box-Cox scale; 1 and 0 where readings were taken as they are */
    foci_interval range;  /* practical range along the rows, meters */
    foci_interval ratio;  /* range across / along the rows */
    foci_interval nugget_share;  /* nugget / sill */
    foci_interval sigma;         /* counts: deviation of the surface, logit scale */
    foci_interval tau;           /* counts: deviation from stop to stop, logit scale */
    bool stop_variation;         /* counts: tau is part of the model */
    double stop_variation_ratio; /* counts: its evidence over that of none */
    double no_pattern;           /* share of the weight that says stops do not resemble their neighbors */
    double log_likelihood;       /* of the best model, or the log evidence */
    size_t components;           /* parameter points that the predictions average over */
    size_t fitted_on;            /* stops that the parameters come from */
    bool scale_open;             /* the readings do not tell the range or the spread: they lie at the end of the grid */
    double suggested_heading, suggested_ratio,
        suggested_gain; /* best direction without a row heading: reported, never used */
    double suggested_p; /* of such a gain where there is no direction */
    foci_earlier_facts earlier;
} foci_fit_summary;

/* Arrays of the caller, one number per place; any but `estimate` may be NULL. In the reading's unit, not held within
 * its limits where the method knows none. */
typedef struct {
    double *estimate;
    double *variance;   /* of the estimate's error; counts: of the true share. NaN where the method gives none */
    double *low, *high; /* 5 % and 95 % bounds */
    double *chance;     /* that severity is at or above the threshold */
} foci_prediction;

/* The same for each stop left out in turn, and how the reading compares. Where the method gives no variance only
 * `estimate` is filled; else none may be NULL. */
typedef struct {
    double *estimate;
    double *variance;  /* of the left-out reading about its estimate: counts with their sampling noise */
    double *log_score; /* log density (counts: log probability) of the left-out reading */
    bool *inside;      /* the reading lies inside its 90 % interval */
} foci_leave_one_out;

/* One row of the catalog of methods. */
struct foci_surface_method {
    const char *name;  /* "kriging" */
    const char *title; /* "ordinary kriging" */
    bool needs_counts; /* hits and checked */
    bool needs_variogram;
    bool gives_variance; /* and bounds and chances */
    bool on_nodes;       /* smooth on the logit scale: may be worked on a coarser lattice */
    size_t earlier_most; /* an earlier season can be read along up to so many stops of both; 0: never */
    const struct foci_surface_functions *functions; /* the method's own business */
};

/* Ends with a row of zeros. */
FOCI_API extern const foci_surface_method foci_surface_methods[];

/* The rows of these names, or NULL. */
FOCI_API const foci_surface_method *foci_surface_method_find(const char *name);
FOCI_API const foci_fit_method *foci_fit_method_find(const char *name);

/* A method fitted to readings, of which it keeps its own copy. */
typedef struct {
    const foci_surface_method *method; /* NULL: nothing is fitted */
    foci_fit_summary facts;
    double least, most, threshold; /* of the options */
    double spacing;                /* sqrt(area / stops), meters */
    foci_readings *readings;       /* owned */
    void *state;                   /* the method's own business; owned */
} foci_surface_model;

/* Fits the options' method. `earlier`: readings of an earlier season of the field, of the same unit and kind, places in
 * the same system, or NULL; they are used only where left-out stops are predicted better with them, and not kept.
 * FOCI_BAD_SETTING: options that cannot be meant (no method, no area, limits the wrong way round, a number left open).
 * FOCI_BAD_INPUT: no stops, or readings that the method cannot take. FOCI_NO_FIT: no model can be fitted. */
FOCI_API bool foci_surface_fit(foci_surface_model *out, const foci_readings *readings, const foci_readings *earlier,
                               const foci_surface_options *options, const foci_execution *how,
                               foci_error *err) FOCI_MUST_CHECK;

/* What the surface says at `count` places in the readings' system, meters. The answer at a place depends neither on the
 * others nor on the number of threads. FOCI_TOO_EARLY: nothing is fitted; so with the two below. */
FOCI_API bool foci_surface_at(const foci_surface_model *model, const foci_point *places, size_t count,
                              const foci_prediction *out, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* What it says at each of its stops without that stop's reading; arrays of readings->count numbers. FOCI_BAD_INPUT: a
 * single stop, which nothing is left for. */
FOCI_API bool foci_surface_leave_one_out(const foci_surface_model *model, const foci_leave_one_out *out,
                                         const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Posterior mean (count numbers) and covariance (count x count, column after column) of the surface at the places on
 * the scale of estimation (logit of the share; the scale of kriging), at the likeliest parameters: without the nugget,
 * and without what varies from stop to stop. `threshold` receives the model's on that scale. FOCI_NO_FIT: the method
 * knows none (moments, idw). */
FOCI_API bool foci_surface_covariance(const foci_surface_model *model, double *mean, double *covariance,
                                      double *threshold, const foci_point *places, size_t count,
                                      foci_error *err) FOCI_MUST_CHECK;

/* Whether the method of a fitted model knows a covariance. */
FOCI_API bool foci_surface_has_covariance(const foci_surface_model *model);

FOCI_API void foci_surface_model_free(foci_surface_model *model);

/* One number per cell of the grid, NaN outside the field. The last four are NULL where the method gives no variance;
 * chance is NULL too where no threshold is given. */
typedef struct {
    double *estimate;      /* reading's unit, held within [least, most] */
    double *deviation;     /* standard deviation of the estimate's error, reading's unit */
    double *low;           /* 5 % bound, reading's unit, held within [least, most] */
    double *high;          /* 95 % bound */
    double *chance;        /* that severity is at or above the threshold, 0 to 1 */
    size_t clamped;        /* cells whose estimate had to be brought within the bounds */
    size_t nodes;          /* cells between the lattice's nodes; 1: every cell was worked */
    double mean, min, max; /* over the field, mean weighted by each cell's share */
    double over;           /* expected share of the field at or above the threshold: mean chance; NaN without chances */
} foci_surface;

FOCI_API bool foci_surface_estimate(foci_surface *out, const foci_surface_model *model, const foci_grid *grid,
                                    const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_surface_free(foci_surface *surface);

#endif
