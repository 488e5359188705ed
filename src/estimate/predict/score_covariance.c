#include "estimate/predict/score_covariance.h"

#include <math.h>
#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/space/pools.h"

static const foci_score_component *likeliest_component(const foci_score_model *model) {
    const foci_score_component *likeliest = model->components;
    for (size_t k = 1; k < model->count; k++)
        if (model->components[k].weight > likeliest->weight)
            likeliest = &model->components[k];
    return likeliest;
}

/* Places (not yet in the plane) and values of the pools of `pool`, in the arrays of the system. */
static bool fill_pools(foci_kriging_system *system, const foci_score_model *model, const size_t *pool, size_t pools,
                       foci_error *err) {
    const foci_readings *readings = &model->readings;
    double *members = foci_new_array(pools, sizeof *members, err);
    if (!members)
        return false;
    for (size_t i = 0; i < readings->count; i++)
        members[pool[i]]++;
    for (size_t i = 0; i < readings->count; i++) {
        system->u[pool[i]] += readings->places[i].x / members[pool[i]];
        system->v[pool[i]] += readings->places[i].y / members[pool[i]];
        system->values[pool[i]] += model->values[i] / members[pool[i]];
    }
    system->count = pools;
    free(members);
    return true;
}

/* A system of all stops, or of their pools. */
static bool solve_pools(foci_kriging_system *out, const foci_score_model *model, const foci_score_component *component,
                        foci_error *err) {
    size_t n = model->readings.count, pools = n;
    foci_kriging_system system = {0};
    foci_variogram variogram = component->variogram;
    bool ok = false;
    size_t *pool = foci_new_array(n, sizeof *pool, err);
    if (!pool)
        goto done;
    for (size_t i = 0; i < n; i++)
        pool[i] = i;
    if (n > FOCI_SCORE_POOLS && !foci_pools_make(pool, &pools, model->readings.places, n, FOCI_SCORE_POOLS, err))
        goto done;
    if (!foci_kriging_system_make(&system, pools, err) || !fill_pools(&system, model, pool, pools, err))
        goto done;
    system.order = model->options.trend;
    for (size_t i = 0; i < pools; i++)
        foci_kriging_plane_place(&component->plane, (foci_point){system.u[i], system.v[i]}, &system.u[i], &system.v[i]);
    variogram.nugget *= (double)pools / (double)n;
    if (!foci_kriging_system_solve(&system, &variogram, err))
        goto done;
    *out = system;
    system = (foci_kriging_system){0};
    ok = true;
done:
    foci_kriging_system_free(&system);
    free(pool);
    return ok;
}

/* Covariance of the surface between (u, v) and each of `count` places. */
static void covariance_to(double *out, const double *us, const double *vs, size_t count, double u, double v,
                          const foci_variogram *model) {
    for (size_t i = 0; i < count; i++)
        out[i] = hypot(us[i] - u, vs[i] - v);
    foci_kriging_covariances(out, count, model);
}

/* With K = covariances of stops and places, R = L^-1 K and G = N^-1 (f - W'R), where N N' = F'C^-1 F and W = L^-1 F:
 * covariance = prior - R'R + G'G. `known` has n x m numbers, `missing` functions x m, `product` m x m. */
static void condition(double *mean, double *covariance, const foci_kriging_system *s, const foci_variogram *model,
                      const double *u, const double *v, size_t m, double *known, double *missing, double *product) {
    size_t n = s->count, p = foci_kriging_system_functions(s);
    for (size_t j = 0; j < m; j++)
        covariance_to(known + j * n, s->u, s->v, n, u[j], v[j], model);
    foci_kriging_system_share(known, s, m);
    foci_linear_transposed_product(known, s->residual, n, m, 1, mean);
    foci_linear_solve_lower(s->factor, n, known, m);
    foci_linear_transposed_product(s->drift, known, n, p, m, missing);
    for (size_t j = 0; j < m; j++) {
        double functions[FOCI_KRIGING_FUNCTIONS];
        foci_kriging_system_functions_at(functions, s, (foci_point){u[j], v[j]});
        for (size_t k = 0; k < p; k++) {
            mean[j] += functions[k] * s->trend[k];
            missing[k + j * p] = functions[k] - missing[k + j * p];
        }
        covariance_to(covariance + j * m, u, v, m, u[j], v[j], model);
    }
    foci_linear_solve_lower(s->normal, p, missing, m);
    foci_linear_transposed_product(known, known, n, m, m, product);
    for (size_t i = 0; i < m * m; i++)
        covariance[i] -= product[i];
    foci_linear_transposed_product(missing, missing, p, m, m, product);
    for (size_t i = 0; i < m * m; i++)
        covariance[i] += product[i];
}

static bool krige(double *mean, double *covariance, const foci_kriging_system *system,
                  const foci_score_component *component, const foci_point *places, size_t count, foci_error *err) {
    const foci_variogram *model = &component->variogram;
    bool ok = false;
    double *v = NULL, *known = NULL, *missing = NULL, *product = NULL, *u = foci_new_array(count, sizeof *u, err);
    if (!u)
        goto done;
    v = foci_new_array(count, sizeof *v, err);
    if (!v)
        goto done;
    known = foci_new_array(system->count, count * sizeof *known, err);
    if (!known)
        goto done;
    missing = foci_new_array(FOCI_KRIGING_FUNCTIONS, count * sizeof *missing, err);
    if (!missing)
        goto done;
    product = foci_new_array(count, count * sizeof *product, err);
    if (!product)
        goto done;
    for (size_t j = 0; j < count; j++)
        foci_kriging_plane_place(&component->plane, places[j], &u[j], &v[j]);
    condition(mean, covariance, system, model, u, v, count, known, missing, product);
    for (size_t i = 0; i < count * count; i++)
        covariance[i] *= component->widen;
    for (size_t j = 0; j < count; j++)
        covariance[j + j * count] = fmax(covariance[j + j * count], 0);
    ok = true;
done:
    free(u);
    free(v);
    free(known);
    free(missing);
    free(product);
    return ok;
}

bool foci_score_covariance(const foci_score_model *model, double *mean, double *covariance, const foci_point *places,
                           size_t count, foci_error *err) {
    foci_kriging_system pools = {0};
    if (model->constant) {
        for (size_t j = 0; j < count; j++)
            mean[j] = model->readings.values[0];
        for (size_t i = 0; i < count * count; i++)
            covariance[i] = 0;
        return true;
    }
    const foci_score_component *component = likeliest_component(model);
    if (component->system.count > 0)
        return krige(mean, covariance, &component->system, component, places, count, err);
    bool ok =
        solve_pools(&pools, model, component, err) && krige(mean, covariance, &pools, component, places, count, err);
    foci_kriging_system_free(&pools);
    return ok;
}
