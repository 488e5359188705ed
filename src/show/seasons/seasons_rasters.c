#include "show/seasons/seasons_files.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "data/files/raster_file.h"
#include "decide/words/seasons_words.h"

enum { NOTES_MOST = 16 };

/* "10, 12.5": of each season, in the reading's unit. */
static bool add_thresholds(foci_text *text, const foci_seasons *seasons, foci_error *err) {
    for (size_t s = 0; s < seasons->count; s++)
        if (!foci_text_add(text, err, "%s%.15g", s > 0 ? ", " : "", seasons->rounds[s].threshold))
            return false;
    return true;
}

static bool add_stops(foci_text *text, const foci_seasons *seasons, foci_error *err) {
    for (size_t s = 0; s < seasons->count; s++)
        if (!foci_text_add(text, err, "%s%zu", s > 0 ? ", " : "", seasons->rounds[s].readings.count))
            return false;
    return true;
}

/* "0=never 1=gone ...". */
static bool add_codes(foci_text *text, foci_error *err) {
    for (int code = 0; code < FOCI_CLASS_END; code++)
        if (!foci_text_add(text, err, "%s%d=%s", code > 0 ? " " : "", code, foci_class_name((foci_class)code)))
            return false;
    return true;
}

static void add_note(foci_note *notes, size_t *count, const char *key, const char *text) {
    if (text && text[0])
        notes[(*count)++] = (foci_note){key, text};
}

static bool write_layer(const foci_seasons *seasons, const char *path, const double *layer, const char *unit,
                        const char *description, const char *what, const char *codes, foci_error *err) {
    const foci_survey *last = &seasons->rounds[seasons->count - 1];
    foci_text labels = {0}, thresholds = {0}, stops = {0};
    foci_note notes[NOTES_MOST] = {0};
    size_t count = 0;
    bool ok = false;
    if (!foci_words_add_seasons(&labels, seasons, err) || !add_thresholds(&thresholds, seasons, err) ||
        !add_stops(&stops, seasons, err))
        goto done;
    add_note(notes, &count, "TIFFTAG_SOFTWARE", "fieldfoci " FOCI_VERSION);
    add_note(notes, &count, "what", what);
    add_note(notes, &count, "unit", unit);
    add_note(notes, &count, "codes", codes);
    add_note(notes, &count, "seasons", labels.text);
    add_note(notes, &count, "thresholds", thresholds.text);
    add_note(notes, &count, "reading", last->stops.unit);
    add_note(notes, &count, "stops", stops.text);
    add_note(notes, &count, "method", seasons->persistence.method);
    add_note(notes, &count, "field", last->field.name);
    add_note(notes, &count, "made", seasons->made);
    ok = foci_raster_write(path, &seasons->grid, last->work_crs, layer, unit, description, notes, err);
done:
    foci_text_free(&labels);
    foci_text_free(&thresholds);
    foci_text_free(&stops);
    return ok;
}

bool foci_seasons_persistence(const foci_seasons *seasons, const char *path, foci_error *err) {
    return write_layer(
        seasons, path, seasons->persistence.hot_seasons, "seasons", "persistence",
        "expected number of seasons in which severity is at or above the season's threshold, all seasons "
        "read together",
        NULL, err);
}

bool foci_seasons_classes(const foci_seasons *seasons, const char *path, foci_error *err) {
    const size_t cells = seasons->grid.columns * seasons->grid.rows;
    foci_text codes = {0};
    double *layer = NULL;
    bool ok = false;
    if (!add_codes(&codes, err))
        goto done;
    layer = foci_new_array(cells, sizeof *layer, err);
    if (!layer)
        goto done;
    for (size_t i = 0; i < cells; i++)
        layer[i] = seasons->persistence.class_code[i] < 0 ? NAN : seasons->persistence.class_code[i];
    ok = write_layer(seasons, path, layer, "class code", "classes",
                     "the class whose chance is one half or more, places smaller than one stop's share of the field "
                     "left unsure",
                     codes.text, err);
done:
    foci_text_free(&codes);
    free(layer);
    return ok;
}
