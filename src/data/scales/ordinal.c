#include "fieldfoci/ordinal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/files/built_in.h"

#define HALF 0.5

/* Percents that differ by less are one: far below what anyone sees, far above rounding. */
#define SAME_PERCENT 1e-9

static double curve(const foci_ordinal *scale, double score) {
    return 100 / (1 + exp(-(score - scale->middle) / scale->step));
}

/* ---- from JSON ---- */

static bool wrong(const char *file, const char *label, const char *what, foci_error *err) {
    return foci_fail(err, FOCI_BAD_INPUT, file, 0, "member \"%s\" %s", label, what);
}

static bool known_only(const foci_json *object, const char *const *names, const char *file, foci_error *err) {
    const char *key = NULL;
    while ((key = foci_json_key_after(object, key)) != NULL) {
        size_t i = 0;
        while (names[i] && strcmp(names[i], key) != 0)
            i++;
        if (!names[i]) {
            const char *nearest = foci_text_nearest(key, names);
            return foci_fail(err, FOCI_BAD_INPUT, file, 0, "unknown member \"%.60s\"; %s%s%s", key,
                             nearest ? "did you mean \"" : "take it out", nearest ? nearest : "", nearest ? "\"?" : "");
        }
    }
    return true;
}

static bool read_text(char **out, const foci_json *object, const char *name, const char *file, foci_error *err) {
    const char *text = foci_json_text(foci_json_get(object, name));
    if (!text || text[strspn(text, " \t\r\n")] == '\0')
        return wrong(file, name, "must be a text that says something", err);
    if (foci_text_noncharacter(text))
        return wrong(file, name, "holds a code that is no letter (such as U+FFFE); take it out", err);
    *out = foci_copy_text(text, err);
    return *out != NULL;
}

static bool read_curve(foci_ordinal *scale, const foci_json *json, const char *file, foci_error *err) {
    static const char *const names[] = {"middle", "step", NULL};
    const foci_json *curved = foci_json_get(json, "logistic");
    if (!curved || foci_json_is_null(curved))
        return true;
    if (!foci_json_is_object(curved) || !foci_json_number(foci_json_get(curved, "middle"), &scale->middle) ||
        !foci_json_number(foci_json_get(curved, "step"), &scale->step) || !(scale->step > 0))
        return wrong(file, "logistic", "must be {\"middle\": SCORE, \"step\": NUMBER ABOVE 0}, or null", err);
    scale->curved = true;
    return known_only(curved, names, file, err);
}

/* The limits as they are published, such as 6 to 10 percent. */
static bool read_limits(foci_step *step, const foci_ordinal *scale, const foci_json *json, const char *file,
                        foci_error *err) {
    const foci_json *low = foci_json_get(json, "low"), *high = foci_json_get(json, "high");
    const foci_json *percent = foci_json_get(json, "percent");
    if (scale->curved) {
        step->percent = curve(scale, step->score);
        return (!low && !high && !percent) ||
               wrong(file, "classes", "have no \"low\", \"high\" and \"percent\" where \"logistic\" gives them", err);
    }
    if (!foci_json_number(low, &step->low) || !foci_json_number(high, &step->high) || step->low < 0 ||
        step->high > 100 || step->low > step->high)
        return wrong(file, "classes", "need \"low\" and \"high\", from 0 to 100 percent, low first", err);
    step->percent = (step->low + step->high) / 2;
    return !percent ||
           (foci_json_number(percent, &step->percent) && step->percent >= step->low && step->percent <= step->high) ||
           wrong(file, "classes", "may have a \"percent\" between \"low\" and \"high\" only", err);
}

static bool read_step(foci_ordinal *scale, size_t i, const foci_json *json, const char *file, foci_error *err) {
    static const char *const names[] = {"score", "text", "low", "high", "percent", NULL};
    foci_step *step = &scale->steps[i];
    if (!foci_json_is_object(json) || !known_only(json, names, file, err))
        return foci_json_is_object(json) ? false : wrong(file, "classes", "must be objects", err);
    if (!foci_json_number(foci_json_get(json, "score"), &step->score) || step->score != floor(step->score) ||
        (i > 0 && step->score != step[-1].score + 1))
        return wrong(file, "classes", "need a whole \"score\" each, one more from class to class", err);
    if (!read_text(&step->text, json, "text", file, err) || !read_limits(step, scale, json, file, err))
        return false;
    return i == 0 || scale->curved || (step->low >= step[-1].high && step->percent > step[-1].percent) ||
           wrong(file, "classes", "must not overlap: each begins where the one before it ends, or above", err);
}

/* Between 5 and 6 percent lies 5.5: whole percents are rounded ones. The scale has no holes, and ends where percent
 * does. */
static void join_limits(foci_ordinal *scale) {
    for (size_t i = 0; i < scale->count && scale->curved; i++) {
        scale->steps[i].low = curve(scale, scale->steps[i].score - HALF);
        scale->steps[i].high = curve(scale, scale->steps[i].score + HALF);
    }
    for (size_t i = 1; i < scale->count; i++)
        scale->steps[i].low = scale->steps[i - 1].high = (scale->steps[i].low + scale->steps[i - 1].high) / 2;
    scale->steps[0].low = 0;
    scale->steps[scale->count - 1].high = 100;
}

static bool read_steps(foci_ordinal *scale, const foci_json *json, const char *file, foci_error *err) {
    const foci_json *classes = foci_json_get(json, "classes");
    const size_t count = foci_json_is_array(classes) ? foci_json_size(classes) : 0;
    if (count < 2 || count > FOCI_STEPS_MOST)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, "member \"classes\" must be an array of 2 to %d classes",
                         FOCI_STEPS_MOST);
    scale->steps = foci_new_array(count, sizeof *scale->steps, err);
    if (!scale->steps)
        return false;
    scale->count = count;
    for (size_t i = 0; i < count; i++)
        if (!read_step(scale, i, foci_json_at(classes, i), file, err))
            return false;
    join_limits(scale);
    return true;
}

static bool of_json(foci_ordinal *out, const foci_json *json, const char *file, foci_error *err) {
    static const char *const names[] = {"name", "title", "unit", "source", "logistic", "classes", NULL};
    foci_ordinal scale = {0};
    bool ok = (foci_json_is_object(json) ||
               foci_fail(err, FOCI_BAD_INPUT, file, 0, "is no ordinal scale; it must be one JSON object")) &&
              known_only(json, names, file, err) && read_text(&scale.name, json, "name", file, err) &&
              read_text(&scale.title, json, "title", file, err) && read_text(&scale.unit, json, "unit", file, err) &&
              read_text(&scale.source, json, "source", file, err) && read_curve(&scale, json, file, err) &&
              read_steps(&scale, json, file, err);
    if (ok)
        *out = scale;
    else
        foci_ordinal_free(&scale);
    return ok;
}

bool foci_ordinal_read(foci_ordinal *out, const char *name_or_file, foci_error *err) {
    static const foci_built_in_words words = {"scale", "{scale-of}", "docs/scales.md lists those that are built in"};
    foci_json *json = NULL;
    bool ok = foci_built_in_read(&json, foci_built_in_scales, &words, name_or_file, err) &&
              of_json(out, json, name_or_file, err);
    foci_json_free(json);
    return ok;
}

const char *foci_ordinal_name(size_t index) {
    return foci_built_in_name(foci_built_in_scales, index);
}

void foci_ordinal_free(foci_ordinal *scale) {
    for (size_t i = 0; i < scale->count; i++)
        free(scale->steps[i].text);
    free(scale->name);
    free(scale->title);
    free(scale->unit);
    free(scale->source);
    free(scale->steps);
    *scale = (foci_ordinal){0};
}

/* ---- scores ---- */

/* Half a step above a class: as wide as a whole one, since nobody says that all were rated so finely. */
static foci_step half_step(const foci_ordinal *scale, size_t below) {
    const double score = scale->steps[below].score + HALF;
    return (foci_step){score, curve(scale, score), scale->steps[below].percent, scale->steps[below + 1].percent, NULL};
}

bool foci_ordinal_step(foci_step *out, const foci_ordinal *scale, double score) {
    for (size_t i = 0; i < scale->count; i++) {
        if (score == scale->steps[i].score)
            *out = scale->steps[i];
        else if (scale->curved && i + 1 < scale->count && score == scale->steps[i].score + HALF)
            *out = half_step(scale, i);
        else
            continue;
        return true;
    }
    return false;
}

bool foci_ordinal_step_of_percent(foci_step *out, const foci_ordinal *scale, double percent) {
    for (size_t i = 0; i < 2 * scale->count; i++) {
        foci_step step;
        if (foci_ordinal_step(&step, scale, scale->steps[0].score + HALF * (double)i) &&
            fabs(step.percent - percent) < SAME_PERCENT) {
            *out = step;
            return true;
        }
    }
    return false;
}

bool foci_severity_index(double *percent, const double *scores, const double *plants, size_t classes, foci_error *err) {
    double sum = 0, all = 0;
    if (classes < 2)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "%zu classes make no severity index; give two or more", classes);
    for (size_t i = 0; i < classes; i++) {
        if (i > 0 && !(scores[i] > scores[i - 1]))
            return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)i + 1, "the score %g is not above the one before it",
                             scores[i]);
        if (!(plants[i] >= 0 && plants[i] <= FOCI_PLANTS_MOST) || plants[i] != floor(plants[i]))
            return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)i + 1, "%g plants is no whole number of them, 0 or more",
                             plants[i]);
        sum += plants[i] * (scores[i] - scores[0]);
        all += plants[i];
    }
    if (all == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "no plant is in any class; count some");
    *percent = 100 * sum / (all * (scores[classes - 1] - scores[0]));
    return true;
}
