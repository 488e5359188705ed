#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "data/stops/columns.h"
#include "decide/words/look_sentences.h"
#include "fieldfoci/profile.h"
#include "run/look/look_candidates.h"

static bool may_be_units(const foci_look *look, const foci_table *table, size_t column) {
    const foci_look_column *is = &look->columns[column];
    return foci_may_be_count(look, table, column) && is->most >= 1 && is->most <= FOCI_CHECKED_MOST;
}

/* The first row, from 1, with more hits than units; 0 where there is none. */
static size_t row_above(const foci_table *table, size_t hits, size_t checked) {
    char ignored[32];
    for (size_t row = 0; row < table->row_count; row++) {
        const foci_cell *cells = table->cells + row * table->column_count;
        if (foci_cell_number(&cells[hits], ignored) > foci_cell_number(&cells[checked], ignored))
            return (size_t)foci_table_row(table, row);
    }
    return 0;
}

/* How many built-in profiles call the pair so; `checked` NULL: the hits alone. */
static bool count_usual(size_t *out, const char *hits, const char *checked, foci_error *err) {
    *out = 0;
    for (size_t i = 0; foci_profile_name(i); i++) {
        foci_profile profile = {0};
        if (!foci_profile_read(&profile, foci_profile_name(i), err))
            return false;
        *out +=
            foci_text_same(profile.hits_column, hits) && (!checked || foci_text_same(profile.checked_column, checked));
        foci_profile_free(&profile);
    }
    return true;
}

/* ---- the pair that fits best ---- */

typedef struct {
    int fit; /* 0: no pair */
    size_t hits, checked, usual;
    bool tied;
    size_t tied_hits, tied_checked;        /* another pair that fits as well */
    size_t row, above_hits, above_checked; /* where a pair was given up: a row with more hits than units */
} best_pair;

static bool try_pair(best_pair *best, const foci_look *look, const foci_table *table, size_t hits, size_t checked,
                     int fit, foci_error *err) {
    const size_t row = row_above(table, hits, checked);
    size_t usual = 0;
    if (row > 0) {
        if (best->row == 0) {
            best->row = row;
            best->above_hits = hits;
            best->above_checked = checked;
        }
        return true;
    }
    if (!count_usual(&usual, look->columns[hits].name, look->columns[checked].name, err))
        return false;
    fit += usual > 0;
    if (fit > best->fit) {
        best->fit = fit;
        best->hits = hits;
        best->checked = checked;
        best->usual = usual;
        best->tied = false;
    } else if (fit == best->fit && !best->tied) {
        best->tied = true;
        best->tied_hits = hits;
        best->tied_checked = checked;
    }
    return true;
}

static bool find_pair(best_pair *best, const foci_look *look, const foci_table *table, const foci_candidates *hits,
                      const foci_candidates *checked, foci_error *err) {
    *best = (best_pair){0};
    for (size_t h = 0; h < hits->count; h++)
        for (size_t c = 0; c < checked->count; c++)
            if (hits->columns[h] != checked->columns[c] &&
                !try_pair(best, look, table, hits->columns[h], checked->columns[c], hits->fits[h] + checked->fits[c],
                          err))
                return false;
    return true;
}

/* ---- what is said of it ---- */

static bool tell_pair(foci_look *look, const best_pair *best, foci_error *err) {
    const char *hits = look->columns[best->hits].name, *checked = look->columns[best->checked].name;
    char usual[64] = "";
    if (best->usual > 0)
        snprintf(usual, sizeof usual, FOCI_LOOK_USUAL_PAIR, best->usual, best->usual == 1 ? "s" : "");
    return foci_guess_add(look, "hits", hits, hits, err, FOCI_LOOK_HITS, hits,
                          foci_look_range(&look->columns[best->hits]).text, checked, usual) &&
           foci_guess_add(look, "checked", checked, checked, err, FOCI_LOOK_CHECKED, checked,
                          foci_look_range(&look->columns[best->checked]).text);
}

static bool tell_tie(foci_look *look, const best_pair *best, foci_error *err) {
    return foci_sentences_add(&look->notes, err, FOCI_LOOK_TIED_COUNTS, look->columns[best->hits].name,
                              look->columns[best->checked].name, look->columns[best->tied_hits].name,
                              look->columns[best->tied_checked].name);
}

static bool tell_above(foci_look *look, const best_pair *best, foci_error *err) {
    return foci_sentences_add(&look->notes, err, FOCI_LOOK_MORE_HITS, look->columns[best->above_hits].name,
                              look->columns[best->above_checked].name, best->row);
}

/* No column tells how many were looked at. */
static bool tell_hits_alone(foci_look *look, bool *found, const foci_candidates *hits, foci_error *err) {
    size_t column = 0, tie = 0, usual = 0;
    if (!foci_candidates_best(&column, &tie, hits) || tie != SIZE_MAX)
        return true;
    const char *name = look->columns[column].name;
    if (!count_usual(&usual, name, NULL, err))
        return false;
    *found = true;
    return foci_guess_add(look, "hits", name, name, err, FOCI_LOOK_HITS_ALONE, name,
                          foci_look_range(&look->columns[column]).text, usual > 0 ? FOCI_LOOK_USUAL_NAME : "") &&
           foci_sentences_add(&look->notes, err, FOCI_LOOK_NO_CHECKED);
}

bool foci_look_guess_counts(foci_look *look, bool *found, const foci_table *table, foci_error *err) {
    foci_candidates hits, checked;
    best_pair best;
    foci_candidates_find(&hits, look, table, FOCI_ROLE_HITS, foci_may_be_count);
    foci_candidates_find(&checked, look, table, FOCI_ROLE_CHECKED, may_be_units);
    *found = false;
    if (!find_pair(&best, look, table, &hits, &checked, err))
        return false;
    if (best.fit > 0 && best.tied)
        return tell_tie(look, &best, err);
    if (best.fit > 0) {
        *found = true;
        return tell_pair(look, &best, err);
    }
    return best.row > 0 ? tell_above(look, &best, err) : tell_hits_alone(look, found, &hits, err);
}
