/* A score model fitted and asked, for its tests. */
#ifndef FOCI_TESTS_SCORE_ANSWERS_H
#define FOCI_TESTS_SCORE_ANSWERS_H

#include "estimate/predict/score_model.h"
#include "support/simulated_scores.h"

static inline foci_surface_options options_of(void) {
    return (foci_surface_options){.row_heading = NAN, .least = -INFINITY, .most = INFINITY};
}

static inline foci_score_model fitted_with(const foci_readings *stops, const foci_surface_options *options,
                                           bool headings) {
    foci_score_model model = {0};
    foci_error err = {0};
    assert_done(foci_score_model_fit(&model, stops, NULL, options, headings, HOW, &err), err);
    return model;
}

static inline foci_score_model fitted(const foci_readings *stops, const foci_surface_options *options) {
    return fitted_with(stops, options, false);
}

/* Room for every layer. */
typedef struct {
    double estimate[200], variance[200], low[200], high[200], chance[200], log_score[200];
} answers;

static inline foci_score_layers layers_of(answers *a) {
    return (foci_score_layers){a->estimate, a->variance, a->low, a->high, a->chance, a->log_score};
}

static inline void ask(answers *a, const foci_score_model *model, const foci_point *places, size_t count,
                       double threshold) {
    foci_error err = {0};
    foci_score_layers out = layers_of(a);
    assert_done(foci_score_model_at(&out, model, places, count, threshold, HOW, &err), err);
}

static inline void leave(answers *a, const foci_score_model *model, double threshold) {
    foci_error err = {0};
    foci_score_layers out = layers_of(a);
    assert_done(foci_score_model_leave_one_out(&out, model, threshold, HOW, &err), err);
}

static inline foci_variogram given(const char *kind, double nugget, double partial_sill, double range) {
    return (foci_variogram){.kind = foci_correlation_find(kind),
                            .nugget = nugget,
                            .partial_sill = partial_sill,
                            .range = range,
                            .heading = 20,
                            .ratio = 0.6,
                            .smoothness = 1.5};
}

#endif
