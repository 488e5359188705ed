#include "decide/seasons/seasons_guards.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/places/overlay.h"

#define LEAST_OVERLAP 0.95
#define LEAST_OVERLAP_EVEN_SO 0.8

enum { WHAT_SIZE = 320 };

bool foci_seasons_overlap(double *out, const foci_field *one, const foci_field *other, foci_error *err) {
    foci_multipolygon both = {0};
    if (!foci_overlay_intersection(&both, &one->shape, &other->shape, err))
        return false;
    const double common = foci_multipolygon_area(&both);
    const double either = foci_multipolygon_area(&one->shape) + foci_multipolygon_area(&other->shape) - common;
    *out = either > 0 ? common / either : 0;
    foci_multipolygon_free(&both);
    return true;
}

static const char *kind_of(const foci_survey *round) {
    return round->stops.kind == FOCI_READING_COUNT ? "counts" : "scores";
}

/* ---- one season against another ---- */

typedef struct {
    const foci_survey *one, *other;
    const char *name;
    foci_sentences *even_so; /* NULL: nothing gives way */
    const char *reason;      /* to go on; NULL: none */
    char *fence;             /* WHAT_SIZE: receives what stops the pair; NULL: nobody asks */
} guarded_pair;

/* `what` goes on after the survey's name. */
static bool stop(const guarded_pair *pair, bool may_go_on, const char *what, foci_error *err) {
    may_go_on = may_go_on && pair->even_so;
    if (may_go_on && pair->reason)
        return foci_sentences_add(pair->even_so, err, "%s %s: %s", pair->name, what, pair->reason);
    if (pair->fence)
        snprintf(pair->fence, WHAT_SIZE, "%s", what);
    return foci_fail(err, FOCI_BAD_INPUT, pair->name, 0, "%s%s", what,
                     may_go_on ? "; {even-so} REASON goes on all the same" : "; hold like against like");
}

static bool guard_disease(const guarded_pair *pair, foci_error *err) {
    const foci_survey *one = pair->one, *other = pair->other;
    char what[WHAT_SIZE];
    if (one->has_profile == other->has_profile &&
        (!one->has_profile || strcmp(one->profile.name, other->profile.name) == 0))
        return true;
    if (one->has_profile && other->has_profile)
        snprintf(what, sizeof what, "is of another disease: %.100s, not %.100s", other->profile.title,
                 one->profile.title);
    else if (other->has_profile)
        snprintf(what, sizeof what, "is of %.100s; the survey it is held against names no disease",
                 other->profile.title);
    else
        snprintf(what, sizeof what, "names no disease; the survey it is held against is of %.100s", one->profile.title);
    return stop(pair, one->has_profile != other->has_profile, what, err);
}

static bool guard_kind(const guarded_pair *pair, foci_error *err) {
    char what[WHAT_SIZE];
    if (pair->one->stops.kind == pair->other->stops.kind)
        return true;
    snprintf(what, sizeof what, "has %s, not %s", kind_of(pair->other), kind_of(pair->one));
    return stop(pair, false, what, err);
}

static bool guard_unit(const guarded_pair *pair, foci_error *err) {
    char what[WHAT_SIZE];
    const char *one = pair->one->stops.unit, *other = pair->other->stops.unit;
    const bool percents = strncmp(one, "percent", 7) == 0 && strncmp(other, "percent", 7) == 0;
    /* Counts are percents of what was looked at, whatever a profile calls that. */
    if ((pair->one->stops.kind == FOCI_READING_COUNT && percents) || foci_text_same(one, other))
        return true;
    snprintf(what, sizeof what, "has readings in another unit: '%.100s', not '%.100s'", other, one);
    return stop(pair, true, what, err);
}

/* Where one does not say, nothing is known to differ. */
static bool guard_rating(const guarded_pair *pair, foci_error *err) {
    const char *one = pair->one->rated, *other = pair->other->rated;
    char what[WHAT_SIZE];
    if (!*one || !*other || strcmp(one, other) == 0)
        return true;
    snprintf(what, sizeof what,
             "was rated otherwise: %.60s, not %.60s (what is seen above ground and what is dug up do not compare)",
             other, one);
    return stop(pair, true, what, err);
}

static bool guard_field(const guarded_pair *pair, foci_error *err) {
    char what[WHAT_SIZE];
    double overlap = 0;
    if (!foci_seasons_overlap(&overlap, &pair->one->field, &pair->other->field, err))
        return false;
    if (overlap >= LEAST_OVERLAP)
        return true;
    const bool drawn_anew = overlap >= LEAST_OVERLAP_EVEN_SO;
    snprintf(what, sizeof what, "is of another field%s: the boundaries have %.0f %% in common, and 95 %% is needed",
             drawn_anew ? ", or its boundary was drawn anew" : "", floor(100 * overlap));
    return stop(pair, drawn_anew, what, err);
}

static bool judge(const guarded_pair *pair, foci_error *err) {
    return guard_field(pair, err) && guard_disease(pair, err) && guard_kind(pair, err) && guard_unit(pair, err) &&
           guard_rating(pair, err);
}

bool foci_seasons_guard_pair(const foci_survey *one, const foci_survey *other, const char *name, foci_error *err) {
    return judge(&(guarded_pair){.one = one, .other = other, .name = name}, err);
}

bool foci_seasons_fence_pair(char **fence, foci_sentences *even_so, const foci_survey *one, const foci_survey *other,
                             const char *name, const char *reason, foci_error *err) {
    char what[WHAT_SIZE] = "";
    foci_error inner = {0};
    *fence = NULL;
    if (judge(&(guarded_pair){one, other, name, even_so, reason, what}, &inner))
        return true;
    if (!*what)
        return foci_fail_again(err, &inner);
    *fence = foci_format_text(err, "it %s", what);
    return *fence != NULL;
}

bool foci_seasons_same_readings(const foci_survey *one, const foci_survey *other) {
    const foci_readings *a = &one->readings, *b = &other->readings;
    if (a->count != b->count || strcmp(one->first_date, other->first_date) != 0)
        return false;
    for (size_t i = 0; i < a->count; i++)
        if (a->places[i].x != b->places[i].x || a->places[i].y != b->places[i].y || a->values[i] != b->values[i])
            return false;
    return true;
}

/* ---- one season ---- */

bool foci_seasons_guard_soil(foci_sentences *even_so, const foci_survey *round, const char *option, const char *reason,
                             foci_error *err) {
    if (!round->has_profile || foci_habitat_keeps_places(round->profile.lives_in))
        return true;
    if (!reason)
        return foci_fail(err, FOCI_BAD_SETTING, option, 0,
                         "%.100s does not live in the soil, so its places of one season say nothing of the next; "
                         "{even-so} REASON goes on all the same",
                         round->profile.title);
    return foci_sentences_add(even_so, err,
                              "Seasons are held against each other although %s does not live in the "
                              "soil: %s",
                              round->profile.title, reason);
}
