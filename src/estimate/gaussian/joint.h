/* Several seasons read together: the surface in season s is a mean plus a Gaussian field, and the fields of any two
 * seasons have the share rho of their variation in common. Covariance between place x in s and x' in u:
 * sigma_s sigma_u (rho + (1 - rho) [s = u]) R(h / range), R of the family. Counts: the surface is the logit of the
 * infected share, by Laplace's approximation (Rasmussen & Williams 2006, Gaussian Processes for Machine Learning,
 * section 3.4). Scores: readings are the surface plus independent normal noise, exactly. Method and limits:
 * docs/seasons.md. */
#ifndef FOCI_ESTIMATE_JOINT_H
#define FOCI_ESTIMATE_JOINT_H

#include "base/frame.h"
#include "fieldfoci/correlation.h"

enum { FOCI_JOINT_SEASONS_MOST = 12 };

/* Borrowed arrays, one number a stop. */
typedef struct {
    const foci_point *places; /* metres */
    const double *readings;   /* infected units; scores: brought to a mean near 0 and a deviation near 1 */
    const double *checked;    /* units checked, above 0, at least the infected ones; NULL: scores */
    size_t count;
} foci_joint_season;

/* On the scale of the surface: logits; for scores their own. */
typedef struct {
    size_t seasons;
    double mean[FOCI_JOINT_SEASONS_MOST];
    double sigma[FOCI_JOINT_SEASONS_MOST]; /* deviation of the field, > 0 */
    double noise[FOCI_JOINT_SEASONS_MOST]; /* scores: deviation of a reading from the surface, > 0 */
    foci_correlation_family family;
    double range; /* R(h / range) along the heading, metres, > 0 */
    double ratio; /* range along the heading over the range across it, >= 1 */
} foci_joint_parameters;

/* The stops of all seasons one after the other, from the first one's place and turned into the heading. */
typedef struct {
    size_t seasons, count;
    size_t first[FOCI_JOINT_SEASONS_MOST + 1]; /* of season s: first[s] ... first[s + 1] - 1 */
    bool scores;
    foci_frame frame;           /* of the first season's places */
    double *along, *across;     /* metres; owned, as the next two */
    double *readings, *checked; /* `checked` is zeros for scores */
} foci_joint_data;

/* `heading`: degrees clockwise from grid north; any where the ratio is 1. FOCI_BAD_INPUT (row = 1-based stop) for an
 * impossible reading or a season without stops; FOCI_BAD_SETTING for no season, more than FOCI_JOINT_SEASONS_MOST, or
 * both kinds of reading. */
bool foci_joint_data_make(foci_joint_data *out, const foci_joint_season *seasons, size_t count, double heading,
                          foci_error *err) FOCI_MUST_CHECK;
void foci_joint_data_free(foci_joint_data *data);

/* One season of the data: a view, not to be freed. */
foci_joint_data foci_joint_data_season(const foci_joint_data *data, size_t season);

/* Correlations of one place (turned) with `count` others. */
void foci_joint_correlate(double *correlation, const double *along, const double *across, size_t count,
                          foci_point turned, const foci_joint_parameters *parameters);

/* Covariance between two seasons at one place. */
double foci_joint_between(const foci_joint_parameters *parameters, double rho, size_t season, size_t other);

/* Log-likelihood of the reading of stop i where the surface there is `level`: its derivatives by the level, `weight`
 * being minus the second. Counts: without the binomial coefficient. */
typedef struct {
    double value, slope, weight, third;
} foci_joint_term;

foci_joint_term foci_joint_term_at(const foci_joint_data *data, const foci_joint_parameters *parameters, size_t season,
                                   size_t i, double level);

/* The mode of all fields at one rho; arrays of data->count, owned. */
typedef struct {
    foci_joint_parameters parameters;
    double rho;
    double log_likelihood; /* counts: Laplace's, without binomial coefficients; scores: exact */
    double *field, *pull;  /* f and K^-1 f */
    double *root;          /* W^1/2, W the likelihood's curvature */
    double *factor;        /* count x count: L L' = I + W^1/2 K W^1/2 */
} foci_joint_mode;

/* `start`: field to begin from, NULL for 0. 0 <= rho < 1. */
bool foci_joint_mode_make(foci_joint_mode *out, const foci_joint_data *data, const foci_joint_parameters *parameters,
                          double rho, const double *start, foci_error *err) FOCI_MUST_CHECK;
void foci_joint_mode_free(foci_joint_mode *mode);

/* Per place: `mean` one number a season, `covariance` seasons x seasons between the seasons at the place, and in `root`
 * seasons columns of data->count numbers, of which root'root is the covariance of the predictor before any reading
 * (Rasmussen & Williams 2006, equations 3.21 and 3.24). `correlation`: data->count numbers a place, as
 * foci_joint_correlate gives them for the mode's range and ratio. */
void foci_joint_mode_predict(const foci_joint_mode *mode, const foci_joint_data *data, const double *correlation,
                             size_t count, double *mean, double *covariance, double *root);

#endif
