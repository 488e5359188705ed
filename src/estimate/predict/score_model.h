/* Kriging of scores: a Gaussian field on a Box-Cox scale whose covariance is not taken as known. The likelihood of its
 * range, nugget share, model (and ratio) with weak priors weighs a few systematic draws; each is kriged with trend and
 * sill integrated out, and what is said of a place is their mixture. */
#ifndef FOCI_ESTIMATE_SCORE_MODEL_H
#define FOCI_ESTIMATE_SCORE_MODEL_H

#include "estimate/gaussian/kriging_system.h"
#include "estimate/predict/score_mixture.h"
#include "fieldfoci/surface.h"

/* One row of the catalogue of fits. */
struct foci_score_fit {
    const char *name;  /* "restricted-likelihood" */
    const char *title; /* in words */
    bool restricted;   /* likelihood of what the trend leaves */
    bool by_squares;   /* weighted squares of the semivariances: one model, its parameters taken as known */
};

/* Ends with a row of zeros; the first row is the default. */
extern const foci_score_fit foci_score_fits[];

typedef struct {
    const foci_score_fit *fit;       /* NULL: the first row */
    const foci_variogram *variogram; /* given whole: nothing is fitted, scale auto is none; on the scale of kriging */
    const foci_correlation *kind;    /* NULL: those tried by default */
    double smoothness;               /* 0: the kind's own */
    int trend;                       /* 0, 1 or 2 */
    foci_scale scale;
    double lambda;         /* FOCI_SCALE_BOX_COX */
    double row_heading;    /* degrees; NaN: none, and the fit is isotropic */
    bool compare_headings; /* without a row heading: is there a better one? It is reported, never used */
    double spacing;        /* sqrt(field area / stops), metres; 0: of the stops' box */
    double least, most;    /* limits of the reading's unit, or infinite */
    size_t neighbours;     /* 0 = all stops enter each estimate */
    /* scores of an earlier season of the field, in the same unit, read together with these; NULL: none. Goes with a fit
     * by likelihood from all stops */
    const foci_readings *earlier;
    double lag, farthest; /* weighted squares: of the semivariances; 0: theirs */
} foci_score_options;

/* How the model came about. */
typedef struct {
    foci_variogram variogram; /* the best one, on the scale of kriging */
    double log_likelihood;    /* its, of the values on the scale of kriging; NaN where not fitted so */
    foci_box_cox scale;
    double scale_gain;   /* auto: log likelihood of the best exponent above that of 1, whether used or not; else NaN */
    double best_lambda;  /* auto: that exponent; else NaN */
    size_t fitted_to;    /* stops that the parameters come from */
    size_t components;   /* in the mixture */
    foci_interval range; /* practical, metres; low = median = high with one component */
    foci_interval nugget_share, ratio;
    double shared;     /* with an earlier season: mean share of the partial sill that both have in common */
    double no_pattern; /* weight of a nugget share of 0.9 and more, or a practical range below the spacing */
    /* The best anisotropic fit against the best isotropic one: along the row heading, or of 12 headings where they were
     * compared; else all NaN. */
    struct {
        double heading, ratio;
        double gain;   /* log likelihood */
        double chance; /* of such a gain in an isotropic field, approximately */
        bool used;
    } anisotropy;
} foci_score_summary;

typedef struct {
    foci_variogram variogram; /* sills on the scale of kriging */
    double weight;
    double widen;  /* factor of the variance: the sill is estimated */
    double shared; /* with an earlier season: share of the partial sill in common */
    foci_kriging_plane plane;
    foci_kriging_system system; /* all stops; empty with neighbours */
} foci_score_component;

typedef struct {
    foci_score_summary summary;
    foci_readings readings; /* borrowed */
    double *values;         /* readings on the scale of kriging; owned */
    size_t earlier;         /* stops of an earlier season that enter */
    double *earlier_values; /* theirs, on the scale of kriging and with the sill of the season in question; owned */
    foci_score_options options;
    bool constant;     /* all readings are equal: that reading, variance 0 */
    double freedom;    /* stops less functions of the trend where the sills come from all stops, else 0 */
    size_t neighbours; /* 0: all stops enter */
    size_t count;
    foci_score_component *components; /* owned */
} foci_score_model;

/* `readings` must outlive the model, those of an earlier season need not. FOCI_BAD_INPUT for too few stops, a trend
 * they cannot tell, readings that have no Box-Cox scale; FOCI_NO_FIT where no covariance fits; FOCI_NO_MEMORY where all
 * stops enter and their systems would take more than 2 GiB. */
bool foci_score_model_fit(foci_score_model *out, const foci_readings *readings, const foci_score_options *options,
                          const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
void foci_score_model_free(foci_score_model *model);

/* A new reading at each of `count` places; on a stop its reading, with variance 0. */
bool foci_score_model_at(const foci_score_layers *out, const foci_score_model *model, const foci_point *places,
                         size_t count, double threshold, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Each stop from the others (Dubrule 1983, Mathematical Geology 15:687-699), sill and weights of the components as they
 * are without it; components and scale are not fitted anew. FOCI_BAD_INPUT where no stop can be spared. */
bool foci_score_model_left_out(const foci_score_layers *out, const foci_score_model *model, double threshold,
                               const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif
