/* How far two maps of one field agree. What is not defined is NaN, never 0 or 1. Sources and use: docs/agreement.md. */
#ifndef FIELDFOCI_AGREEMENT_H
#define FIELDFOCI_AGREEMENT_H

#include "fieldfoci/geometry.h"

/* Cells, hectares or expected hectares by where they are hot; none below 0. */
typedef struct {
    double both, first, second, neither; /* first: on the first map only */
} foci_overlap;

/* Shared of all that is hot: both / (both + first + second) (Jaccard 1901) and twice both over the two maps' sums (Dice
 * 1945). NaN where nothing is hot. */
FOCI_API double foci_overlap_jaccard(const foci_overlap *overlap);
FOCI_API double foci_overlap_dice(const foci_overlap *overlap);

/* What would be hot on both if the maps had nothing to do with each other, in the parts' unit. NaN for no area. */
FOCI_API double foci_overlap_expected(const foci_overlap *overlap);

/* Chance of at least so many cells hot on both where the second map's hot cells fall anywhere (hypergeometric). Far too
 * small for maps, whose neighboring cells are alike: a yardstick, not a test. Whole cells; NaN for none. */
FOCI_API double foci_overlap_above(const foci_overlap *cells);

/* Agreement beyond chance (Cohen 1960, 1968) and its standard errors. These need counts of independent cases, which
 * cells of a map are not. NaN where chance alone would agree fully. */
typedef struct {
    double kappa;
    double observed, expected; /* shares (weighted) of agreement */
    double error;              /* Fleiss, Cohen & Everitt 1969 */
    double simple_error;       /* Cohen 1960 */
    double null_error;         /* where there is no agreement beyond chance; Fleiss, Cohen & Everitt 1969 */
} foci_kappa;

/* `table`: classes x classes, row by row, none below 0. `disagreement`: as large, the cost of each confusion, at least
 * 0, 0 for agreement; NULL: all confusions count alike. All NaN where the table is empty. */
FOCI_API bool foci_kappa_make(foci_kappa *out, const double *table, const double *disagreement, size_t classes,
                              foci_error *err) FOCI_MUST_CHECK;

/* The same of hot and not hot. */
FOCI_API foci_kappa foci_overlap_kappa(const foci_overlap *overlap);

/* Pearson's correlation over the cells where both maps have a value; NaN where either does not vary there. */
FOCI_API double foci_map_correlation(const double *first, const double *second, size_t count);

/* Correlation of two maps, tested with as many degrees of freedom as two autocorrelated maps have. */
typedef struct {
    double correlation;
    double effective; /* sample size: as many independent pairs would tell as much */
    double t, degrees;
    double above; /* p, one-sided: a correlation at least as large by chance */
    double both;  /* p, two-sided */
} foci_modified_t;

/* Dutilleul 1993 (Biometrics 49:305), autocovariances from distance classes (0, width], (width, 2 width], ... meters up
 * to the largest distance. t and p are NaN where `effective` is not above 3: too few. FOCI_BAD_INPUT for fewer than
 * three places, FOCI_BAD_SETTING for a width that is not above 0 or makes a million classes. */
FOCI_API bool foci_modified_t_classical(foci_modified_t *out, const foci_point *places, const double *first,
                                        const double *second, size_t count, double width,
                                        foci_error *err) FOCI_MUST_CHECK;

/* A map that a Gaussian model predicted: `root` holds rows x cells, column by column (one column a cell), and root'root
 * is the covariance of the predictor (not of its error) between cells. */
typedef struct {
    const double *values, *root;
    size_t rows;
} foci_predicted_map;

/* The same with the models' own covariances: effective sample size 1 + tr(A) tr(B) / tr(A B), of
 * both covariances centered over the cells. `cells` numbers in each map's `values`; roots of any number of rows. */
FOCI_API bool foci_modified_t_model(foci_modified_t *out, const foci_predicted_map *first,
                                    const foci_predicted_map *second, size_t cells, foci_error *err) FOCI_MUST_CHECK;

#endif
