#include "run/steps/method.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "decide/words/warnings.h"
#include "data/places/projection.h"
#include "run/settings/survey_options.h"
#include "run/steps/earlier.h"

/* More scores than this: each estimate from the nearest. */
#define STOPS_FOR_ALL 1000
#define NEIGHBOURS 64

/* Without a boundary: the stops' hull, widened by half a spacing all round as if they stood on a square grid. */
static bool choose_area(foci_survey *round, foci_error *err) {
    if (round->field.input.file) {
        round->area = foci_multipolygon_area(&round->field.shape);
        return true;
    }
    double hull = 0, root = sqrt((double)round->readings.count);
    if (!foci_convex_hull_area(&hull, round->readings.places, round->readings.count, err))
        return false;
    double widen = root > 1 ? root / (root - 1) : 1;
    round->area = hull * widen * widen;
    /* stops on one line: as if each stood for a square of their spacing */
    if (!(round->area > 0))
        round->area = isnan(round->readings.spacing)
                          ? 1
                          : round->readings.spacing * round->readings.spacing * (double)round->readings.count;
    return true;
}

static bool choose_heading(foci_survey *round, const foci_survey_options *used, foci_error *err) {
    double convergence = 0;
    round->row_heading = NAN;
    if (isnan(used->row_heading))
        return true;
    foci_point centre = round->field.centre;
    if (!round->field.input.file)
        centre = round->stops.items[round->readings.stops[0]].lonlat;
    if (!foci_meridian_convergence(&convergence, round->work_crs, centre, err))
        return false;
    round->row_heading = fmod(used->row_heading - convergence + 360, 360);
    return true;
}

static bool choose_surface(foci_survey *round, const foci_survey_options *used, foci_error *err) {
    const bool counts = round->stops.kind == FOCI_READING_COUNT;
    const bool asks_for_kriging = used->variogram.kind != NULL;
    const bool few = round->readings.count < FOCI_STOPS_FOR_MAP && !asks_for_kriging;
    if (!round->method.method)
        round->method.method = foci_surface_method_find(counts && !asks_for_kriging ? "counts"
                                                        : few                       ? "idw"
                                                                                    : "kriging");
    return !round->method.method->needs_counts || counts ||
           foci_fail(err, FOCI_BAD_SETTING, "{surface}", 0, "%s needs counts; give {hits} and {checked}",
                     round->method.method->name);
}

/* A whole model stays with the options, which outlive the fit. */
static bool choose(foci_survey *round, const foci_survey_options *used, foci_error *err) {
    foci_surface_options *method = &round->method;
    const bool whole = used->variogram.kind && !isnan(used->variogram.range);
    *method = used->surface;
    method->area = round->area;
    method->row_heading = round->row_heading;
    method->threshold = round->threshold;
    method->least = round->stops.least;
    method->most = round->stops.most > round->stops.least ? round->stops.most : INFINITY;
    if (method->neighbours == FOCI_OPEN)
        method->neighbours = round->readings.count <= STOPS_FOR_ALL ? 0 : NEIGHBOURS;
    if (method->scale == FOCI_SCALE_OPEN)
        method->scale = used->at_places ? FOCI_SCALE_NONE : FOCI_SCALE_AUTO;
    method->variogram = whole ? &used->variogram : NULL;
    method->kind = used->variogram.kind;
    method->smoothness = used->variogram.smoothness;
    return choose_surface(round, used, err);
}

static bool keep_labels(foci_survey_options *used, const foci_survey *round, foci_error *err) {
    used->surface.threshold = round->threshold;
    return foci_survey_options_keep(&used->work_crs, round->work_crs, err) &&
           (!*round->season || foci_survey_options_keep(&used->season, round->season, err));
}

static bool keep_choices(foci_survey_options *used, const foci_survey *round, foci_error *err) {
    used->surface.neighbours = round->method.neighbours;
    used->surface.method = round->method.method;
    used->surface.scale = round->method.scale;
    return keep_labels(used, round, err);
}

/* Where nobody asked for kriging and no model can be fitted, inverse distance still makes a map. */
static bool fit(foci_survey *round, const foci_readings *earlier, const foci_survey_options *used,
                const foci_execution *how, foci_error *err) {
    char why[2 * sizeof((foci_error *)0)->text];
    foci_error inner = {0};
    if (foci_surface_fit(&round->model, &round->readings, earlier, &round->method, how, &inner))
        return true;
    if (used->surface.method || used->variogram.kind || inner.status != FOCI_NO_FIT)
        return foci_fail_again(err, &inner);
    foci_error_text(&inner, "--", why, sizeof why);
    round->method.method = foci_surface_method_find("idw");
    return foci_find_no_model(round, why, err) &&
           foci_surface_fit(&round->model, &round->readings, earlier, &round->method, how, err);
}

/* With the earlier season where one is named; what was chosen stands in round->method. */
static bool fit_seasons(foci_survey *round, const foci_survey_options *used, const foci_execution *how,
                        foci_error *err) {
    foci_readings earlier = {0};
    if (!used->earlier)
        return fit(round, NULL, used, how, err);
    if (!foci_earlier_read(&earlier, round, used, err))
        return false;
    const bool few = earlier.count < FOCI_STOPS_FOR_MAP;
    bool ok = fit(round, few ? NULL : &earlier, used, how, err);
    if (ok && few) {
        round->model.facts.earlier.stops = earlier.count;
        snprintf(round->model.facts.earlier.why_not, sizeof round->model.facts.earlier.why_not,
                 "it has too few stops, %zu where %d are the least", earlier.count, FOCI_STOPS_FOR_MAP);
    }
    ok = ok && foci_earlier_tell(round, err);
    foci_readings_free(&earlier);
    return ok;
}

bool foci_method_fit(foci_survey *round, foci_survey_options *used, const foci_execution *how, foci_error *err) {
    round->threshold = used->surface.threshold;
    if (isnan(round->threshold) && round->has_profile)
        round->threshold = round->profile.threshold;
    if (!choose_area(round, err) || !choose_heading(round, used, err) || !choose(round, used, err))
        return false;
    bool ok = true;
    /* Too few stops make no map: nothing is fitted to them then. */
    if (!used->at_places && round->readings.count < FOCI_STOPS_FOR_MAP)
        ok = keep_labels(used, round, err);
    else
        ok = fit_seasons(round, used, how, err) && keep_choices(used, round, err);
    round->method.variogram = NULL;
    return ok;
}
