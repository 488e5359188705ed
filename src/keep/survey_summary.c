#include "keep/check_summary.h"
#include "keep/survey_summary.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "decide/words/warnings.h"
#include "base/memory.h"
#include "keep/pattern_summary.h"
#include "keep/summary_parts.h"

static bool add_input(foci_json *array, const foci_input *input, foci_error *err) {
    foci_json *object = foci_summary_next_child(array, err);
    return object && foci_json_put_text(object, "file", input->file, err) &&
           foci_json_put_text(object, "sha256", input->sha256, err) &&
           foci_json_put_text(object, "layer", input->layer, err) &&
           foci_json_put_whole(object, "rows", (long long)input->rows, err);
}

static bool put_inputs(foci_json *root, const foci_survey *round, foci_error *err) {
    foci_json *array = foci_summary_child_array(root, "inputs", err);
    if (!array)
        return false;
    for (size_t i = 0; i < round->stops.input_count; i++)
        if (!add_input(array, &round->stops.inputs[i], err))
            return false;
    return !round->field.input.file || add_input(array, &round->field.input, err);
}

/* "NONE,FEW,MANY": a column each. */
static bool add_classes(foci_json *columns, const char *classes, foci_error *err) {
    char *names = foci_copy_text(classes, err), *rest = names;
    bool ok = names != NULL;
    for (char *name = NULL; ok && (name = strsep(&rest, ",")) != NULL;)
        ok = foci_json_add_text(columns, name, err);
    free(names);
    return ok;
}

/* The ordinal scale that the percents were read by. */
static bool put_ordinal(foci_json *reading, const foci_stops *stops, foci_error *err) {
    if (stops->scale.count == 0)
        return true;
    foci_json *scale = foci_summary_child(reading, "scale", err);
    return scale && foci_json_put_text(scale, "name", stops->scale.name, err) &&
           foci_json_put_text(scale, "title", stops->scale.title, err) &&
           foci_json_put_text(scale, "source", stops->scale.source, err) &&
           foci_json_put_bool(scale, "severity_index", stops->index, err);
}

static bool put_reading(foci_json *root, const foci_survey *round, const foci_json *job, foci_error *err) {
    bool counts = round->stops.kind == FOCI_READING_COUNT;
    foci_json *reading = foci_summary_child(root, "reading", err);
    foci_json *columns = reading ? foci_summary_child_array(reading, "columns", err) : NULL;
    if (!columns || !foci_json_put_text(reading, "kind", counts ? "count" : "value", err))
        return false;
    const char *hits = foci_json_text(foci_json_get(job, "hits"));
    const char *checked = foci_json_text(foci_json_get(job, "checked"));
    const char *value = foci_json_text(foci_json_get(job, "value"));
    if (round->has_profile && !hits && !value) {
        hits = *round->profile.hits_column ? round->profile.hits_column : NULL;
        value = round->profile.value_column;
    }
    if (round->has_profile && !checked)
        checked = round->profile.checked_column;
    const char *classes = foci_json_text(foci_json_get(job, "classes"));
    if (classes  ? !add_classes(columns, classes, err)
        : counts ? !foci_json_add_text(columns, hits, err) || !foci_json_add_text(columns, checked, err)
                 : !foci_json_add_text(columns, value, err))
        return false;
    return foci_json_put_text(reading, "unit", round->stops.unit, err) &&
           foci_json_put_number(reading, "threshold", round->threshold, err) &&
           foci_json_put_text(reading, "rated", *round->rated ? round->rated : NULL, err) &&
           put_ordinal(reading, &round->stops, err);
}

static bool put_left_out(foci_json *stops, const foci_stops *from, foci_error *err) {
    foci_json *array = foci_summary_child_array(stops, "left_out", err);
    for (size_t i = 0; array && i < from->count; i++) {
        const foci_stop *stop = &from->items[i];
        if (stop->used || stop->pooled_into != FOCI_NOT_POOLED)
            continue;
        foci_json *object = foci_summary_next_child(array, err);
        if (!object || !foci_json_put_text(object, "file", from->inputs[stop->input].file, err) ||
            !foci_json_put_whole(object, "row", stop->row, err) ||
            !foci_json_put_text(object, "stop", stop->name, err) || !foci_json_put_text(object, "why", stop->why, err))
            return false;
    }
    return array != NULL;
}

static bool put_stops(foci_json *root, const foci_survey *round, foci_error *err) {
    foci_json *stops = foci_summary_child(root, "stops", err);
    size_t used = 0, pooled = 0;
    for (size_t i = 0; i < round->stops.count; i++) {
        used += round->stops.items[i].used;
        pooled += round->stops.items[i].pooled_into != FOCI_NOT_POOLED;
    }
    const foci_reading_range *spread = &round->readings.spread;
    bool any = round->readings.count > 0;
    return stops && foci_json_put_whole(stops, "read", (long long)round->stops.count, err) &&
           foci_json_put_whole(stops, "used", (long long)used, err) && put_left_out(stops, &round->stops, err) &&
           foci_json_put_whole(stops, "pooled", (long long)pooled, err) &&
           foci_json_put_number(stops, "min", any ? spread->min : NAN, err) &&
           foci_json_put_number(stops, "median", any ? spread->median : NAN, err) &&
           foci_json_put_number(stops, "mean", any ? spread->mean : NAN, err) &&
           foci_json_put_number(stops, "max", any ? spread->max : NAN, err) &&
           foci_json_put_whole(stops, "zeros", (long long)spread->zeros, err);
}

static bool put_findings(foci_json *root, const foci_findings *findings, foci_error *err) {
    foci_json *array = foci_summary_child_array(root, "findings", err);
    for (size_t i = 0; array && i < findings->count; i++) {
        const foci_finding *finding = &findings->items[i];
        foci_json *object = foci_summary_next_child(array, err);
        foci_json *names = NULL;
        if (!object || !foci_json_put_text(object, "what", finding->what, err) ||
            !foci_json_put_text(object, "severity", finding->severity == FOCI_WARNING ? "warning" : "note", err) ||
            !foci_json_put_text(object, "text", finding->text, err) ||
            !(names = foci_summary_child_array(object, "stops", err)))
            return false;
        for (size_t j = 0; j < finding->stop_count; j++)
            if (!foci_json_add_text(names, finding->stops[j], err))
                return false;
    }
    return array != NULL;
}

static bool put_interval(foci_json *parent, const char *key, foci_interval interval, foci_error *err) {
    if (isnan(interval.median))
        return foci_json_put_null(parent, key, err);
    foci_json *object = foci_summary_child(parent, key, err);
    return object && foci_json_put_number(object, "low", interval.low, err) &&
           foci_json_put_number(object, "median", interval.median, err) &&
           foci_json_put_number(object, "high", interval.high, err);
}

/* The parameters' posterior medians with 90 % intervals, and what else the fit found out. */
static bool put_facts(foci_json *surface, const foci_fit_summary *facts, foci_error *err) {
    foci_json *parameters = foci_summary_child(surface, "parameters", err);
    foci_json *better = parameters ? foci_summary_child(surface, "better_heading", err) : NULL;
    return better && foci_json_put_text(parameters, "scale", facts->logit ? "logit" : "reading", err) &&
           put_interval(parameters, "practical_range_m", facts->range, err) &&
           put_interval(parameters, "ratio", facts->ratio, err) &&
           put_interval(parameters, "nugget_share", facts->nugget_share, err) &&
           put_interval(parameters, "sigma", facts->sigma, err) && put_interval(parameters, "tau", facts->tau, err) &&
           foci_json_put_number(better, "heading_deg", facts->suggested_heading, err) &&
           foci_json_put_number(better, "ratio", facts->suggested_ratio, err) &&
           foci_json_put_number(better, "log_likelihood_gain", facts->suggested_gain, err) &&
           foci_json_put_number(better, "chance", facts->suggested_p, err) &&
           foci_json_put_number(surface, "no_pattern_weight", facts->no_pattern, err) &&
           foci_json_put_bool(surface, "stop_variation", facts->stop_variation, err) &&
           foci_json_put_number(surface, "stop_variation_evidence", facts->stop_variation_ratio, err) &&
           foci_json_put_number(surface, "log_likelihood", facts->log_likelihood, err) &&
           foci_json_put_whole(surface, "components", (long long)facts->components, err) &&
           foci_json_put_whole(surface, "fitted_on", (long long)facts->fitted_on, err) &&
           foci_json_put_bool(surface, "scale_open", facts->scale_open, err);
}

static bool put_scale(foci_json *surface, const foci_fit_summary *facts, foci_error *err) {
    char scale[40] = "none";
    if (facts->logit)
        snprintf(scale, sizeof scale, "logit");
    else if (facts->lambda != 1)
        snprintf(scale, sizeof scale, "box-cox=%.4g", facts->lambda);
    const bool back = !facts->logit && facts->lambda != 1;
    return foci_json_put_text(surface, "scale", scale, err) &&
           foci_json_put_text(surface, "estimate", back ? "mean of readings up to the highest one" : "mean", err) &&
           foci_json_put_number(surface, "lambda", facts->lambda, err) &&
           foci_json_put_number(surface, "shift", facts->shift, err);
}

static bool put_surface(foci_json *root, const foci_survey *round, foci_error *err) {
    if (!round->model.method)
        return foci_json_put_null(root, "surface", err);
    foci_json *surface = foci_summary_child(root, "surface", err);
    const foci_surface_options *method = &round->method;
    bool by_distance = !method->method->gives_variance;
    return surface && foci_json_put_text(surface, "kind", method->method->name, err) &&
           put_scale(surface, &round->model.facts, err) &&
           foci_summary_put_model(surface, "variogram", &round->model.facts.variogram, err) &&
           foci_json_put_number(surface, "cell_m", round->grid.cell, err) &&
           foci_json_put_whole(surface, "columns", (long long)round->grid.columns, err) &&
           foci_json_put_whole(surface, "rows", (long long)round->grid.rows, err) &&
           foci_json_put_number(surface, "lattice_m", (double)round->surface.nodes * round->grid.cell, err) &&
           foci_json_put_number(surface, "row_heading_grid_deg", round->row_heading, err) &&
           foci_json_put_whole(surface, "neighbours", (long long)method->neighbours, err) &&
           foci_json_put_number(surface, "power", by_distance ? method->power : NAN, err) &&
           put_facts(surface, &round->model.facts, err);
}

/* Only there where an earlier survey was named. */
static bool put_earlier(foci_json *root, const foci_survey *round, foci_error *err) {
    const foci_earlier *earlier = &round->earlier;
    const foci_earlier_facts *facts = &round->model.facts.earlier;
    if (!earlier->survey)
        return true;
    foci_json *object = foci_summary_child(root, "earlier", err);
    return object && foci_json_put_text(object, "survey", earlier->survey, err) &&
           foci_json_put_text(object, "sha256", earlier->sha256, err) &&
           foci_json_put_text(object, "season", earlier->season, err) &&
           foci_json_put_whole(object, "stops", (long long)facts->stops, err) &&
           foci_json_put_bool(object, "used", facts->used, err) &&
           foci_json_put_number(object, "rho", facts->rho, err) &&
           foci_json_put_number(object, "log_score_with", facts->log_score_with, err) &&
           foci_json_put_number(object, "log_score_without", facts->log_score_without, err) &&
           foci_json_put_text(object, "text", earlier->words, err);
}

static bool put_cross_validation_words(foci_json *object, const foci_cross_validation *check, foci_error *err) {
    char words[120];
    if (!foci_words_coverage(words, sizeof words, check))
        return foci_json_put_null(object, "text", err);
    return foci_json_put_text(object, "text", words, err);
}

static bool put_cross_validation(foci_json *root, const foci_survey *round, foci_error *err) {
    if (!round->has_cross_validation)
        return foci_json_put_null(root, "cross_check", err);
    foci_json *object = foci_summary_child(root, "cross_check", err);
    return object && foci_summary_fill_cross_validation(object, &round->cross_validation, err) &&
           put_cross_validation_words(object, &round->cross_validation, err);
}

static bool put_severity(foci_json *root, const foci_surface *surface, foci_error *err) {
    if (!surface->estimate)
        return foci_json_put_null(root, "severity", err);
    foci_json *severity = foci_summary_child(root, "severity", err);
    return severity && foci_json_put_number(severity, "mean", surface->mean, err) &&
           foci_json_put_number(severity, "min", surface->min, err) &&
           foci_json_put_number(severity, "max", surface->max, err);
}

/* How much of the field is over the threshold: by the chance everywhere, and as the hotspots outline it. */
static bool put_hot(foci_json *root, const foci_survey *round, foci_error *err) {
    double outlined = 0;
    if (!round->surface.chance)
        return foci_json_put_null(root, "hot", err);
    for (size_t i = 0; i < round->hotspots.count; i++)
        outlined += round->hotspots.items[i].area_ha;
    foci_json *hot = foci_summary_child(root, "hot", err);
    return hot && foci_json_put_number(hot, "expected_ha", round->surface.over * round->field.area_ha, err) &&
           foci_json_put_number(hot, "outlined_ha", outlined, err);
}

/* Ground that no stop speaks for. */
static bool put_gaps(foci_json *root, const foci_survey *round, foci_error *err) {
    const foci_gaps *gaps = &round->gaps;
    if (!round->unspoken)
        return foci_json_put_null(root, "gaps", err);
    foci_json *object = foci_summary_child(root, "gaps", err);
    return object && foci_json_put_number(object, "spacing_m", gaps->spacing, err) &&
           foci_json_put_number(object, "share", gaps->share, err) &&
           foci_json_put_number(object, "reach_m", gaps->reach, err) &&
           foci_json_put_bool(object, "by_range", gaps->by_range, err) &&
           foci_json_put_bool(object, "one_line", gaps->one_line, err);
}

static bool put_hotspots(foci_json *root, const foci_hotspots *hotspots, foci_error *err) {
    foci_json *array = foci_summary_child_array(root, "hotspots", err);
    for (size_t i = 0; array && i < hotspots->count; i++) {
        const foci_hotspot *spot = &hotspots->items[i];
        foci_json *object = foci_summary_next_child(array, err);
        if (!object || !foci_json_put_whole(object, "id", spot->id, err) ||
            !foci_json_put_number(object, "area_ha", spot->area_ha, err) ||
            !foci_json_put_number(object, "peak", spot->peak, err) ||
            !foci_json_put_number(object, "mean", spot->mean, err) ||
            !foci_json_put_number(object, "chance", spot->chance, err) ||
            !foci_json_put_whole(object, "stops", (long long)spot->stops, err) ||
            !foci_json_put_whole(object, "over", (long long)spot->over, err) ||
            !foci_json_put_bool(object, "supported", spot->supported, err) ||
            !foci_json_put_number(object, "along_m", spot->along, err) ||
            !foci_json_put_number(object, "across_m", spot->across, err) ||
            !foci_summary_put_place(object, "centre", spot->centre, err))
            return false;
    }
    return array != NULL;
}

static bool put_zones(foci_json *root, const foci_survey *round, foci_error *err) {
    foci_json *zones = foci_summary_child(root, "zones", err);
    for (int code = FOCI_ZONE_END - 1; zones && code >= 0; code--) {
        const foci_zone *zone = &round->zones.items[code];
        foci_json *object = foci_summary_child(zones, foci_zone_name((foci_zone_code)code), err);
        bool there = round->has_zones && zone->parts > 0;
        if (!object || !foci_json_put_number(object, "area_ha", there ? zone->area_ha : 0, err) ||
            !foci_json_put_whole(object, "parts", there ? (long long)zone->parts : 0, err) ||
            !foci_json_put_number(object, "chance", there ? zone->chance : NAN, err) ||
            !foci_json_put_number(object, "severity", there ? zone->severity : NAN, err))
            return false;
    }
    return zones && foci_json_put_text(root, "no_zones_why", round->no_zones_why, err);
}

static bool put_lanes(foci_json *root, const foci_survey *round, foci_error *err) {
    const foci_zones_lanes *lanes = &round->zones.lanes;
    if (!(round->zones_options.swath > 0) || !round->has_zones)
        return foci_json_put_null(root, "lanes", err);
    foci_json *object = foci_summary_child(root, "lanes", err);
    return object && foci_json_put_whole(object, "lanes", (long long)lanes->lanes, err) &&
           foci_json_put_whole(object, "runs", (long long)lanes->runs, err) &&
           foci_json_put_whole(object, "switches", (long long)lanes->switches, err) &&
           foci_json_put_whole(object, "switches_without_least_run", (long long)lanes->unheld, err) &&
           foci_json_put_number(object, "treated_ha", lanes->treated_ha, err) &&
           foci_json_put_number(object, "treated_by_cell_ha", lanes->wanted_ha, err) &&
           foci_json_put_number(object, "missed_ha", lanes->missed_ha, err) &&
           foci_json_put_number(object, "extra_ha", lanes->extra_ha, err) &&
           foci_json_put_number(object, "severity_by_cell", lanes->wanted, err) &&
           foci_json_put_number(object, "severity_missed", lanes->missed, err) &&
           foci_json_put_number(object, "severity_extra", lanes->extra, err);
}

static bool put_choice(foci_json *parent, const char *key, const foci_economics_choice *choice, foci_error *err) {
    foci_json *object = foci_summary_child(parent, key, err);
    return object && foci_json_put_number(object, "treated_ha", choice->treated_ha, err) &&
           foci_json_put_number(object, "net", choice->net, err) &&
           foci_json_put_number(object, "net_per_ha", choice->net_share, err);
}

static bool put_economics(foci_json *root, const foci_survey *round, foci_error *err) {
    if (!round->has_economics)
        return foci_json_put_null(root, "economics", err);
    foci_json *object = foci_summary_child(root, "economics", err);
    return object && foci_json_put_number(object, "cost_per_ha", round->economics_options.cost, err) &&
           foci_json_put_number(object, "loss_per_ha", round->economics_options.loss, err) &&
           put_choice(object, "zones", &round->economics.zones, err) &&
           put_choice(object, "whole_field", &round->economics.whole, err) &&
           put_choice(object, "nothing", &round->economics.nothing, err);
}

static bool put_digs(foci_json *root, const foci_dig_points *digs, foci_error *err) {
    foci_json *array = foci_summary_child_array(root, "digs", err);
    for (size_t i = 0; array && i < digs->count; i++) {
        const foci_dig_point *dig = &digs->items[i];
        foci_json *object = foci_summary_next_child(array, err);
        if (!object || !foci_json_put_whole(object, "id", dig->id, err) ||
            !foci_json_put_whole(object, "visit", dig->visit, err) ||
            !foci_json_put_text(object, "name", dig->name, err) ||
            !foci_json_put_number(object, "lon", dig->lonlat.x, err) ||
            !foci_json_put_number(object, "lat", dig->lonlat.y, err) ||
            !foci_json_put_number(object, "chance", dig->chance, err) ||
            !foci_json_put_text(object, "why", foci_dig_why_name(dig->why), err))
            return false;
    }
    bool any = digs->count > 0;
    return array && foci_json_put_number(root, "digs_walk_m", any ? digs->walk : NAN, err) &&
           foci_json_put_number(root, "digs_misclassified", any ? digs->misclassified : NAN, err) &&
           foci_json_put_number(root, "digs_misclassified_after", any ? digs->misclassified_after : NAN, err);
}

char *foci_survey_json(const foci_survey *round, foci_json *job, foci_error *err) {
    char *text = NULL;
    foci_json *root = foci_json_object(err);
    if (!root || !foci_summary_put_program(root, round->made, err) || !put_inputs(root, round, err)) {
        foci_json_free(job);
        goto done;
    }
    if (!foci_json_put(root, "job", job, err) || !foci_json_put_text(root, "season", round->season, err) ||
        !foci_json_put_text(root, "title", round->title, err) ||
        !foci_json_put_text(root, "first_date", *round->first_date ? round->first_date : NULL, err) ||
        !foci_json_put_text(root, "last_date", *round->last_date ? round->last_date : NULL, err) ||
        !foci_summary_put_field(root, round, err) || !foci_summary_put_disease(root, round, err) ||
        !put_reading(root, round, job, err) || !put_stops(root, round, err) ||
        !put_findings(root, &round->findings, err) || !foci_pattern_summary_put(root, round, err) ||
        !put_surface(root, round, err) || !put_earlier(root, round, err) || !put_cross_validation(root, round, err) ||
        !put_severity(root, &round->surface, err) || !put_hot(root, round, err) || !put_gaps(root, round, err) ||
        !put_hotspots(root, &round->hotspots, err) || !put_zones(root, round, err) || !put_lanes(root, round, err) ||
        !put_economics(root, round, err) || !put_digs(root, &round->digs, err) ||
        !foci_summary_put_sentences(root, "even_so", &round->even_so, err) ||
        !foci_summary_put_sentences(root, "cautions", &round->cautions, err) ||
        !foci_summary_put_sentences(root, "warnings", &round->warnings, err))
        goto done;
    text = foci_json_print(root, err);
done:
    foci_json_free(root);
    return text;
}

char *foci_check_summary(const foci_survey *round, const foci_json *job, const foci_error *unfit, foci_error *err) {
    char *text = NULL;
    foci_json *root = foci_json_object(err);
    if (root && foci_summary_put_program(root, round->made, err) && put_inputs(root, round, err) &&
        foci_summary_put_field(root, round, err) && foci_summary_put_disease(root, round, err) &&
        put_reading(root, round, job, err) && put_stops(root, round, err) &&
        put_findings(root, &round->findings, err) && foci_check_summary_put(root, round, err) &&
        foci_json_put_bool(root, "fit_to_map", unfit->status == FOCI_OK, err) &&
        foci_json_put_text(root, "unfit_why", unfit->status == FOCI_OK ? NULL : unfit->text, err))
        text = foci_json_print(root, err);
    foci_json_free(root);
    return text;
}
