/* Which surveys may be compared, and what must be known of those that are. */
#include <math.h>
#include <string.h>

#include "base/path.h"
#include "decide/words/seasons_words.h"
#include "run/seasons/seasons_work.h"
#include "decide/seasons/seasons_guards.h"

static const foci_survey *round_of(const foci_seasons_work *work, size_t season) {
    return &work->surveys[season];
}

static const char *label(const foci_seasons_work *work, size_t season) {
    const char *own = round_of(work, season)->season;
    return own && *own ? own : foci_path_name_alone(work->names, work->count, season);
}

/* ---- each pair ---- */

static bool guard_twice(const foci_seasons_work *work, size_t first, size_t second, foci_error *err) {
    if (strcmp(work->keys[first], work->keys[second]) == 0)
        return foci_fail(err, FOCI_BAD_INPUT, work->names[second], 0,
                         "is the same survey as %.200s; name each season once", work->names[first]);
    if (foci_seasons_same_readings(round_of(work, first), round_of(work, second)))
        return foci_fail(err, FOCI_BAD_INPUT, work->names[second], 0,
                         "holds the same stops and readings as %.200s, mapped with other options; name one of the two",
                         work->names[first]);
    return true;
}

static bool warn_of_pair(foci_seasons *seasons, const foci_seasons_work *work, size_t first, size_t second,
                         foci_error *err) {
    const foci_survey *one = round_of(work, first), *other = round_of(work, second);
    if (*one->season && strcmp(one->season, other->season) == 0 &&
        !foci_seasons_warn_label(seasons, foci_path_name_alone(work->names, work->count, first),
                                 foci_path_name_alone(work->names, work->count, second), one->season, err))
        return false;
    if (second == first + 1 && *one->first_date && *other->first_date && strcmp(one->first_date, other->first_date) > 0)
        return foci_seasons_warn_order(seasons, label(work, first), one->first_date, label(work, second),
                                       other->first_date, err);
    return true;
}

static bool judge_pairs(foci_seasons *seasons, foci_seasons_work *work, foci_error *err) {
    const size_t newest = work->count - 1;
    for (size_t second = 1; second < work->count; second++)
        for (size_t first = 0; first < second; first++)
            if (!guard_twice(work, first, second, err) || !warn_of_pair(seasons, work, first, second, err))
                return false;
    for (size_t s = 0; s < newest; s++) {
        if (!foci_seasons_fence_pair(&seasons->fences[s], &seasons->even_so, round_of(work, newest), round_of(work, s),
                                     work->names[s], work->settings->survey.even_so, err))
            return false;
        work->why_not[s] = seasons->fences[s];
    }
    return true;
}

static bool guard_soil(foci_seasons *seasons, const foci_seasons_work *work, foci_error *err) {
    foci_error inner = {0};
    const size_t newest = work->count - 1;
    if (foci_seasons_guard_soil(&seasons->even_so, round_of(work, newest), NULL, work->settings->survey.even_so,
                                &inner))
        return true;
    return foci_fail(err, inner.status == FOCI_BAD_SETTING ? FOCI_BAD_INPUT : inner.status, work->names[newest], 0,
                     "%s", inner.text);
}

/* ---- thresholds ---- */

static double threshold_of(const foci_seasons_work *work, size_t season) {
    const foci_survey *survey = &work->surveys[season];
    double own = survey->used.surface.threshold;
    return isnan(own) && survey->has_profile ? survey->profile.threshold : own;
}

static bool judge_thresholds(foci_seasons *seasons, const foci_seasons_work *work, foci_error *err) {
    size_t unlike = 0;
    const double newest = threshold_of(work, work->count - 1);
    for (size_t s = 0; s < work->count; s++) {
        const double threshold = threshold_of(work, s);
        if (work->why_not[s])
            continue;
        if (isnan(threshold))
            return foci_fail(err, FOCI_BAD_INPUT, work->names[s], 0,
                             "has no action threshold to hold its severity against; map it again with {threshold} X");
        if (round_of(work, s)->stops.kind == FOCI_READING_COUNT && !(threshold > 0 && threshold < 100))
            return foci_fail(err, FOCI_BAD_INPUT, work->names[s], 0,
                             "its threshold of %g %% makes every place hot, or none; map it again with one above 0 and "
                             "below 100",
                             threshold);
        unlike += threshold != newest;
    }
    return unlike == 0 || foci_seasons_warn_thresholds(seasons, err);
}

bool foci_seasons_work_judge(foci_seasons *seasons, foci_seasons_work *work, foci_error *err) {
    return judge_pairs(seasons, work, err) && guard_soil(seasons, work, err) && judge_thresholds(seasons, work, err);
}
