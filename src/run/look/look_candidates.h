/* Columns that may be one thing, by their names and cells, and the guesses that are made of them. */
#ifndef FOCI_RUN_LOOK_CANDIDATES_H
#define FOCI_RUN_LOOK_CANDIDATES_H

#include "run/look/look_parts.h"
#include "run/look/look_words.h"

enum { FOCI_MOST_CANDIDATES = 16 };

typedef struct {
    size_t count;
    size_t columns[FOCI_MOST_CANDIDATES];
    int fits[FOCI_MOST_CANDIDATES]; /* as foci_role_fit */
} foci_candidates;

typedef bool (*foci_may_be)(const foci_look *look, const foci_table *table, size_t column);

/* Those whose name fits and whose cells may be it; the first FOCI_MOST_CANDIDATES of them. */
void foci_candidates_find(foci_candidates *out, const foci_look *look, const foci_table *table, foci_role role,
                          foci_may_be may_be);

/* The one that fits best; `*tie` (else SIZE_MAX) is another that fits as well. False where there is none. */
bool foci_candidates_best(size_t *column, size_t *tie, const foci_candidates *candidates);

/* Numbers, whole, from 0 up. */
bool foci_may_be_count(const foci_look *look, const foci_table *table, size_t column);

/* "from 0 to 19", or "all 100". */
typedef struct {
    char text[64];
} foci_range_text;
foci_range_text foci_look_range(const foci_look_column *column);

/* One more guess; room for all is there. `value` NULL: nothing is to be given. */
bool foci_guess_add(foci_look *look, const char *setting, const char *column, const char *value, foci_error *err,
                    const char *format, ...) FOCI_MUST_CHECK FOCI_PRINTF(6, 7);

/* Infected units of units looked at; `*found`: hits were guessed. */
bool foci_look_guess_counts(foci_look *look, bool *found, const foci_table *table, foci_error *err) FOCI_MUST_CHECK;

/* Where a table's stops are, by its columns. */
bool foci_look_guess_places(foci_look *look, const foci_table *table, const foci_look_options *options,
                            foci_error *err) FOCI_MUST_CHECK;

#endif
