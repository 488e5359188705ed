#include "estimate/seasons/joint_slope.h"

#include <math.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/seasons/joint_mode.h"

/* How a change of K a moves the likelihood through the mode. log|I + W^1/2 K W^1/2| changes where the mode does, by W:
 * -1/2 d/df_i = 1/2 variance_i third_i, the posterior variance being (1 - inverse_ii) / W_i. Moved back through the
 * mode: (I - (K + W^-1)^-1 K) of it. Leaves (K + W^-1)^-1 in work->inverse. */
static bool find_through(double *through, foci_latent *work, foci_error *err) {
    const foci_observations *stops = work->stops;
    size_t n = stops->count;
    double *inverse = work->inverse, *right = work->scratch[1], *product = work->scratch[2];
    memcpy(inverse, work->factor, n * n * sizeof *inverse);
    if (!foci_linear_inverse(inverse, n, err))
        return false;
    for (size_t i = 0; i < n; i++) {
        const foci_response_terms terms =
            stops->response->terms(stops->readings[i], work->detail[i], work->offset[i] + work->field[i]);
        right[i] = 0.5 * terms.third * (1 - inverse[i * n + i]) / terms.weight;
    }
    for (size_t j = 0; j < n; j++)
        for (size_t i = 0; i < n; i++)
            inverse[j * n + i] *= work->root[i] * work->root[j];
    foci_linear_symmetric_product(work->covariance, right, n, product);
    foci_linear_symmetric_product(inverse, product, n, through);
    for (size_t i = 0; i < n; i++)
        through[i] = right[i] - through[i];
    return true;
}

/* Derivatives by what the covariance hangs on, pair by pair of stops. */
static void add_pairs(foci_joint_slope *slope, const foci_latent *work, const double *through) {
    const foci_observations *stops = work->stops;
    const foci_parameters *p = &work->at;
    const foci_correlation_family *family = &p->family;
    const double *pull = work->pull;
    double sill = p->sigma[0] * p->sigma[0], rate = family->practical / p->range;
    size_t n = stops->count;
    for (size_t j = 0; j < n; j++) {
        const double *inverse = work->inverse + j * n;
        slope->variance += sill * (0.5 * pull[j] * pull[j] - 0.5 * inverse[j] + through[j] * pull[j]);
        for (size_t i = j + 1; i < n; i++) {
            double h = work->room.distance[j * n + i], b = (stops->across[i] - stops->across[j]) * p->stretch;
            double by = sill * (pull[i] * pull[j] - inverse[i] + through[i] * pull[j] + through[j] * pull[i]);
            double fall = foci_correlation_slope(family->row, rate * h, family->smoothness);
            slope->variance += by * work->room.correlation[j * n + i];
            slope->range -= by * fall;
            if (h > 0)
                slope->ratio += by * fall * b * b / (h * h);
        }
    }
}

static void add_singles(foci_joint_slope *slope, const foci_latent *work, const double *through) {
    const double *pull = work->pull;
    double noise = work->at.noise[0];
    for (size_t i = 0; i < work->stops->count; i++) {
        slope->mean += pull[i] + through[i];
        slope->noise += 0.5 * noise * noise * (pull[i] * pull[i] - work->inverse[i * work->stops->count + i]);
    }
}

bool foci_joint_season_likelihood(double *log_likelihood, foci_joint_slope *slope, double *field,
                                  const foci_observations *season, const foci_parameters *parameters, foci_error *err) {
    foci_latent work = {0};
    if (!foci_latent_make(&work, season->count, err))
        return false;
    foci_latent_take(&work, season);
    double *through = work.scratch[0];
    bool ok = foci_joint_climb(log_likelihood, &work, parameters, field, err) &&
              (!slope || find_through(through, &work, err));
    if (ok && slope) {
        *slope = (foci_joint_slope){0};
        add_pairs(slope, &work, through);
        add_singles(slope, &work, through);
    }
    if (ok)
        memcpy(field, work.field, season->count * sizeof *field);
    foci_latent_free(&work);
    return ok;
}
