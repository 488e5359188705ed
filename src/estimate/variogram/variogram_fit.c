#include "fieldfoci/variogram.h"

#include <math.h>

#include "base/optimum.h"

/* The criterion is sum_j w_j (gamma_j - nugget - partial_sill r_j)^2, w_j = pairs_j / distance_j^2 (Cressie 1985,
 * Mathematical Geology 17:563-586). For a given range it is linear in nugget and partial sill, so only the range is
 * searched (variable projection: Golub & Pereyra 1973, SIAM Journal on Numerical Analysis 10:413-432). */

enum { SCAN = 240 }; /* starts of the search over the range, evenly spaced in its logarithm */

typedef struct {
    const foci_semivariances *semivariances;
    const foci_correlation *kind;
    double smoothness;
} problem;

typedef struct {
    double nugget, partial_sill, squares;
} sills;

static double weight_of(const foci_variogram_bin *bin) {
    return (double)bin->pairs / (bin->distance * bin->distance);
}

static double rise_at(const problem *p, double range, double distance) {
    return 1 - p->kind->at(distance / range, p->smoothness);
}

static double squares_of(const problem *p, double range, double nugget, double partial_sill) {
    double sum = 0;
    for (size_t j = 0; j < p->semivariances->count; j++) {
        const foci_variogram_bin *bin = &p->semivariances->bins[j];
        double left = bin->semivariance - nugget - partial_sill * rise_at(p, range, bin->distance);
        sum += weight_of(bin) * left * left;
    }
    return sum;
}

/* The best nugget and partial sill for this range, neither negative: the criterion is convex, so where the free minimum
 * is not allowed the best lies on an edge. */
static sills best_sills(const problem *p, double range) {
    double w = 0, wr = 0, wg = 0, wrg = 0, wrr = 0; /* weighted sums of 1, rise, gamma, and their products */
    for (size_t j = 0; j < p->semivariances->count; j++) {
        const foci_variogram_bin *bin = &p->semivariances->bins[j];
        double rise = rise_at(p, range, bin->distance), weight = weight_of(bin);
        w += weight;
        wr += weight * rise;
        wg += weight * bin->semivariance;
        wrg += weight * rise * bin->semivariance;
        wrr += weight * rise * rise;
    }
    double mean_rise = wr / w, mean_gamma = wg / w;
    double spread = 0, together = 0;
    for (size_t j = 0; j < p->semivariances->count; j++) {
        const foci_variogram_bin *bin = &p->semivariances->bins[j];
        double rise = rise_at(p, range, bin->distance) - mean_rise;
        spread += weight_of(bin) * rise * rise;
        together += weight_of(bin) * rise * (bin->semivariance - mean_gamma);
    }
    sills best = {mean_gamma, 0, squares_of(p, range, mean_gamma, 0)};
    double edge = wrr > 0 ? wrg / wrr : 0;
    double edge_squares = squares_of(p, range, 0, edge);
    if (edge_squares < best.squares)
        best = (sills){0, edge, edge_squares};
    if (spread > 1e-14 * w) {
        double slope = together / spread, start = mean_gamma - slope * mean_rise;
        if (slope >= 0 && start >= 0)
            best = (sills){start, slope, squares_of(p, range, start, slope)};
    }
    return best;
}

static double squares_at(const double *log_range, size_t count, void *context) {
    (void)count;
    return best_sills(context, exp(*log_range)).squares;
}

/* The least criterion over the range: every dip of the scan is refined, so no start can be unlucky. */
static bool search_range(double *log_range, double *squares, problem *p, double low, double high, foci_error *err) {
    double scan[SCAN];
    double step = (high - low) / (SCAN - 1);
    for (size_t k = 0; k < SCAN; k++)
        scan[k] = squares_at(&(double){low + step * (double)k}, 1, p);
    *squares = INFINITY;
    for (size_t k = 0; k < SCAN; k++) {
        if ((k > 0 && scan[k - 1] <= scan[k]) || (k + 1 < SCAN && scan[k + 1] < scan[k]))
            continue; /* no dip, or not the first point of a level stretch */
        double point = low + step * (double)k, least = 0;
        double from = fmax(low, point - step), to = fmin(high, point + step);
        if (!foci_minimise(&point, 1, &from, &to, squares_at, p, &least, err))
            return false;
        if (least < *squares) {
            *squares = least;
            *log_range = point;
        }
    }
    return true;
}

/* From a tenth of the nearest bin to ten times the farthest distance. */
static bool fit_kind(foci_variogram *out, const foci_semivariances *semivariances, const foci_correlation *kind,
                     double smoothness, foci_error *err) {
    problem p = {semivariances, kind, smoothness};
    double log_range = 0, squares = 0;
    if (!search_range(&log_range, &squares, &p, log(0.1 * semivariances->bins[0].distance),
                      log(10 * semivariances->farthest), err))
        return false;
    double range = exp(log_range);
    sills best = best_sills(&p, range);
    *out = (foci_variogram){.kind = kind,
                            .nugget = best.nugget,
                            .partial_sill = best.partial_sill,
                            .range = range,
                            .ratio = 1,
                            .smoothness = smoothness,
                            .fit = "weighted-squares",
                            .squares = best.squares};
    return true;
}

static bool all_zero(const foci_semivariances *semivariances) {
    for (size_t j = 0; j < semivariances->count; j++)
        if (semivariances->bins[j].semivariance > 0)
            return false;
    return semivariances->count > 0;
}

static double smoothness_of(const foci_correlation *kind, double smoothness) {
    return kind->has_smoothness && smoothness > 0 ? smoothness : kind->smoothness;
}

bool foci_variogram_fit(foci_variogram *out, const foci_semivariances *semivariances, const foci_correlation *kind,
                        double smoothness, foci_error *err) {
    const foci_correlation *first = kind ? kind : foci_correlations;
    if (all_zero(semivariances)) {
        *out = (foci_variogram){.kind = first,
                                .range = semivariances->farthest,
                                .ratio = 1,
                                .smoothness = smoothness_of(first, smoothness),
                                .fit = "constant"};
        return true;
    }
    if (semivariances->count < 3)
        return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                         "%zu distance bins with pairs are too few to fit a variogram; give {variogram}, or use "
                         "{surface} idw",
                         semivariances->count);
    foci_variogram best = {0};
    for (const foci_correlation *row = first; row->name; row++) {
        foci_variogram fitted = {0};
        if (!kind && !(row->tried_by & FOCI_TRIED_BY_SCORES))
            continue;
        if (!fit_kind(&fitted, semivariances, row, smoothness_of(row, smoothness), err))
            return false;
        if (!best.kind || fitted.squares < best.squares)
            best = fitted;
        if (kind)
            break;
    }
    *out = best;
    return true;
}
