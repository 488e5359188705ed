/* Kriging of scores: a Gaussian field on a Box-Cox scale whose covariance is not taken as known. The likelihood of its
 * range, nugget share, model (and ratio) with weak priors weighs a few systematic draws; each is kriged with trend and
 * sill integrated out, and what is said of a place is their mixture. */
#ifndef FOCI_ESTIMATE_SCORE_MODEL_H
#define FOCI_ESTIMATE_SCORE_MODEL_H

#include "estimate/fit/score_draws.h"
#include "estimate/predict/mixture.h"

typedef struct {
    foci_variogram variogram; /* sills on the scale of kriging */
    double weight;
    double widen; /* factor of the variance: the sill is estimated */
    foci_parameters at;
    foci_conditional given; /* given all stops; empty with neighbours */
    double *readings;       /* those of all stops that it has of its own; owned; NULL: the model's */
} foci_score_component;

typedef struct {
    foci_fit_summary facts; /* what the fit found */
    foci_box_cox scale;
    foci_readings readings;       /* borrowed */
    size_t earlier;               /* stops of an earlier season that enter */
    foci_observations stops;      /* on the scale of kriging, those of an earlier season with the sill of the one in
                                     question; in the frame of the components */
    foci_surface_options options; /* `variogram` is not kept */
    double *low, *high;           /* of readings that are classes, on the scale of kriging; owned; else NULL */
    bool constant;                /* all readings are equal: that reading, variance 0 */
    double freedom;               /* stops less functions of the trend where the sills come from all stops, else 0 */
    size_t neighbours;            /* 0: all stops enter */
    size_t count;
    foci_score_component *components; /* owned */
} foci_score_model;

/* More stops than this are read as their classes' middles: what lies in a class takes all stops to tell. */
enum { FOCI_SCORE_CLASSES_MOST = 1000 };

/* `readings` must outlive the model, those of an earlier season need not. FOCI_BAD_INPUT for too few stops, a trend
 * they cannot tell, readings that have no Box-Cox scale; FOCI_NO_FIT where no covariance fits; FOCI_NO_MEMORY where all
 * stops enter and their systems would take more than 2 GiB. */
bool foci_score_model_fit(foci_score_model *out, const foci_readings *readings, const foci_readings *earlier,
                          const foci_surface_options *options, bool headings, const foci_execution *how,
                          foci_error *err) FOCI_MUST_CHECK;

/* The options' variogram holds, and each reading is known with an error of this variance, which is no part of what is
 * estimated: on a stop too something is unknown. */
bool foci_score_model_known(foci_score_model *out, const foci_readings *readings, const double *error,
                            const foci_surface_options *options, foci_error *err) FOCI_MUST_CHECK;

/* The stops with the readings of one component; a view, not to be freed. */
foci_observations foci_score_model_stops(const foci_score_model *model, const foci_score_component *component);

void foci_score_model_free(foci_score_model *model);

/* A new reading at each of `count` places; on a stop its reading, with variance 0, where it has no error. */
bool foci_score_model_at(const foci_score_layers *out, const foci_score_model *model, const foci_point *places,
                         size_t count, double threshold, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Each stop from the others (Dubrule 1983, Mathematical Geology 15:687-699), sill and weights of the components as they
 * are without it; components and scale are not fitted anew. FOCI_BAD_INPUT where no stop can be spared. */
bool foci_score_model_leave_one_out(const foci_score_layers *out, const foci_score_model *model, double threshold,
                                    const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* More stops than this are put together into so many pools: the mean of each at the middle of its stops, the nugget
 * less accordingly. */
enum { FOCI_SCORE_POOLS = 1000 };

/* Mean and covariance (count x count) of the surface without its nugget, given the readings, under the component of the
 * largest weight: universal kriging of several places together (Cressie 1993, Statistics for Spatial Data, section
 * 3.4). All 0 but the mean where all readings are equal. */
bool foci_score_covariance(const foci_score_model *model, double *mean, double *covariance, const foci_point *places,
                           size_t count, foci_error *err) FOCI_MUST_CHECK;

#endif
