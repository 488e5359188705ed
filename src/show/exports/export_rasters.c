#include "show/exports/export_files.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "data/files/raster_file.h"

enum { NOTES_MOST = 16 };

/* "spherical, nugget 0.05, partial sill 0.59, range 897 m, ..."; "none" where the method needs no variogram. */
static bool say_variogram(foci_text *text, const foci_variogram *model, foci_error *err) {
    if (!model->kind)
        return foci_text_add(text, err, "none");
    if (!foci_text_add(text, err, "%s, nugget %.6g, partial sill %.6g, range %.6g m, practical range %.6g m",
                       model->kind->name, model->nugget, model->partial_sill, model->range,
                       foci_variogram_practical_range(model)))
        return false;
    if (model->kind->has_smoothness && !foci_text_add(text, err, ", smoothness %.6g", model->smoothness))
        return false;
    if (model->ratio < 1 && !foci_text_add(text, err, ", longest along %.6g degrees from grid north, ratio %.6g",
                                           model->heading, model->ratio))
        return false;
    return foci_text_add(text, err, ", %s", model->fit);
}

static bool write_layer(const foci_survey *round, const char *path, const double *layer, const char *unit,
                        const char *description, const char *what, foci_error *err) {
    foci_note notes[NOTES_MOST] = {0};
    foci_text variogram = {0};
    char threshold[32] = "", stops[32];
    size_t count = 0;
    bool ok = false;
    if (!foci_survey_is_at(round, FOCI_STAGE_DECIDED, err) ||
        !say_variogram(&variogram, &round->model.facts.variogram, err))
        goto done;
    if (!isnan(round->threshold))
        snprintf(threshold, sizeof threshold, "%.15g", round->threshold);
    snprintf(stops, sizeof stops, "%zu", round->readings.count);
    const foci_note all[] = {{"TIFFTAG_SOFTWARE", "fieldfoci " FOCI_VERSION},
                             {"what", what},
                             {"unit", unit},
                             {"reading", round->stops.unit},
                             {"threshold", threshold},
                             {"method", round->method.method->title},
                             {"variogram", variogram.text},
                             {"stops", stops},
                             {"field", round->field.name},
                             {"season", round->season},
                             {"made", round->made}};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        if (all[i].text && all[i].text[0])
            notes[count++] = all[i];
    ok = foci_raster_write(path, &round->grid, round->work_crs, layer, unit, description, notes, err);
done:
    foci_text_free(&variogram);
    return ok;
}

bool foci_export_severity(const foci_survey *round, const char *path, foci_error *err) {
    return write_layer(round, path, round->surface.estimate, round->stops.unit, "severity",
                       "severity estimated at the middle of each cell; an estimate between stops, not a diagnosis",
                       err);
}

bool foci_export_deviation(const foci_survey *round, const char *path, foci_error *err) {
    return write_layer(round, path, round->surface.deviation, round->stops.unit, "deviation",
                       "standard deviation of the error of the estimated severity", err);
}

bool foci_export_low(const foci_survey *round, const char *path, foci_error *err) {
    return write_layer(round, path, round->surface.low, round->stops.unit, "low",
                       "5 % bound: severity is above it with a chance of 95 %", err);
}

bool foci_export_high(const foci_survey *round, const char *path, foci_error *err) {
    return write_layer(round, path, round->surface.high, round->stops.unit, "high",
                       "95 % bound: severity is below it with a chance of 95 %", err);
}

bool foci_export_chance(const foci_survey *round, const char *path, foci_error *err) {
    return write_layer(round, path, round->surface.chance, "0 to 1", "chance",
                       "chance, 0 to 1, that severity is at or above the threshold", err);
}
