#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/probability.h"
#include "estimate/space/neighbours.h"
#include "estimate/predict/score_model.h"
#include "base/parallel.h"

#define NONE ((size_t)-1)
#define LOG_ROOT_TWO_PI 0.9189385332046727

/* Of the sill: what rounding may leave of a variance where a mixture needs one above 0. */
#define LEAST_VARIANCE 1e-14
#define OF_A_CLASS 1e-4

/* What one thread works in. */
typedef struct {
    double *targets;             /* FOCI_TILE places, or one with neighbours */
    foci_conditional_room room;  /* for so many places */
    double *estimate, *variance; /* FOCI_TILE x components: those of one component stand together */
    double *mean, *deviation;    /* of one place, per component */
    double *weight;              /* left-out stops: per component */
    size_t *found;               /* neighbours only, as the rest */
    foci_observations near;
    foci_exact exact;
    foci_conditional given;
} workspace;

typedef struct {
    const foci_score_layers *out;
    const foci_score_model *model;
    const foci_point *places;
    size_t count;
    double threshold;
    bool leave_own; /* place i is stop i, which does not count */
    foci_neighbours *index;
    size_t threads;
    workspace *works; /* one per thread */
} job;

static void workspace_free(workspace *work) {
    free(work->targets);
    foci_conditional_room_free(&work->room);
    free(work->estimate);
    free(work->variance);
    free(work->mean);
    free(work->deviation);
    free(work->weight);
    free(work->found);
    foci_observations_free(&work->near);
    foci_exact_free(&work->exact);
    foci_conditional_free(&work->given);
}

static bool new_numbers(double **out, size_t rows, size_t columns, foci_error *err) {
    *out = foci_new_array(rows, columns * sizeof **out, err);
    return *out;
}

static bool workspace_make(workspace *work, const foci_score_model *model, foci_error *err) {
    const size_t near = model->neighbours, stops = near > 0 ? near : model->stops.count;
    const size_t places = near > 0 ? 1 : FOCI_TILE, columns = model->stops.columns.count;
    if (!new_numbers(&work->targets, foci_targets_room(&model->stops, places), 1, err) ||
        !foci_conditional_room_make(&work->room, stops, columns, places, err) ||
        !new_numbers(&work->estimate, model->count, FOCI_TILE, err) ||
        !new_numbers(&work->variance, model->count, FOCI_TILE, err) ||
        !new_numbers(&work->mean, model->count, 1, err) || !new_numbers(&work->deviation, model->count, 1, err) ||
        !new_numbers(&work->weight, model->count, 1, err))
        return false;
    if (near == 0)
        return true;
    work->found = foci_new_array(near, sizeof *work->found, err);
    for (size_t i = 0; work->found && i < near; i++)
        work->found[i] = i;
    return work->found && foci_observations_pick(&work->near, &model->stops, work->found, near, err) &&
           foci_exact_make(&work->exact, near, columns + 1, false, err) &&
           foci_conditional_make(&work->given, near, columns, err);
}

static void job_free(job *j) {
    for (size_t t = 0; j->works && t < j->threads; t++)
        workspace_free(&j->works[t]);
    free(j->works);
    foci_neighbours_close(j->index);
}

static bool job_make(job *j, size_t threads, foci_error *err) {
    j->threads = threads;
    j->works = foci_new_array(threads, sizeof *j->works, err);
    for (size_t t = 0; j->works && t < threads; t++)
        if (!workspace_make(&j->works[t], j->model, err))
            return false;
    if (!j->works)
        return false;
    return j->model->neighbours == 0 ||
           foci_neighbours_open(&j->index, j->model->readings.places, j->model->readings.count, err);
}

/* The stop of the season in question that lies on this place, or how many there are. */
static size_t stop_on(const foci_observations *stops, double along, double across) {
    size_t i = 0, own = stops->first[1];
    while (i < own && (stops->along[i] != along || stops->across[i] != across))
        i++;
    return i;
}

/* The reading of stop i of those that stand in the workspace; `found`: which of the model's they are, NULL: the same.
 */
static double reading_of(const foci_score_model *model, size_t component, const foci_observations *stops,
                         const size_t *found, size_t i) {
    const double *own = model->components[component].readings;
    return own ? own[found ? found[i] : i] : stops->readings[i];
}

/* Of the surface at places `first` and so many more of the tile -> of a new reading there. The nugget is a jump: on a
 * stop nothing is unknown but what lies in its class. */
static void take_readings(workspace *work, const foci_score_model *model, const foci_observations *stops,
                          const foci_targets *places, size_t first) {
    for (size_t i = 0; i < places->count; i++) {
        const size_t stop = stop_on(stops, places->along[i], places->across[i]);
        for (size_t k = 0; k < model->count; k++) {
            double *estimate = &work->estimate[k * FOCI_TILE + first + i];
            double *variance = &work->variance[k * FOCI_TILE + first + i];
            const double noise = model->components[k].at.noise[0];
            *variance += noise * noise;
            if (stop < stops->first[1] && !(stops->error[stop] > 0)) {
                *estimate = reading_of(model, k, stops, work->found, stop);
                *variance = 0;
            }
        }
    }
}

/* Estimates and variances of `count` places from all stops, component after component. */
static bool krige_whole(const job *j, workspace *work, size_t first, size_t count, foci_error *err) {
    const foci_observations *stops = &j->model->stops;
    const foci_targets places = foci_targets_fill(work->targets, stops, j->places + first, count, 0);
    work->room.with.held = (foci_parameters){0};
    for (size_t k = 0; k < j->model->count; k++) {
        const foci_score_component *component = &j->model->components[k];
        if (!foci_conditional_at(work->estimate + k * FOCI_TILE, work->variance + k * FOCI_TILE, &component->given,
                                 stops, &component->at, &places, &work->room, err))
            return false;
    }
    take_readings(work, j->model, stops, &places, 0);
    return true;
}

static bool krige_nearest(const job *j, workspace *work, size_t first, size_t count, foci_error *err) {
    const foci_score_model *model = j->model;
    for (size_t i = 0; i < count; i++) {
        const foci_point *place = &j->places[first + i];
        const size_t near =
            foci_neighbours_find(j->index, *place, model->neighbours, j->leave_own ? first + i : NONE, work->found);
        foci_observations_pick_again(&work->near, &model->stops, work->found, near);
        if (model->options.trend > 0) {
            double determinant = 0;
            foci_observations_settle(&work->near);
            if (!foci_columns_determinant(&determinant, &work->near.columns, work->near.f, near, err))
                return false;
        }
        foci_exact_take(&work->exact, &work->near);
        work->room.with.held = (foci_parameters){0};
        const foci_targets target = foci_targets_fill(work->targets, &work->near, place, 1, 0);
        for (size_t k = 0; k < model->count; k++) {
            const foci_parameters *at = &model->components[k].at;
            for (size_t s = 0; model->low && s < near; s++)
                work->near.readings[s] = reading_of(model, k, &work->near, work->found, s);
            if (!foci_exact_solve(&work->exact, at, err) ||
                !foci_exact_condition(&work->given, &work->exact, true, err) ||
                !foci_conditional_at(&work->estimate[k * FOCI_TILE + i], &work->variance[k * FOCI_TILE + i],
                                     &work->given, &work->near, at, &target, &work->room, err))
                return false;
        }
        take_readings(work, model, &work->near, &target, i);
    }
    return true;
}

/* Column i of the workspace as a mixture. On a stop no component leaves anything unknown; where components differ in
 * what lies in its class, each stands for a little of it. */
static foci_mixture mixture_of(const foci_score_model *model, const workspace *work, size_t i, const double *weight) {
    const double least = model->low ? OF_A_CLASS : LEAST_VARIANCE;
    bool known = !model->low;
    for (size_t k = 0; k < model->count; k++)
        known = known && work->variance[k * FOCI_TILE + i] == 0;
    for (size_t k = 0; k < model->count; k++) {
        const foci_score_component *component = &model->components[k];
        double sill = component->variogram.nugget + component->variogram.partial_sill;
        double variance = component->widen * work->variance[k * FOCI_TILE + i];
        work->mean[k] = work->estimate[k * FOCI_TILE + i];
        work->deviation[k] = known ? 0 : sqrt(fmax(variance, least * sill));
    }
    return (foci_mixture){model->count, weight, work->mean, work->deviation};
}

static void take_weights(const foci_score_model *model, double *weight) {
    for (size_t k = 0; k < model->count; k++)
        weight[k] = model->components[k].weight;
}

static bool work_places(void *context, size_t thread, size_t tile, foci_error *err) {
    const job *j = context;
    const size_t first = tile * FOCI_TILE, count = foci_tile_length(j->count, tile);
    workspace *work = &j->works[thread];
    if (j->model->neighbours > 0 ? !krige_nearest(j, work, first, count, err)
                                 : !krige_whole(j, work, first, count, err))
        return false;
    take_weights(j->model, work->weight);
    for (size_t i = 0; i < count; i++) {
        foci_mixture mixture = mixture_of(j->model, work, i, work->weight);
        foci_mixture_tell_score(j->out, first + i, &mixture, &j->model->scale, j->threshold);
    }
    return true;
}

/* Logarithm of the density at reading i of a component; of a class, of the chance of it. */
static double log_density(const foci_score_model *model, const foci_mixture *mixture, size_t k, size_t i) {
    const double mean = mixture->mean[k], deviation = mixture->deviation[k];
    const double z = (model->stops.readings[i] - mean) / deviation;
    if (!model->low || !(model->low[i] < model->high[i]))
        return -0.5 * z * z - log(deviation) - LOG_ROOT_TWO_PI;
    const double low = (model->low[i] - mean) / deviation, high = (model->high[i] - mean) / deviation;
    const double chance =
        low > 0 ? foci_normal_cdf(-low) - foci_normal_cdf(-high) : foci_normal_cdf(high) - foci_normal_cdf(low);
    return log(fmax(chance, DBL_MIN));
}

/* The weights without stop i: each is divided by the density that its component gives to the reading. Writes the log of
 * the density under the whole mixture. */
static void leave_weights(const foci_score_model *model, const foci_mixture *mixture, double *weight, size_t i,
                          double *log_score) {
    double best = -INFINITY, sum = 0;
    take_weights(model, weight);
    for (size_t k = 0; k < mixture->count; k++) {
        weight[k] = log(weight[k]) - log_density(model, mixture, k, i);
        best = fmax(best, weight[k]);
    }
    for (size_t k = 0; k < mixture->count; k++) {
        weight[k] = exp(weight[k] - best);
        sum += weight[k];
    }
    for (size_t k = 0; k < mixture->count; k++)
        weight[k] /= sum;
    /* sum of new weights x density = sum of old weights / (sum of old weights / density) */
    *log_score = -(best + log(sum));
}

static void tell_left_out(const job *j, workspace *work, size_t i, size_t column) {
    const foci_score_model *model = j->model;
    foci_mixture mixture = mixture_of(model, work, column, work->weight);
    double log_score = 0;
    leave_weights(model, &mixture, work->weight, i, &log_score);
    const bool of_class = model->low && model->low[i] < model->high[i];
    if (j->out->log_score)
        j->out->log_score[i] =
            log_score + (of_class ? 0 : foci_box_cox_log_slope(&model->scale, model->readings.values[i]));
    foci_mixture_tell_score(j->out, i, &mixture, &model->scale, j->threshold);
}

static bool work_left_out(void *context, size_t thread, size_t tile, foci_error *err) {
    const job *j = context;
    const size_t first = tile * FOCI_TILE, count = foci_tile_length(j->count, tile);
    workspace *work = &j->works[thread];
    if (!krige_nearest(j, work, first, count, err))
        return false;
    for (size_t i = 0; i < count; i++)
        tell_left_out(j, work, first + i, i);
    return true;
}

/* A sill S^2 / freedom without the stop: S^2 falls by error^2 / relative variance (deletion formula of least squares;
 * Cook & Weisberg 1982, Residuals and Influence in Regression, section 2.2). */
static double without_stop(double variance, double error, double freedom, double widen) {
    double left = fmax(freedom - error * error / variance, 1e-8) / (freedom - 1);
    double held = fmax(freedom - 1, 5);
    return variance * left * held / (held - 2) / widen; /* mixture_of widens again */
}

/* Estimates and variances of all stops, those of an earlier season too, under one component. */
static bool leave_each(double *estimate, double *variance, const foci_score_model *model,
                       const foci_score_component *component, foci_exact *work, foci_error *err) {
    const foci_observations stops = foci_score_model_stops(model, component);
    foci_exact_take(work, &stops);
    if (!foci_exact_solve(work, &component->at, err) || !foci_exact_leave_one_out(estimate, variance, work, err))
        return false;
    for (size_t i = 0; i < model->stops.count && model->freedom > 1; i++)
        variance[i] = without_stop(variance[i], stops.readings[i] - estimate[i], model->freedom, component->widen);
    return true;
}

static bool leave_whole(job *j, const foci_execution *how, foci_error *err) {
    const foci_observations *stops = &j->model->stops;
    const size_t n = stops->count;
    workspace *work = &j->works[0];
    foci_exact exact = {0};
    bool ok = false;
    double *estimate = NULL, *variance = NULL; /* stops x components */
    if (!new_numbers(&estimate, j->model->count, n, err) || !new_numbers(&variance, j->model->count, n, err) ||
        !foci_exact_make(&exact, n, stops->columns.count + 1, true, err))
        goto done;
    for (size_t k = 0; k < j->model->count; k++)
        if (!leave_each(estimate + k * n, variance + k * n, j->model, &j->model->components[k], &exact, err) ||
            !foci_execution_tell(how, (double)(k + 1) / (double)j->model->count, err))
            goto done;
    for (size_t i = 0; i < j->model->readings.count; i++) {
        for (size_t k = 0; k < j->model->count; k++) {
            work->estimate[k * FOCI_TILE] = estimate[k * n + i];
            work->variance[k * FOCI_TILE] = variance[k * n + i];
        }
        tell_left_out(j, work, i, 0);
    }
    ok = true;
done:
    free(estimate);
    free(variance);
    foci_exact_free(&exact);
    return ok;
}

/* All readings are equal, and nothing is unknown but where in their class they lie. */
static bool tell_constant(const foci_score_layers *out, const foci_score_model *model, size_t count, double threshold) {
    const double value = model->readings.values[0];
    const double width = model->readings.low ? model->readings.high[0] - model->readings.low[0] : 0;
    for (size_t i = 0; i < count; i++) {
        double mean = value, deviation = width / sqrt(12);
        foci_mixture mixture = {1, &(double){1}, &mean, &deviation};
        foci_mixture_tell_score(out, i, &mixture, &(foci_box_cox){0}, threshold);
        if (out->log_score)
            out->log_score[i] = NAN;
    }
    return true;
}

bool foci_score_model_at(const foci_score_layers *out, const foci_score_model *model, const foci_point *places,
                         size_t count, double threshold, const foci_execution *how, foci_error *err) {
    job j = {.out = out, .model = model, .places = places, .count = count, .threshold = threshold};
    if (model->constant)
        return tell_constant(out, model, count, threshold);
    const size_t tiles = foci_tiles(count);
    bool ok = job_make(&j, foci_parallel_threads(how, tiles), err) && foci_parallel(tiles, how, work_places, &j, err);
    job_free(&j);
    return ok;
}

bool foci_score_model_leave_one_out(const foci_score_layers *out, const foci_score_model *model, double threshold,
                                    const foci_execution *how, foci_error *err) {
    size_t n = model->readings.count;
    job j = {.out = out,
             .model = model,
             .places = model->readings.places,
             .count = n,
             .threshold = threshold,
             .leave_own = true};
    if (n <= foci_columns_drift(model->options.trend, 1).count)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "%zu stops are too few to leave one out; give more stops", n);
    if (model->constant)
        return tell_constant(out, model, n, threshold);
    const size_t tiles = model->neighbours > 0 ? foci_tiles(n) : 1;
    bool ok = job_make(&j, foci_parallel_threads(how, tiles), err);
    if (ok)
        ok = model->neighbours > 0 ? foci_parallel(tiles, how, work_left_out, &j, err) : leave_whole(&j, how, err);
    job_free(&j);
    return ok;
}
