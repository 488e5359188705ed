/* Normal readings, exactly: how likely they are with the flat columns of the mean and the overall sill taken out in
 * closed form, the system that is solved for them, and each reading from the others.
 *
 *   z = F b + e,   e ~ N(0, sill R),   R at parameters whose sigma^2 + noise^2 is 1
 *   S^2 = (z - F b)' R^-1 (z - F b) at the generalised least squares b
 *   likelihood            -1/2 [n log(2 pi S^2 / n) + n + log|R|]
 *   restricted likelihood -1/2 [(n - p) log(2 pi S^2 / (n - p)) + (n - p) + log|R| + log|F' R^-1 F| - log|F'F|]
 *
 * Patterson & Thompson 1971, Biometrika 58:545-554; Harville 1974, Biometrika 61:383-385, whose log|F'F| makes the
 * value independent of how the trend is written down; Mardia & Marshall 1984, Biometrika 71:135-146. */
#ifndef FOCI_ESTIMATE_EXACT_H
#define FOCI_ESTIMATE_EXACT_H

#include "estimate/gaussian/conditional.h"
#include "estimate/gaussian/covariance.h"

/* Readings once or in several columns (for example one per transformation), at the same stops; borrowed. */
typedef struct {
    const foci_observations *stops;
    const double *values; /* count x columns */
    size_t columns;
    bool restricted;
    double log_determinant; /* of F'F */
} foci_likelihood;

/* FOCI_BAD_INPUT where there are not two stops more than flat columns, or these cannot be told. */
bool foci_likelihood_make(foci_likelihood *out, const foci_observations *stops, const double *values, size_t columns,
                          bool restricted, foci_error *err) FOCI_MUST_CHECK;

/* What one thread works in: C = K + noise at one point, factored, and what follows from it. */
typedef struct {
    const foci_observations *stops; /* borrowed */
    double *block;                  /* owned */
    foci_covariance_room room;      /* its arrays are the factor's own where it is lean */
    double *factor;                 /* L of C, count x count */
    double *right;                  /* L^-1 (F, z): count x (flat + columns); z less its trend */
    double *alpha;                  /* C^-1 (z - F b) */
    double trend[FOCI_COLUMNS_MOST], normal[FOCI_COLUMNS_MOST * FOCI_COLUMNS_MOST]; /* b; N N' = F'C^-1 F */
} foci_exact;

/* For up to so many stops, and columns of F and readings together. `lean`: in a third of the memory, no correlations
 * being kept from one point to the next. */
bool foci_exact_make(foci_exact *out, size_t stops, size_t columns, bool lean, foci_error *err) FOCI_MUST_CHECK;
void foci_exact_free(foci_exact *work);

/* One for each of `threads`, as large as `likelihood` needs; freed by foci_exacts_free. NULL where memory fails. */
foci_exact *foci_exacts_make(size_t threads, const foci_likelihood *likelihood, foci_error *err) FOCI_MUST_CHECK;
void foci_exacts_free(foci_exact *works, size_t threads);

/* The stops to work on; borrowed until the next call. */
void foci_exact_take(foci_exact *work, const foci_observations *stops);

typedef struct {
    double log;  /* -infinity where R is singular */
    double sill; /* S^2 / n, restricted S^2 / (n - p) */
} foci_likelihood_value;

/* One value per column, of the stops that are taken. Readings that the trend fits exactly count as if a
 * hundred-millionth of their deviation were left. */
void foci_exact_likelihood(foci_likelihood_value *values, foci_exact *work, const foci_likelihood *likelihood,
                           const foci_parameters *at);

/* Solves for the readings of the stops that are taken. FOCI_NO_FIT where C is singular. */
bool foci_exact_solve(foci_exact *work, const foci_parameters *at, foci_error *err) FOCI_MUST_CHECK;

/* `given` (made with room enough) becomes the field given the stops of a system that is solved; `few` as there. */
bool foci_exact_condition(foci_conditional *given, const foci_exact *solved, bool few, foci_error *err) FOCI_MUST_CHECK;

/* C^-1 - C^-1 F (F' C^-1 F)^-1 F' C^-1, count x count, of a system that is solved; overwrites it. */
bool foci_exact_precision(double *precision, foci_exact *solved, foci_error *err) FOCI_MUST_CHECK;

/* Each reading of a system that is solved from the others, and the variance of what is then found in it (Dubrule 1983,
 * Mathematical Geology 15:687-699); overwrites the system. */
bool foci_exact_leave_one_out(double *estimate, double *variance, foci_exact *solved, foci_error *err) FOCI_MUST_CHECK;

#endif
