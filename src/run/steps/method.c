#include "run/steps/method.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/places/projection.h"
#include "run/steps/earlier.h"

/* More scores than this: each estimate from the nearest. */
#define STOPS_FOR_ALL 1000
#define NEIGHBOURS 64

/* Without a boundary: the stops' hull, widened by half a spacing all round as if they stood on a square grid. */
static bool choose_area(foci_round *round, foci_error *err) {
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
        round->area = isnan(round->spacing) ? 1 : round->spacing * round->spacing * (double)round->readings.count;
    return true;
}

static bool choose_heading(foci_round *round, const foci_settings *settings, foci_error *err) {
    double convergence = 0;
    round->row_heading = NAN;
    if (isnan(settings->row_heading))
        return true;
    foci_point centre = round->field.centre;
    if (!round->field.input.file)
        centre = round->stops.items[round->readings.stops[0]].lonlat;
    if (!foci_meridian_convergence(&convergence, round->work_crs, centre, err))
        return false;
    round->row_heading = fmod(settings->row_heading - convergence + 360, 360);
    return true;
}

/* Judging a pattern goes by the surface that a map would show. */
static const char *scale_left_out(const foci_settings *settings) {
    return settings->command == FOCI_FOR_MAP || settings->command == FOCI_FOR_PATTERN ? "auto" : "none";
}

static bool choose_scale(foci_surface_options *method, const foci_settings *settings, foci_error *err) {
    static const char box_cox[] = "box-cox=";
    const char *text = settings->scale;
    if (!text)
        text = scale_left_out(settings);
    if (strcmp(text, "none") == 0)
        method->scale = FOCI_SCALE_NONE;
    else if (strcmp(text, "auto") == 0)
        method->scale = FOCI_SCALE_AUTO;
    else if (strncmp(text, box_cox, sizeof box_cox - 1) == 0 &&
             foci_number_parse(text + sizeof box_cox - 1, &method->lambda) && fabs(method->lambda) <= 5)
        method->scale = FOCI_SCALE_BOX_COX;
    else
        return foci_fail(err, FOCI_BAD_SETTING, "--scale", 0, "'%s' is not none, auto or box-cox=L with L from -5 to 5",
                         text);
    return true;
}

static bool choose_surface(foci_round *round, const foci_settings *settings, foci_error *err) {
    bool counts = round->stops.kind == FOCI_READING_COUNT;
    bool few = round->readings.count < FOCI_STOPS_FOR_MAP && !settings->variogram;
    bool asks_for_kriging = settings->variogram != NULL;
    const char *name = settings->surface             ? settings->surface
                       : counts && !asks_for_kriging ? "counts"
                       : few                         ? "idw"
                                                     : "kriging";
    round->method.method = foci_surface_method_find(name);
    if (!round->method.method)
        return foci_fail(err, FOCI_BAD_SETTING, "--surface", 0, "'%s' is not a surface method", name);
    if (round->method.method->needs_counts && !counts)
        return foci_fail(err, FOCI_BAD_SETTING, "--surface", 0, "%s needs counts; give --hits and --checked", name);
    return true;
}

static double or_zero(double number) {
    return isnan(number) ? 0 : number;
}

/* `given` is where a whole model stays until the fit has its own copy. */
static bool choose(foci_round *round, const foci_settings *settings, foci_variogram *given, foci_error *err) {
    foci_surface_options *method = &round->method;
    bool complete = false;
    size_t all = round->readings.count <= STOPS_FOR_ALL ? 0 : NEIGHBOURS;
    *method = (foci_surface_options){
        .area = round->area,
        .row_heading = round->row_heading,
        .threshold = round->threshold,
        .least = round->stops.least,
        .most = round->stops.most > round->stops.least ? round->stops.most : INFINITY,
        .neighbours = isnan(settings->neighbours) ? all : (size_t)settings->neighbours,
        .fit = foci_score_fit_find(settings->fit),
        .trend = settings->trend[0] - '0',
        .lag = or_zero(settings->lag),
        .farthest = or_zero(settings->farthest),
        .stop_variation = strcmp(settings->stop_variation, "on") == 0    ? FOCI_STOP_VARIATION_ON
                          : strcmp(settings->stop_variation, "off") == 0 ? FOCI_STOP_VARIATION_OFF
                                                                         : FOCI_STOP_VARIATION_AUTO,
        .power = settings->power,
    };
    if (settings->variogram && !foci_variogram_parse(given, &complete, settings->variogram, err))
        return false;
    method->variogram = complete ? given : NULL;
    method->kind = given->kind;
    method->smoothness = given->smoothness;
    return choose_scale(method, settings, err) && choose_surface(round, settings, err);
}

static bool keep_text(char **place, const char *text, foci_error *err) {
    char *copy = foci_copy_text(text, err);
    if (!copy)
        return false;
    free(*place);
    *place = copy;
    return true;
}

static bool keep_labels(foci_settings *settings, const foci_round *round, foci_error *err) {
    settings->threshold = round->threshold;
    return keep_text(&settings->work_crs, round->work_crs, err) &&
           (!*round->season || keep_text(&settings->season, round->season, err));
}

static bool keep_choices(foci_settings *settings, const foci_round *round, foci_error *err) {
    settings->neighbours = (double)round->method.neighbours;
    return keep_text(&settings->surface, round->method.method->name, err) &&
           (settings->scale || keep_text(&settings->scale, scale_left_out(settings), err)) &&
           keep_labels(settings, round, err);
}

/* Where nobody asked for kriging and no model can be fitted, inverse distance still makes a map. */
static bool fit(foci_round *round, const foci_settings *settings, const foci_execution *how, foci_error *err) {
    foci_error inner = {0};
    if (foci_surface_model_fit(&round->model, &round->readings, &round->method, how, &inner))
        return true;
    if (settings->surface || settings->variogram || inner.status != FOCI_NO_FIT)
        return foci_fail(err, inner.status, inner.source, inner.row, "%s", inner.text);
    round->method.method = foci_surface_method_find("idw");
    return foci_findings_add(&round->findings, "no model", FOCI_WARNING, NULL, NULL, 0, err,
                             "No model could be fitted (%s): inverse distance is used.", inner.text) &&
           foci_findings_trust(&round->findings, err,
                               "How much alike the stops are at which distance could not be told: the map is a plain "
                               "average of the stops near by.") &&
           foci_surface_model_fit(&round->model, &round->readings, &round->method, how, err);
}

/* With the earlier season where one is named; what was chosen stands in round->method. */
static bool fit_seasons(foci_round *round, const foci_settings *settings, const foci_execution *how, foci_error *err) {
    foci_readings earlier = {0};
    if (!settings->earlier)
        return fit(round, settings, how, err);
    if (!foci_earlier_read(&earlier, round, settings, err))
        return false;
    const bool few = earlier.count < FOCI_STOPS_FOR_MAP;
    round->method.earlier = few ? NULL : &earlier;
    bool ok = fit(round, settings, how, err);
    if (ok && few) {
        round->model.facts.earlier.stops = earlier.count;
        snprintf(round->model.facts.earlier.why_not, sizeof round->model.facts.earlier.why_not,
                 "it has too few stops, %zu where %d are the least", earlier.count, FOCI_STOPS_FOR_MAP);
    }
    ok = ok && foci_earlier_tell(round, err);
    round->method.earlier = NULL;
    foci_readings_free(&earlier);
    return ok;
}

bool foci_method_fit(foci_round *round, foci_settings *settings, const foci_execution *how, foci_error *err) {
    foci_variogram given = {0};
    round->threshold = settings->threshold;
    if (isnan(round->threshold) && round->has_profile)
        round->threshold = round->profile.threshold;
    if (!choose_area(round, err) || !choose_heading(round, settings, err) || !choose(round, settings, &given, err))
        return false;
    /* Too few stops make no map: nothing is fitted to them then. */
    if (settings->command != FOCI_FOR_ESTIMATE && round->readings.count < FOCI_STOPS_FOR_MAP)
        return keep_labels(settings, round, err);
    if (!fit_seasons(round, settings, how, err))
        return false;
    round->method.variogram = NULL;
    return keep_choices(settings, round, err);
}
