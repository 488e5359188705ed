#include "estimate/seasons/joint_slope.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"

typedef struct {
    const foci_joint_data *data;
    const foci_joint_mode *mode;
    double *inverse; /* (I + W^1/2 K W^1/2)^-1, then (K + W^-1)^-1; owned */
    double *through; /* how a change of K a moves the likelihood through the mode; owned, as the next two */
    double *right, *product;
} slopes;

static void slopes_close(slopes *work) {
    free(work->inverse);
    free(work->through);
}

static bool slopes_open(slopes *work, foci_error *err) {
    size_t n = work->data->count;
    work->inverse = foci_new_array(n, n * sizeof *work->inverse, err);
    if (!work->inverse)
        return false;
    work->through = foci_new_array(n, 3 * sizeof *work->through, err);
    if (!work->through)
        return false;
    work->right = work->through + n;
    work->product = work->right + n;
    memcpy(work->inverse, work->mode->factor, n * n * sizeof *work->inverse);
    return foci_linear_inverse(work->inverse, n, err);
}

/* log|I + W^1/2 K W^1/2| changes where the mode does, by W: -1/2 d/df_i = 1/2 variance_i third_i, the posterior
 * variance being (1 - inverse_ii) / W_i. Moved back through the mode: (I - (K + W^-1)^-1 K) of it. */
static void find_through(slopes *work) {
    const foci_joint_data *data = work->data;
    const foci_joint_mode *mode = work->mode;
    const foci_joint_parameters *p = &mode->parameters;
    size_t n = data->count;
    for (size_t i = 0; i < n; i++) {
        foci_joint_term term = foci_joint_term_at(data, p, 0, i, p->mean[0] + mode->field[i]);
        work->right[i] = 0.5 * term.third * (1 - work->inverse[i * n + i]) / term.weight;
    }
    for (size_t j = 0; j < n; j++)
        for (size_t i = 0; i < n; i++)
            work->inverse[j * n + i] *= mode->root[i] * mode->root[j];
    for (size_t j = 0; j < n; j++) {
        double *column = work->through; /* of the covariance, not needed again */
        foci_joint_correlate(column, data->along, data->across, n, (foci_point){data->along[j], data->across[j]}, p);
        double sum = 0;
        for (size_t i = 0; i < n; i++)
            sum += column[i] * work->right[i];
        work->product[j] = sum * p->sigma[0] * p->sigma[0];
    }
    foci_linear_transposed_product(work->inverse, work->product, n, n, 1, work->through);
    for (size_t i = 0; i < n; i++)
        work->through[i] = work->right[i] - work->through[i];
}

/* Derivatives by what the covariance hangs on, pair by pair of stops. */
static void add_pairs(foci_joint_slope *slope, const slopes *work) {
    const foci_joint_data *data = work->data;
    const foci_joint_parameters *p = &work->mode->parameters;
    const foci_correlation_family *family = &p->family;
    const double *pull = work->mode->pull, *through = work->through;
    double sill = p->sigma[0] * p->sigma[0];
    size_t n = data->count;
    for (size_t j = 0; j < n; j++) {
        const double *inverse = work->inverse + j * n;
        slope->variance += sill * (0.5 * pull[j] * pull[j] - 0.5 * inverse[j] + through[j] * pull[j]);
        for (size_t i = j + 1; i < n; i++) {
            double a = data->along[i] - data->along[j], b = (data->across[i] - data->across[j]) * p->ratio;
            double h = sqrt(a * a + b * b), q = h / p->range;
            double by = sill * (pull[i] * pull[j] - inverse[i] + through[i] * pull[j] + through[j] * pull[i]);
            double fall = foci_correlation_slope(family->row, q, family->smoothness);
            slope->variance += by * family->row->at(q, family->smoothness);
            slope->range -= by * fall;
            if (h > 0)
                slope->ratio += by * fall * b * b / (h * h);
        }
    }
}

static void add_singles(foci_joint_slope *slope, const slopes *work) {
    const double *pull = work->mode->pull;
    double noise = work->mode->parameters.noise[0];
    for (size_t i = 0; i < work->data->count; i++) {
        slope->mean += pull[i] + work->through[i];
        slope->noise += 0.5 * noise * noise * (pull[i] * pull[i] - work->inverse[i * work->data->count + i]);
    }
}

bool foci_joint_season_likelihood(double *log_likelihood, foci_joint_slope *slope, double *field,
                                  const foci_joint_data *season, const foci_joint_parameters *parameters,
                                  foci_error *err) {
    foci_joint_mode mode = {0};
    slopes work = {.data = season, .mode = &mode};
    bool ok = foci_joint_mode_make(&mode, season, parameters, 0, field, err) && (!slope || slopes_open(&work, err));
    if (ok && slope) {
        foci_joint_slope found = {0};
        find_through(&work);
        add_pairs(&found, &work);
        add_singles(&found, &work);
        *slope = found;
    }
    if (ok) {
        *log_likelihood = mode.log_likelihood;
        memcpy(field, mode.field, season->count * sizeof *field);
    }
    slopes_close(&work);
    foci_joint_mode_free(&mode);
    return ok;
}
