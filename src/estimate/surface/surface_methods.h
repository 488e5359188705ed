/* The rows of the catalogue of surface methods: what each is made of. */
#ifndef FOCI_ESTIMATE_SURFACE_METHODS_H
#define FOCI_ESTIMATE_SURFACE_METHODS_H

#include "fieldfoci/surface.h"

/* What a method is asked for, as surface.h has it. */
struct foci_surface_functions {
    bool (*fit)(void **state, foci_surface_facts *facts, const foci_readings *readings, const foci_readings *earlier,
                const foci_surface_options *options, const foci_execution *how, foci_error *err);
    void (*free)(void *state);
    /* Places are worked in fixed tiles, so the answer does not depend on the number of threads. */
    bool (*at)(const void *state, const foci_answers *out, const foci_point *places, size_t count,
               const foci_execution *how, foci_error *err);
    bool (*left_out)(const void *state, const foci_left_out *out, const foci_execution *how, foci_error *err);
    bool (*covariance)(const void *state, double *mean, double *covariance, double *threshold, const foci_point *places,
                       size_t count, foci_error *err); /* NULL: it knows none */
};

bool foci_surface_counts_fit(void **state, foci_surface_facts *facts, const foci_readings *readings,
                             const foci_readings *earlier, const foci_surface_options *options,
                             const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
void foci_surface_counts_free(void *state);
bool foci_surface_counts_at(const void *state, const foci_answers *out, const foci_point *places, size_t count,
                            const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
bool foci_surface_counts_left_out(const void *state, const foci_left_out *out, const foci_execution *how,
                                  foci_error *err) FOCI_MUST_CHECK;
bool foci_surface_counts_covariance(const void *state, double *mean, double *covariance, double *threshold,
                                    const foci_point *places, size_t count, foci_error *err) FOCI_MUST_CHECK;

bool foci_surface_kriging_fit(void **state, foci_surface_facts *facts, const foci_readings *readings,
                              const foci_readings *earlier, const foci_surface_options *options,
                              const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
void foci_surface_kriging_free(void *state);
bool foci_surface_kriging_at(const void *state, const foci_answers *out, const foci_point *places, size_t count,
                             const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
bool foci_surface_kriging_left_out(const void *state, const foci_left_out *out, const foci_execution *how,
                                   foci_error *err) FOCI_MUST_CHECK;
bool foci_surface_kriging_covariance(const void *state, double *mean, double *covariance, double *threshold,
                                     const foci_point *places, size_t count, foci_error *err) FOCI_MUST_CHECK;

bool foci_surface_moments_fit(void **state, foci_surface_facts *facts, const foci_readings *readings,
                              const foci_readings *earlier, const foci_surface_options *options,
                              const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
void foci_surface_moments_free(void *state);
bool foci_surface_moments_at(const void *state, const foci_answers *out, const foci_point *places, size_t count,
                             const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
bool foci_surface_moments_left_out(const void *state, const foci_left_out *out, const foci_execution *how,
                                   foci_error *err) FOCI_MUST_CHECK;

bool foci_surface_indicator_fit(void **state, foci_surface_facts *facts, const foci_readings *readings,
                                const foci_readings *earlier, const foci_surface_options *options,
                                const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
void foci_surface_indicator_free(void *state);
bool foci_surface_indicator_at(const void *state, const foci_answers *out, const foci_point *places, size_t count,
                               const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
bool foci_surface_indicator_left_out(const void *state, const foci_left_out *out, const foci_execution *how,
                                     foci_error *err) FOCI_MUST_CHECK;

bool foci_surface_indicator_covariance(const void *state, double *mean, double *covariance, double *threshold,
                                       const foci_point *places, size_t count, foci_error *err) FOCI_MUST_CHECK;

bool foci_surface_idw_fit(void **state, foci_surface_facts *facts, const foci_readings *readings,
                          const foci_readings *earlier, const foci_surface_options *options, const foci_execution *how,
                          foci_error *err) FOCI_MUST_CHECK;
void foci_surface_idw_free(void *state);
bool foci_surface_idw_at(const void *state, const foci_answers *out, const foci_point *places, size_t count,
                         const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
bool foci_surface_idw_left_out(const void *state, const foci_left_out *out, const foci_execution *how,
                               foci_error *err) FOCI_MUST_CHECK;

#endif
