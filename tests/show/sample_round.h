/* An invented round of scouting made by hand: a field with a pond, one or two round pockets of disease, stops on a
 * loose grid. No lower stage runs, so what is shown can be tested without them. */
#ifndef FOCI_TESTS_SAMPLE_ROUND_H
#define FOCI_TESTS_SAMPLE_ROUND_H

#include "show/sample_field.h"

/* The pocket that a cell belongs to where its chance is at least `chance`: 1, 2, or 0 for none. */
static inline int sample_pocket_of(const sample_plan *plan, const foci_survey *round, size_t cell, double chance) {
    if (!(round->surface.chance[cell] >= chance))
        return 0;
    foci_point place = sample_centre(&round->grid, cell), first = sample_pocket(plan, 0),
               second = sample_pocket(plan, 1);
    bool nearer = hypot(place.x - first.x, place.y - first.y) <= hypot(place.x - second.x, place.y - second.y);
    return nearer || plan->pockets < 2 ? 1 : 2;
}

/* Outline of a pocket's cells, counter-clockwise along their sides; each row of cells is one run. */
static inline bool sample_outline(foci_ring *ring, const sample_plan *plan, const foci_survey *round, int pocket,
                                  double chance, foci_error *err) {
    const foci_grid *grid = &round->grid;
    foci_point *points = foci_new_array(4 * grid->rows, sizeof *points, err);
    size_t rows = 0;
    if (!points)
        return false;
    for (size_t row = 0; row < grid->rows; row++) {
        size_t first = grid->columns, last = 0;
        for (size_t column = 0; column < grid->columns; column++) {
            if (sample_pocket_of(plan, round, row * grid->columns + column, chance) != pocket)
                continue;
            first = column < first ? column : first;
            last = column;
        }
        if (first == grid->columns)
            continue;
        double top = grid->north - grid->cell * (double)row;
        double left = grid->west + grid->cell * (double)first, right = grid->west + grid->cell * (double)(last + 1);
        points[2 * rows] = (foci_point){left, top};
        points[2 * rows + 1] = (foci_point){left, top - grid->cell};
        points[4 * grid->rows - 1 - 2 * rows] = (foci_point){right, top};
        points[4 * grid->rows - 2 - 2 * rows] = (foci_point){right, top - grid->cell};
        rows++;
    }
    memmove(points + 2 * rows, points + 4 * grid->rows - 2 * rows, 2 * rows * sizeof *points);
    bool ok = sample_ring(ring, points, 4 * rows, false, err);
    free(points);
    return ok;
}

static inline bool sample_hotspot(foci_hotspot *spot, const sample_plan *plan, const foci_survey *round, int id,
                                  foci_error *err) {
    double cells = 0;
    spot->id = id;
    for (size_t cell = 0; cell < round->grid.columns * round->grid.rows; cell++) {
        if (round->hotspots.label[cell] != id)
            continue;
        cells++;
        spot->peak = fmax(spot->peak, round->surface.estimate[cell]);
        spot->mean += round->surface.estimate[cell];
        spot->chance += round->surface.chance[cell];
    }
    spot->mean /= cells;
    spot->chance /= cells;
    spot->centre = sample_lonlat(sample_pocket(plan, (size_t)id - 1));
    if (!sample_polygon(&spot->shape, 1, err) ||
        !sample_outline(&spot->shape.polygons[0].rings[0], plan, round, id, 0.5, err) ||
        !sample_degrees(&spot->lonlat, &spot->shape, err))
        return false;
    spot->area_ha = sample_hectares(&spot->shape);
    for (size_t i = 0; i < round->readings.count; i++)
        spot->stops += foci_multipolygon_contains(&spot->shape, round->readings.places[i]);
    return true;
}

static inline bool sample_hotspots(foci_survey *round, const sample_plan *plan, foci_error *err) {
    const size_t cells = round->grid.columns * round->grid.rows;
    round->hotspots.label = foci_new_array(cells, sizeof(int), err);
    round->hotspots.items = foci_new_array(plan->pockets, sizeof *round->hotspots.items, err);
    if (!round->hotspots.label || !round->hotspots.items)
        return false;
    for (size_t cell = 0; cell < cells; cell++)
        round->hotspots.label[cell] = sample_pocket_of(plan, round, cell, 0.5);
    round->hotspots.count = plan->pockets;
    for (size_t i = 0; i < plan->pockets; i++)
        if (!sample_hotspot(&round->hotspots.items[i], plan, round, (int)i + 1, err))
            return false;
    return true;
}

/* One polygon per pocket: the hotspot itself, or the ring of less sure cells round it. */
static inline bool sample_zone_parts(foci_zone *zone, const foci_survey *round, const foci_ring *outer, bool ring,
                                     foci_error *err) {
    zone->shape.polygons = foci_new_array(round->hotspots.count, sizeof *zone->shape.polygons, err);
    if (!zone->shape.polygons)
        return false;
    zone->shape.count = zone->parts = round->hotspots.count;
    for (size_t i = 0; i < zone->shape.count; i++) {
        const foci_ring *hot = &round->hotspots.items[i].shape.polygons[0].rings[0];
        foci_polygon *part = &zone->shape.polygons[i];
        part->rings = foci_new_array(2, sizeof *part->rings, err);
        if (!part->rings)
            return false;
        part->count = ring ? 2 : 1;
        const foci_ring *edge = ring ? &outer[i] : hot;
        if (!sample_ring(&part->rings[0], edge->points, edge->count, false, err))
            return false;
        if (ring && !sample_ring(&part->rings[1], hot->points, hot->count, true, err))
            return false;
    }
    return true;
}

/* The field without the pockets' wide outlines. */
static inline bool sample_leave(foci_zone *zone, const foci_survey *round, const foci_ring *outer, foci_error *err) {
    const foci_polygon *field = &round->field.shape.polygons[0];
    zone->parts = 1;
    if (!sample_polygon(&zone->shape, field->count + round->hotspots.count, err))
        return false;
    for (size_t i = 0; i < field->count; i++)
        if (!sample_ring(&zone->shape.polygons[0].rings[i], field->rings[i].points, field->rings[i].count, false, err))
            return false;
    for (size_t i = 0; i < round->hotspots.count; i++)
        if (!sample_ring(&zone->shape.polygons[0].rings[field->count + i], outer[i].points, outer[i].count, true, err))
            return false;
    return true;
}

static inline void sample_zone_means(foci_zone *zone, const foci_survey *round) {
    double weight = 0, chance = 0, severity = 0;
    for (size_t cell = 0; cell < round->grid.columns * round->grid.rows; cell++) {
        if (round->zones.code[cell] != (signed char)zone->code)
            continue;
        weight += round->grid.share[cell];
        chance += round->grid.share[cell] * round->surface.chance[cell];
        severity += round->grid.share[cell] * round->surface.estimate[cell];
    }
    zone->chance = weight > 0 ? chance / weight : NAN;
    zone->severity = weight > 0 ? severity / weight : NAN;
}

static inline bool sample_zones(foci_survey *round, const sample_plan *plan, foci_error *err) {
    const size_t cells = round->grid.columns * round->grid.rows;
    foci_ring outer[2] = {{0}};
    bool ok = false;
    round->zones.code = foci_new_array(cells, 1, err);
    if (!round->zones.code)
        return false;
    for (size_t cell = 0; cell < cells; cell++)
        round->zones.code[cell] =
            (signed char)(round->grid.share[cell] <= 0                             ? -1
                          : sample_pocket_of(plan, round, cell, 0.5)               ? FOCI_ZONE_TREAT
                          : sample_pocket_of(plan, round, cell, SAMPLE_DIG_CHANCE) ? FOCI_ZONE_DIG
                                                                                   : FOCI_ZONE_LEAVE);
    for (size_t i = 0; i < plan->pockets; i++)
        if (!sample_outline(&outer[i], plan, round, (int)i + 1, SAMPLE_DIG_CHANCE, err))
            goto done;
    foci_zone *zones = round->zones.items;
    if (!sample_leave(&zones[FOCI_ZONE_LEAVE], round, outer, err) ||
        !sample_zone_parts(&zones[FOCI_ZONE_DIG], round, outer, true, err) ||
        !sample_zone_parts(&zones[FOCI_ZONE_TREAT], round, outer, false, err))
        goto done;
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        zones[code].code = (foci_zone_code)code;
        zones[code].area_ha = sample_hectares(&zones[code].shape);
        sample_zone_means(&zones[code], round);
        if (!sample_degrees(&zones[code].lonlat, &zones[code].shape, err))
            goto done;
    }
    ok = true;
done:
    free(outer[0].points);
    free(outer[1].points);
    return ok;
}

/* A number in [0, 1) that depends on `n` alone. */
static inline double sample_noise(size_t n) {
    uint32_t state = (uint32_t)n * 2654435761U + 12345U;
    state ^= state >> 15;
    state *= 2246822519U;
    state ^= state >> 13;
    return (double)(state % 10007U) / 10007.0;
}

static inline bool sample_stop(foci_stop *stop, const sample_plan *plan, const foci_multipolygon *field, size_t i,
                               foci_error *err) {
    double across = ((double)(i % plan->stops_across) + 0.2 + 0.6 * sample_noise(3 * i)) / (double)plan->stops_across;
    double up = ((double)(i / plan->stops_across) + 0.2 + 0.6 * sample_noise(3 * i + 1)) / (double)plan->stops_down;
    *stop = (foci_stop){.row = (long)i + 2, .pooled_into = FOCI_NOT_POOLED, .checked = 20, .used = true};
    stop->name = foci_format_text(err, "S%02zu", i + 1);
    if (!stop->name)
        return false;
    snprintf(stop->date, sizeof stop->date, i < plan->stops_across ? "2025-08-11" : "2025-08-12");
    stop->place = sample_place(plan, across, up);
    stop->lonlat = stop->own = sample_lonlat(stop->place);
    stop->hits = floor(stop->checked * sample_severity(plan, stop->place) / 100 +
                       (plan->height > 0 ? sample_noise(3 * i + 2) : 0));
    stop->value = 100 * stop->hits / stop->checked;
    if (!foci_multipolygon_contains(field, stop->place)) {
        stop->used = false;
        stop->why = "outside the field";
    } else if (i == 13) {
        stop->used = false;
        stop->why = "the reading is blank";
        stop->hits = stop->value = NAN;
    }
    return true;
}

static inline bool sample_stops(foci_stops *stops, const sample_plan *plan, const foci_multipolygon *field,
                                foci_error *err) {
    const size_t count = plan->stops_across * plan->stops_down;
    stops->kind = FOCI_READING_COUNT;
    stops->unit = foci_copy_text("percent of units infected", err);
    stops->inputs = foci_new_array(1, sizeof *stops->inputs, err);
    stops->items = foci_new_array(count, sizeof *stops->items, err);
    if (!stops->unit || !stops->inputs || !stops->items)
        return false;
    stops->input_count = 1;
    stops->inputs[0].file = foci_copy_text("stops.csv", err);
    stops->inputs[0].layer = foci_copy_text("stops", err);
    stops->inputs[0].crs = foci_copy_text("EPSG:4326", err);
    if (!stops->inputs[0].file || !stops->inputs[0].layer || !stops->inputs[0].crs)
        return false;
    memset(stops->inputs[0].sha256, 'a', 64);
    stops->inputs[0].rows = count;
    for (size_t i = 0; i < count; i++) {
        if (!sample_stop(&stops->items[i], plan, field, i, err))
            return false;
        stops->count++;
    }
    return true;
}

static inline bool sample_readings(foci_readings *readings, const foci_stops *stops, foci_error *err) {
    readings->places = foci_new_array(stops->count, sizeof *readings->places, err);
    readings->values = foci_new_array(stops->count, sizeof *readings->values, err);
    readings->hits = foci_new_array(stops->count, sizeof *readings->hits, err);
    readings->checked = foci_new_array(stops->count, sizeof *readings->checked, err);
    readings->stops = foci_new_array(stops->count, sizeof *readings->stops, err);
    if (!readings->places || !readings->values || !readings->hits || !readings->checked || !readings->stops)
        return false;
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        if (!stop->used)
            continue;
        readings->places[readings->count] = stop->place;
        readings->values[readings->count] = stop->value;
        readings->hits[readings->count] = stop->hits;
        readings->checked[readings->count] = stop->checked;
        readings->stops[readings->count++] = i;
    }
    return true;
}

static inline bool sample_profile(foci_profile *profile, foci_error *err) {
    struct {
        char **where;
        const char *text;
    } texts[] = {
        {&profile->name, "sample-stem-rot"},
        {&profile->title, "Sclerotinia stem rot of soybean"},
        {&profile->crop, "soybean"},
        {&profile->cause, "Sclerotinia sclerotiorum"},
        {&profile->habitat.text, "Sclerotia rest in the soil for years."},
        {&profile->habitat.source, "common practice, no source"},
        {&profile->seen.text, "White growth on the lower stem."},
        {&profile->seen.source, "common practice, no source"},
        {&profile->unit, "percent of units infected"},
        {&profile->value_column, ""},
        {&profile->hits_column, "infected"},
        {&profile->checked_column, "checked"},
        {&profile->rated, "above-ground"},
        {&profile->laboratory_why.text, ""},
        {&profile->laboratory_why.source, ""},
        {&profile->threshold_why.text, ""},
        {&profile->threshold_why.source, ""},
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        if (!(*texts[i].where = foci_copy_text(texts[i].text, err)))
            return false;
    profile->lives_in = FOCI_LIVES_SOIL;
    profile->threshold = NAN;
    return true;
}

static inline bool sample_labels(foci_survey *round, foci_error *err) {
    round->stage = FOCI_STAGE_DECIDED;
    round->season = foci_copy_text("2025", err);
    round->title = foci_copy_text("", err);
    round->rated = foci_copy_text("above-ground", err);
    round->first_date = foci_copy_text("2025-08-11", err);
    round->last_date = foci_copy_text("2025-08-12", err);
    round->no_zones_why = foci_copy_text("", err);
    if (!round->season || !round->title || !round->rated || !round->first_date || !round->last_date ||
        !round->no_zones_why)
        return false;
    snprintf(round->made, sizeof round->made, "2025-08-13T06:30:00Z");
    return foci_sentences_add(&round->job.names, err, "threshold") &&
           foci_sentences_add(&round->job.values, err, "10") &&
           foci_sentences_add(
               &round->cautions, err,
               "An estimate from %zu stops of 2025-08-12, uncertain between them: not a diagnosis and not "
               "a recommendation. Local extension advice prevails.",
               round->readings.count) &&
           foci_sentences_add(&round->cautions, err,
                              "Dig and look at the flagged places, and at some that are not flagged, before anyone "
                              "treats.") &&
           foci_sentences_add(
               &round->cautions, err,
               "The label is the law: crop, disease, rate, re-entry and pre-harvest intervals are on it. "
               "Local rules come first, and restricted products are for licensed applicators only.") &&
           foci_sentences_add(&round->warnings, err,
                              "Stops were walked more closely in the south: the map is surer there than in the north.");
}

static inline bool sample_model(foci_survey *round, foci_error *err) {
    round->threshold = SAMPLE_THRESHOLD;
    snprintf(round->work_crs, sizeof round->work_crs, "EPSG:32617");
    round->model.facts.variogram = (foci_variogram){.kind = foci_correlation_find("spherical"),
                                                    .nugget = 6.3,
                                                    .partial_sill = 71.5,
                                                    .range = 83,
                                                    .ratio = 1,
                                                    .fit = "weighted-squares",
                                                    .squares = 0.42};
    round->method = (foci_surface_options){
        .method = foci_surface_method_find("kriging"), .power = 2, .most = 100, .threshold = SAMPLE_THRESHOLD};
    round->hotspots_options = (foci_hotspots_options){.treat_chance = 0.5, .threshold = SAMPLE_THRESHOLD};
    round->zones_options.dig_chance = SAMPLE_DIG_CHANCE;
    return foci_readings_measure(&round->readings, err);
}

/* A round by plan; on failure `*out` is empty. */
static inline bool sample_round_of(foci_survey *out, const sample_plan *plan, foci_error *err) {
    *out = (foci_survey){.has_profile = true, .has_zones = true};
    bool ok = sample_profile(&out->profile, err) && sample_field(&out->field, plan, err) &&
              sample_stops(&out->stops, plan, &out->field.shape, err) &&
              sample_readings(&out->readings, &out->stops, err) && sample_model(out, err) &&
              sample_grid(&out->grid, plan, &out->field.shape, err) &&
              sample_surface(&out->surface, plan, &out->grid, err) && sample_hotspots(out, plan, err) &&
              sample_zones(out, plan, err) && sample_labels(out, err);
    if (!ok)
        foci_survey_free(out);
    return ok;
}

/* 60 x 40 cells of 5 m, two pockets, a pond, 40 stops. `out` must not be moved afterwards: its method points into it.
 */
static inline bool sample_round_make(foci_survey *out, foci_error *err) {
    const sample_plan plan = {60, 40, 8, 5, 2, 34};
    return sample_round_of(out, &plan, err);
}

#endif
