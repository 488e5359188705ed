#include "data/stops/by_scale.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/stops/columns.h"
#include "data/stops/number_column.h"
#include "data/stops/stops_take.h"

static bool check_options(const foci_stops_options *options, bool scaled, foci_error *err) {
    if (options->classes && (options->value || options->hits || options->checked))
        return foci_fail(err, FOCI_BAD_SETTING, "{classes}", 0,
                         "cannot be given together with %s; name one kind of reading",
                         options->value ? "{value}" : "{hits} and {checked}");
    if (options->classes && !scaled)
        return foci_fail(err, FOCI_BAD_SETTING, "{classes}", 0,
                         "needs {scale-of} NAME, the scale whose classes the plants were put into; name it");
    if (scaled && options->hits)
        return foci_fail(err, FOCI_BAD_SETTING, "{scale-of}", 0,
                         "goes with {value} or {classes}; a count is percent of units already");
    return true;
}

bool foci_by_scale_begin(foci_stops *stops, const foci_stops_options *options, foci_error *err) {
    const bool scaled = options->scale_of && strcmp(options->scale_of, FOCI_NO_SCALE) != 0;
    foci_ordinal scale = {0};
    if (!check_options(options, scaled, err))
        return false;
    stops->amounts = options->scale_of && !scaled;
    if (!scaled)
        return true;
    if (!foci_ordinal_read(&scale, options->scale_of, err))
        return false;
    char *unit = foci_copy_text(options->classes ? FOCI_INDEX_UNIT : scale.unit, err);
    if (!unit) {
        foci_ordinal_free(&scale);
        return false;
    }
    free(stops->unit);
    stops->unit = unit;
    stops->scale = scale;
    stops->index = options->classes != NULL;
    stops->least = stops->index ? 0 : scale.steps[0].percent;
    stops->most = 100;
    return true;
}

bool foci_by_scale_is_score(const foci_stops *stops, const foci_stops_options *options, bool percent_signs,
                            const char *file, foci_error *err) {
    const bool asked = options->scale_by_profile && options->value && foci_column_says_percent(options->value);
    if (stops->scale.count == 0 || options->percents || (!asked && !percent_signs))
        return true;
    if (percent_signs)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "column \"%.60s\" has percent signs, and scores of the %.60s have none; give {scale-of} none "
                         "where it holds percent",
                         options->value, stops->scale.title);
    return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                     "column \"%.60s\" is called percent, and the profile expects scores of the %.60s; give {scale-of} "
                     "none where it holds percent, {scale-of} %.60s where it holds scores",
                     options->value, stops->scale.title, options->scale_of);
}

/* Back from the percent of a class; what is none of them any more is taken as it stands. */
static void take_percent(foci_stop *stop, const foci_ordinal *scale) {
    foci_step step = {.score = NAN, .low = stop->value, .high = stop->value};
    (void)foci_ordinal_step_of_percent(&step, scale, stop->value);
    stop->score = step.score;
    stop->low = step.low;
    stop->high = step.high;
}

bool foci_by_scale_take(foci_stop *stop, const foci_stops *stops, const foci_stops_options *options, const char *file,
                        foci_error *err) {
    const foci_ordinal *scale = &stops->scale;
    foci_step step;
    stop->score = stop->low = stop->high = NAN;
    if (scale->count == 0 || stops->index || isnan(stop->value))
        return true;
    if (options->percents) {
        take_percent(stop, scale);
        return true;
    }
    stop->score = stop->value;
    if (foci_ordinal_step(&step, scale, stop->score)) {
        stop->value = step.percent;
        stop->low = step.low;
        stop->high = step.high;
        return true;
    }
    stop->value = NAN;
    return !options->scale_by_profile ||
           foci_fail(err, FOCI_BAD_INPUT, file, stop->row,
                     "%g is no score of the %.60s; give {scale-of} none where these are percents, or {scale-of} %.60s "
                     "to leave such stops out",
                     stop->score, scale->title, options->scale_of);
}

bool foci_by_scale_columns(size_t columns[FOCI_STEPS_MOST], const foci_stops *stops, foci_table *table,
                           const char *file, const foci_stops_options *options, foci_error *err) {
    size_t count = 0;
    bool percent = false;
    char *names = foci_copy_text(options->classes, err), *rest = names;
    bool ok = names != NULL;
    for (char *name = NULL; ok && (name = strsep(&rest, ",")) != NULL; count++)
        ok = count >= FOCI_STEPS_MOST ||
             (foci_column_find(&columns[count], table, file, name, err) &&
              foci_number_column_read(table, file, columns[count], FOCI_NUMBERS_COUNT, &percent, err));
    free(names);
    return ok && (count == stops->scale.count ||
                  foci_fail(err, FOCI_BAD_SETTING, "{classes}", 0,
                            "names %zu columns, and the %.60s has %zu classes, %g to %g; name one for each, in that "
                            "order",
                            count, stops->scale.title, stops->scale.count, stops->scale.steps[0].score,
                            stops->scale.steps[stops->scale.count - 1].score));
}

bool foci_by_scale_index(foci_stop *stop, const foci_cell *row, const size_t columns[FOCI_STEPS_MOST],
                         const foci_stops *stops, const char *file, foci_error *err) {
    double scores[FOCI_STEPS_MOST], plants[FOCI_STEPS_MOST], all = 0;
    foci_error inner = {0};
    char text[32];
    stop->value = stop->score = stop->low = stop->high = NAN;
    for (size_t i = 0; i < stops->scale.count; i++) {
        scores[i] = stops->scale.steps[i].score;
        plants[i] = foci_cell_number(&row[columns[i]], text);
        if (!stop->blank_text[0])
            memcpy(stop->blank_text, text, sizeof text);
        all += plants[i];
    }
    if (isnan(all) || all == 0)
        return true;
    if (foci_severity_index(&stop->value, scores, plants, stops->scale.count, &inner))
        return true;
    return foci_fail(err, FOCI_BAD_INPUT, file, stop->row, "%s; check the columns of {classes}", inner.text);
}
