/* Stops from memory. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/dates.h"
#include "base/text.h"
#include "data/files/fingerprint.h"
#include "data/stops/by_scale.h"
#include "data/stops/stops_take.h"

#define SOURCE "stops in memory"

static bool check_kind(const foci_stop_arrays *arrays, foci_error *err) {
    const bool counts = arrays->hits && arrays->checked, scores = arrays->values != NULL;
    if (counts != scores && (counts || (!arrays->hits && !arrays->checked)))
        return arrays->count > 0 || foci_fail(err, FOCI_BAD_INPUT, SOURCE, 0, "there are none; give some");
    return foci_fail(err, FOCI_BAD_SETTING, SOURCE, 0,
                     "one kind of reading is needed: hits and checked for counts, or values for scores");
}

static double value_of(const foci_stop_arrays *arrays, size_t i) {
    if (!arrays->hits)
        return arrays->values[i];
    return arrays->checked[i] > 0 ? 100 * arrays->hits[i] / arrays->checked[i] : NAN; /* the checks say why */
}

static bool take_stop(foci_stop *out, const foci_stops *stops, const foci_stop_arrays *arrays,
                      const foci_stops_options *options, size_t i, foci_error *err) {
    foci_stop stop = {.row = (long)i + 1,
                      .own = arrays->lonlat[i],
                      .lonlat = arrays->lonlat[i],
                      .place = {NAN, NAN},
                      .hits = arrays->hits ? arrays->hits[i] : NAN,
                      .checked = arrays->hits ? arrays->checked[i] : NAN,
                      .value = value_of(arrays, i),
                      .used = true,
                      .pooled_into = FOCI_NOT_POOLED,
                      .why = ""};
    const char *date = arrays->dates ? arrays->dates[i] : NULL;
    if (date && *date && !foci_date_parse(date, stop.date))
        return foci_fail(err, FOCI_BAD_INPUT, SOURCE, stop.row, "'%.40s' is not a date; write YYYY-MM-DD", date);
    if (!foci_by_scale_take(&stop, stops, options, SOURCE, err))
        return false;
    stop.name = arrays->names ? foci_copy_text(arrays->names[i], err) : foci_format_text(err, "%ld", stop.row);
    *out = stop;
    return stop.name != NULL;
}

/* What they are, by content. */
static bool fingerprint(foci_input *input, const foci_stops *stops, foci_error *err) {
    foci_text text = {0};
    bool ok = true;
    for (size_t i = 0; ok && i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        ok = foci_text_add(&text, err, "%s,%.17g,%.17g,%.17g,%.17g,%.17g,%s\n", stop->name, stop->lonlat.x,
                           stop->lonlat.y, stop->hits, stop->checked, stop->value, stop->date);
    }
    if (ok)
        foci_fingerprint_text(input->sha256, text.text);
    foci_text_free(&text);
    return ok;
}

static bool describe(foci_stops *stops, foci_error *err) {
    foci_input *input = stops->inputs = foci_new_array(1, sizeof *stops->inputs, err);
    if (!input)
        return false;
    stops->input_count = 1;
    input->rows = stops->count;
    input->file = foci_copy_text(SOURCE, err);
    input->layer = input->file ? foci_copy_text("stops", err) : NULL;
    input->crs = input->layer ? foci_copy_text("EPSG:4326", err) : NULL;
    return input->crs && fingerprint(input, stops, err);
}

bool foci_stops_of_arrays(foci_stops *out, const foci_stop_arrays *arrays, const foci_stops_options *options,
                          foci_error *err) {
    foci_stops stops = {.kind = arrays->hits ? FOCI_READING_COUNT : FOCI_READING_VALUE, .rating = options->rating};
    foci_stops_options own = *options; /* columns are none of theirs */
    own.classes = own.hits = own.checked = NULL;
    if (!check_kind(arrays, err))
        return false;
    if (arrays->hits && own.scale_of)
        own.hits = "hits";
    stops.unit = foci_copy_text(options->unit ? options->unit : arrays->hits ? FOCI_STOPS_COUNTS_UNIT : "score", err);
    stops.items = stops.unit ? foci_new_array(arrays->count, sizeof *stops.items, err) : NULL;
    bool ok = stops.items != NULL;
    if (ok) {
        foci_stops_set_limits(&stops, options);
        ok = foci_by_scale_begin(&stops, &own, err);
    }
    for (; ok && stops.count < arrays->count; stops.count += ok)
        ok = take_stop(&stops.items[stops.count], &stops, arrays, &own, stops.count, err);
    ok = ok && describe(&stops, err);
    if (ok) {
        *out = stops;
    } else {
        foci_stops_free(&stops);
    }
    return ok;
}
