#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "decide/words/look_sentences.h"
#include "fieldfoci/rating.h"
#include "run/look/look_candidates.h"

/* One guess for each setting at most. */
enum { MOST_GUESSES = 8 };

/* ---- what cells may be ---- */

static bool is_kind(const foci_look *look, size_t column, const char *kind) {
    return strcmp(look->columns[column].kind, kind) == 0;
}

static bool may_be_score(const foci_look *look, const foci_table *table, size_t column) {
    (void)table;
    const foci_look_column *is = &look->columns[column];
    return is_kind(look, column, "number") && is->least >= 0 && (!foci_role_is_share(is->name) || is->most <= 100);
}

static bool may_be_date(const foci_look *look, const foci_table *table, size_t column) {
    (void)table;
    return is_kind(look, column, "date");
}

static int compare_texts(const void *a, const void *b) {
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* Whether some cell says what another one says. */
static bool repeats(bool *is, const foci_table *table, size_t column, foci_error *err) {
    const char **texts = foci_new_array(table->row_count, sizeof *texts, err);
    if (!texts)
        return false;
    for (size_t row = 0; row < table->row_count; row++) {
        const char *text = table->cells[row * table->column_count + column].text;
        texts[row] = text ? text : "";
    }
    qsort(texts, table->row_count, sizeof *texts, compare_texts);
    *is = false;
    for (size_t i = 1; i < table->row_count && !*is; i++)
        *is = strcmp(texts[i - 1], texts[i]) == 0;
    free(texts);
    return true;
}

/* Leaves those whose cells repeat themselves, or those whose do not. */
static bool keep(foci_candidates *candidates, const foci_table *table, bool repeating, foci_error *err) {
    size_t kept = 0;
    for (size_t i = 0; i < candidates->count; i++) {
        bool is = false;
        if (!repeats(&is, table, candidates->columns[i], err))
            return false;
        if (is != repeating)
            continue;
        candidates->columns[kept] = candidates->columns[i];
        candidates->fits[kept++] = candidates->fits[i];
    }
    candidates->count = kept;
    return true;
}

static bool may_be_id(const foci_look *look, const foci_table *table, size_t column) {
    return look->columns[column].filled == table->row_count;
}

static bool may_be_rater(const foci_look *look, const foci_table *table, size_t column) {
    (void)table;
    return is_kind(look, column, "text");
}

/* ---- settings that one column answers ---- */

static bool tell_tie(foci_look *look, const char *setting, size_t one, size_t other, foci_error *err) {
    return foci_sentences_add(&look->notes, err, FOCI_LOOK_TIED, look->columns[one].name, look->columns[other].name,
                              setting);
}

static bool guess_value(foci_look *look, const foci_table *table, bool has_counts, foci_error *err) {
    foci_candidates found;
    size_t column = 0, tie = 0;
    foci_candidates_find(&found, look, table, FOCI_ROLE_VALUE, may_be_score);
    if (!foci_candidates_best(&column, &tie, &found))
        return true;
    const foci_look_column *is = &look->columns[column];
    if (has_counts)
        return foci_sentences_add(&look->notes, err, FOCI_LOOK_ALSO_VALUE, is->name);
    if (tie != SIZE_MAX)
        return tell_tie(look, "value", column, tie, err);
    return foci_guess_add(look, "value", is->name, is->name, err, FOCI_LOOK_VALUE, is->name,
                          foci_role_is_share(is->name) ? FOCI_LOOK_PERCENT : FOCI_LOOK_SCORE, foci_look_range(is).text);
}

static bool guess_id(foci_look *look, const foci_table *table, foci_error *err) {
    foci_candidates found;
    size_t column = 0, tie = 0;
    foci_candidates_find(&found, look, table, FOCI_ROLE_ID, may_be_id);
    if (!keep(&found, table, false, err))
        return false;
    if (!foci_candidates_best(&column, &tie, &found))
        return true;
    if (tie != SIZE_MAX)
        return tell_tie(look, "id", column, tie, err);
    const char *name = look->columns[column].name;
    return foci_guess_add(look, "id", name, name, err, FOCI_LOOK_ID, name);
}

/* The only column of dates will do under any name. */
static bool find_dates(foci_candidates *out, bool *by_name, const foci_look *look, const foci_table *table) {
    foci_candidates_find(out, look, table, FOCI_ROLE_WHEN, may_be_date);
    *by_name = out->count > 0;
    for (size_t i = 0; !*by_name && i < look->column_count && out->count < 2; i++)
        if (may_be_date(look, table, i) && !foci_role_is_against(FOCI_ROLE_WHEN, look->columns[i].name)) {
            out->columns[out->count] = i;
            out->fits[out->count++] = 1;
        }
    return out->count > 0;
}

static bool guess_when(foci_look *look, const foci_table *table, foci_error *err) {
    foci_candidates found;
    size_t column = 0, tie = 0;
    bool by_name = false;
    if (!find_dates(&found, &by_name, look, table) || !foci_candidates_best(&column, &tie, &found))
        return true;
    if (tie != SIZE_MAX)
        return tell_tie(look, "when", column, tie, err);
    const foci_look_column *is = &look->columns[column];
    char range[40] = ""; /* where nobody can tell whether the day or the month comes first */
    if (strcmp(is->first, is->last) != 0)
        snprintf(range, sizeof range, FOCI_LOOK_WHEN_RANGE, is->first, is->last);
    else if (*is->first)
        snprintf(range, sizeof range, FOCI_LOOK_WHEN_ALL, is->first);
    return foci_guess_add(look, "when", is->name, is->name, err, FOCI_LOOK_WHEN, is->name,
                          by_name ? FOCI_LOOK_WHEN_NAMED : FOCI_LOOK_WHEN_ONLY, range);
}

static bool guess_rater(foci_look *look, const foci_table *table, foci_error *err) {
    foci_candidates found;
    size_t column = 0, tie = 0;
    foci_candidates_find(&found, look, table, FOCI_ROLE_RATER, may_be_rater);
    if (!keep(&found, table, true, err))
        return false;
    if (!foci_candidates_best(&column, &tie, &found))
        return true;
    if (tie != SIZE_MAX)
        return tell_tie(look, "rater", column, tie, err);
    const char *name = look->columns[column].name;
    return foci_guess_add(look, "rater", name, name, err, FOCI_LOOK_RATER, name);
}

/* ---- how stops were rated ---- */

/* What all filled cells say; NULL where one says something else. `*two`: both kinds are there. */
static const foci_rating *find_rating(const foci_look *look, const foci_table *table, size_t column, bool *two) {
    const foci_rating *first = NULL;
    *two = false;
    if (!is_kind(look, column, "text"))
        return NULL;
    for (size_t row = 0; row < table->row_count; row++) {
        const char *text = table->cells[row * table->column_count + column].text;
        const foci_rating *is = text ? foci_rating_find(text) : first;
        if (text && !is)
            return NULL;
        *two = *two || (first && is != first);
        first = first ? first : is;
    }
    return first;
}

static bool guess_rated(foci_look *look, const foci_table *table, foci_error *err) {
    for (size_t i = 0; i < look->column_count; i++) {
        bool two = false;
        const foci_rating *rating = find_rating(look, table, i, &two);
        const char *name = look->columns[i].name;
        if (!rating)
            continue;
        if (two)
            return foci_sentences_add(&look->notes, err, FOCI_LOOK_TWO_RATINGS, name);
        if (foci_text_same(name, "rated"))
            return foci_guess_add(look, "rated", name, NULL, err, FOCI_LOOK_RATED_READ, rating->name);
        return foci_guess_add(look, "rated", name, rating->name, err, FOCI_LOOK_RATED, name, rating->name);
    }
    return true;
}

/* ---- all of them ---- */

static bool has_reading(const foci_look *look) {
    for (size_t i = 0; i < look->guess_count; i++)
        if (strcmp(look->guesses[i].setting, "hits") == 0 || strcmp(look->guesses[i].setting, "value") == 0)
            return true;
    return false;
}

bool foci_look_guesses(foci_look *look, const foci_table *table, const foci_look_options *options, foci_error *err) {
    bool has_counts = false;
    look->guesses = foci_new_array(MOST_GUESSES, sizeof *look->guesses, err);
    const size_t before = look->notes.count;
    if (!look->guesses || !foci_look_guess_counts(look, &has_counts, table, err) ||
        !guess_value(look, table, has_counts, err))
        return false;
    if (!has_reading(look) && look->notes.count == before &&
        !foci_sentences_add(&look->notes, err, FOCI_LOOK_NO_READING))
        return false;
    return guess_id(look, table, err) && guess_when(look, table, err) && guess_rated(look, table, err) &&
           guess_rater(look, table, err) && foci_look_guess_places(look, table, options, err);
}
