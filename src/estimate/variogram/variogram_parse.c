#include "fieldfoci/variogram.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"

#define SOURCE "{variogram}"

/* One row per parameter: where it goes, what it may be, and whether a complete model states it. */
typedef struct {
    const char *name;
    size_t member;
    double least, most;
    bool above_least; /* `least` itself is refused */
    bool required;
    const char *wanted;
} parameter;

static const parameter parameters[] = {
    {"nugget", offsetof(foci_variogram, nugget), 0, INFINITY, false, true, "0 or more"},
    {"partial-sill", offsetof(foci_variogram, partial_sill), 0, INFINITY, false, true, "0 or more"},
    {"range", offsetof(foci_variogram, range), 0, INFINITY, true, true, "meters above 0"},
    {"heading", offsetof(foci_variogram, heading), 0, 360, false, false, "0 to 360 degrees"},
    {"ratio", offsetof(foci_variogram, ratio), 0, 1, true, false, "shortest / longest range, above 0 and up to 1"},
    {"smoothness", offsetof(foci_variogram, smoothness), 0.05, 20, false, false, "0.05 to 20"},
    {0},
};

enum { PARAMETERS = sizeof parameters / sizeof *parameters - 1 };

static bool fail_unknown(const char *what, const char *word, const char *const *names, foci_error *err) {
    const char *nearest = foci_text_nearest(word, names);
    char list[256] = "";
    for (size_t i = 0; names[i]; i++) {
        strncat(list, i ? ", " : "", sizeof list - strlen(list) - 1);
        strncat(list, names[i], sizeof list - strlen(list) - 1);
    }
    if (nearest)
        return foci_fail(err, FOCI_BAD_SETTING, SOURCE, 0, "no %s '%s'; did you mean '%s'? There are %s", what, word,
                         nearest, list);
    return foci_fail(err, FOCI_BAD_SETTING, SOURCE, 0, "no %s '%s'; use one of %s", what, word, list);
}

static bool find_kind(const foci_correlation **kind, const char *name, foci_error *err) {
    *kind = foci_correlation_find(name);
    if (*kind)
        return true;
    const char *names[32] = {0};
    for (size_t i = 0; foci_correlations[i].name && i < 31; i++)
        names[i] = foci_correlations[i].name;
    return fail_unknown("variogram model", name, names, err);
}

static bool find_parameter(const parameter **row, const char *name, foci_error *err) {
    const char *names[PARAMETERS + 1] = {0};
    for (*row = parameters; (*row)->name; (*row)++) {
        if (foci_text_same((*row)->name, name))
            return true;
        names[*row - parameters] = (*row)->name;
    }
    return fail_unknown("variogram parameter", name, names, err);
}

/* One "name=number" into the model; `item` is cut at its equals sign. */
static bool read_item(foci_variogram *model, bool *given, char *item, foci_error *err) {
    char *equals = strchr(item, '=');
    if (!equals)
        return foci_fail(err, FOCI_BAD_SETTING, SOURCE, 0, "'%s' has no value; write name=number", item);
    *equals = '\0';
    const parameter *row = NULL;
    if (!find_parameter(&row, item, err))
        return false;
    if (given[row - parameters])
        return foci_fail(err, FOCI_BAD_SETTING, SOURCE, 0, "%s is given twice; give it once", row->name);
    if (row->member == offsetof(foci_variogram, smoothness) && !model->kind->has_smoothness)
        return foci_fail(err, FOCI_BAD_SETTING, SOURCE, 0,
                         "the %s model has no smoothness; leave it out, or use matern", model->kind->name);
    double number = 0;
    if (!foci_number_parse(equals + 1, &number))
        return foci_fail(err, FOCI_BAD_SETTING, SOURCE, 0, "%s '%s' is no number; give %s", row->name, equals + 1,
                         row->wanted);
    if (number < row->least || number > row->most || (row->above_least && number == row->least))
        return foci_fail(err, FOCI_BAD_SETTING, SOURCE, 0, "%s %g is not possible; give %s", row->name, number,
                         row->wanted);
    *(double *)((char *)model + row->member) = number;
    given[row - parameters] = true;
    return true;
}

/* All the required parameters, or none of them and no anisotropy either: a fit is isotropic. */
static bool judge_whole(const foci_variogram *model, bool *complete, const bool *given, foci_error *err) {
    bool any = false;
    const char *missing = NULL;
    for (size_t i = 0; i < PARAMETERS; i++) {
        if (parameters[i].required && !given[i] && !missing)
            missing = parameters[i].name;
        any = any || (given[i] && parameters[i].member != offsetof(foci_variogram, smoothness));
    }
    *complete = !missing;
    if (any && missing)
        return foci_fail(
            err, FOCI_BAD_SETTING, SOURCE, 0,
            "%s is missing; give nugget, partial-sill and range, or the model's name alone to have it fitted", missing);
    if (*complete && model->nugget + model->partial_sill == 0)
        return foci_fail(err, FOCI_BAD_SETTING, SOURCE, 0,
                         "nugget and partial-sill are both 0; give at least one of them a value above 0");
    return true;
}

static bool read_items(foci_variogram *out, bool *complete, char *copy, foci_error *err) {
    char *rest = NULL;
    char *item = strtok_r(copy, ",", &rest);
    foci_variogram model = {
        .nugget = NAN, .partial_sill = NAN, .range = NAN, .ratio = 1, .fit = "given", .squares = NAN};
    if (!find_kind(&model.kind, item ? item : "", err))
        return false;
    model.smoothness = model.kind->smoothness;
    bool given[PARAMETERS] = {false};
    while ((item = strtok_r(NULL, ",", &rest)))
        if (!read_item(&model, given, item, err))
            return false;
    bool whole = false;
    if (!judge_whole(&model, &whole, given, err))
        return false;
    *out = model;
    *complete = whole;
    return true;
}

bool foci_variogram_parse(foci_variogram *out, bool *complete, const char *text, foci_error *err) {
    char *copy = foci_copy_text(text, err);
    if (!copy)
        return false;
    bool ok = read_items(out, complete, copy, err);
    free(copy);
    return ok;
}
