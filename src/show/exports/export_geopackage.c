#include "show/exports/export_files.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "keep/layers.h"

static bool write_notes(foci_vector_writer *writer, const foci_survey *round, foci_error *err) {
    char threshold[32];
    snprintf(threshold, sizeof threshold, "%.15g", round->threshold);
    return foci_vector_writer_note(writer, "program", "fieldfoci " FOCI_VERSION, err) &&
           foci_vector_writer_note(writer, "made", round->made, err) &&
           foci_vector_writer_note(writer, "season", round->season ? round->season : "", err) &&
           foci_vector_writer_note(writer, "unit", round->stops.unit, err) &&
           (isnan(round->threshold) || foci_vector_writer_note(writer, "threshold", threshold, err));
}

static const char *or_blank(const char *text) {
    return text && text[0] ? text : NULL;
}

static bool write_field(foci_vector_writer *writer, const foci_survey *round, foci_error *err) {
    const char *texts[FOCI_FIELD_COLUMNS] = {[FOCI_FIELD_NAME] = or_blank(round->field.name)};
    const double numbers[FOCI_FIELD_COLUMNS] = {[FOCI_FIELD_AREA] = round->field.area_ha};
    return foci_layer_begin(writer, FOCI_LAYER_FIELD, round->stops.kind, err) &&
           foci_layer_add(writer, FOCI_LAYER_FIELD, round->stops.kind, texts, numbers, NULL, &round->field.lonlat, err);
}

static double layer_at(const double *layer, const foci_grid *grid, foci_point place) {
    if (!layer || !isfinite(place.x) || !isfinite(place.y))
        return NAN;
    size_t cell = foci_grid_find(grid, place);
    return cell == (size_t)-1 ? NAN : layer[cell];
}

static bool write_stop(foci_vector_writer *writer, const foci_survey *round, const foci_stop *stop, foci_error *err) {
    /* the stop's own coordinates where they came in the work system: longitude and latitude give them back but for the
     * last digits */
    const bool own = stop->place.x == stop->own.x && stop->place.y == stop->own.y;
    const bool placed = isfinite(stop->lonlat.x) && isfinite(stop->lonlat.y);
    const char *texts[FOCI_STOPS_COLUMNS] = {
        [FOCI_STOPS_STOP] = stop->name,
        [FOCI_STOPS_DATE] = or_blank(stop->date),
        [FOCI_STOPS_USED] = stop->used || stop->pooled_into != FOCI_NOT_POOLED ? "yes" : "no",
        [FOCI_STOPS_WHY] = or_blank(stop->why),
    };
    const double numbers[FOCI_STOPS_COLUMNS] = {
        [FOCI_STOPS_HITS] = stop->hits,
        [FOCI_STOPS_CHECKED] = stop->checked,
        [FOCI_STOPS_VALUE] = stop->value,
        [FOCI_STOPS_ESTIMATE] = layer_at(round->surface.estimate, &round->grid, stop->place),
        [FOCI_STOPS_CHANCE] = layer_at(round->surface.chance, &round->grid, stop->place),
        [FOCI_STOPS_EAST] = own ? stop->place.x : NAN,
        [FOCI_STOPS_NORTH] = own ? stop->place.y : NAN,
    };
    return foci_layer_add(writer, FOCI_LAYER_STOPS, round->stops.kind, texts, numbers, placed ? &stop->lonlat : NULL,
                          NULL, err);
}

static bool write_stops(foci_vector_writer *writer, const foci_survey *round, foci_error *err) {
    bool ok = foci_layer_begin(writer, FOCI_LAYER_STOPS, round->stops.kind, err);
    for (size_t i = 0; ok && i < round->stops.count; i++)
        ok = write_stop(writer, round, &round->stops.items[i], err);
    return ok;
}

static bool write_hotspots(foci_vector_writer *writer, const foci_survey *round, foci_error *err) {
    bool ok = foci_layer_begin(writer, FOCI_LAYER_HOTSPOTS, round->stops.kind, err);
    for (size_t i = 0; ok && i < round->hotspots.count; i++) {
        const foci_hotspot *spot = &round->hotspots.items[i];
        const char *texts[FOCI_HOTSPOTS_COLUMNS] = {[FOCI_HOTSPOTS_SUPPORTED] = spot->supported ? "yes" : "no"};
        const double numbers[FOCI_HOTSPOTS_COLUMNS] = {
            [FOCI_HOTSPOTS_ID] = spot->id,
            [FOCI_HOTSPOTS_AREA] = spot->area_ha,
            [FOCI_HOTSPOTS_PEAK] = spot->peak,
            [FOCI_HOTSPOTS_MEAN] = spot->mean,
            [FOCI_HOTSPOTS_CHANCE] = spot->chance,
            [FOCI_HOTSPOTS_STOPS] = (double)spot->stops,
            [FOCI_HOTSPOTS_OVER] = (double)spot->over,
            [FOCI_HOTSPOTS_ALONG] = spot->along,
            [FOCI_HOTSPOTS_ACROSS] = spot->across,
        };
        ok = foci_layer_add(writer, FOCI_LAYER_HOTSPOTS, round->stops.kind, texts, numbers, NULL, &spot->lonlat, err);
    }
    return ok;
}

/* What to act on first; a zone that is absent is left out. `cautions` go with each: the layer travels alone. */
static bool write_zone_rows(foci_vector_writer *writer, const foci_survey *round, const char *cautions,
                            foci_error *err) {
    bool ok = foci_layer_begin(writer, FOCI_LAYER_ZONES, round->stops.kind, err);
    for (int code = FOCI_ZONE_END - 1; ok && code >= 0; code--) {
        const foci_zone *zone = &round->zones.items[code];
        const char *texts[FOCI_ZONES_COLUMNS] = {
            [FOCI_ZONES_ZONE] = foci_zone_name(zone->code), [FOCI_ZONES_CAUTIONS] = cautions};
        const double numbers[FOCI_ZONES_COLUMNS] = {[FOCI_ZONES_AREA] = zone->area_ha,
                                                    [FOCI_ZONES_CHANCE] = zone->chance,
                                                    [FOCI_ZONES_SEVERITY] = zone->severity};
        ok = zone->shape.count == 0 ||
             foci_layer_add(writer, FOCI_LAYER_ZONES, round->stops.kind, texts, numbers, NULL, &zone->lonlat, err);
    }
    return ok;
}

static bool write_zones(foci_vector_writer *writer, const foci_survey *round, foci_error *err) {
    char *cautions = foci_sentences_join(&round->cautions, "\n", err);
    const bool ok = cautions && write_zone_rows(writer, round, or_blank(cautions), err);
    free(cautions);
    return ok;
}

static bool write_digs(foci_vector_writer *writer, const foci_survey *round, foci_error *err) {
    bool ok = foci_layer_begin(writer, FOCI_LAYER_DIGS, round->stops.kind, err);
    for (size_t i = 0; ok && i < round->digs.count; i++) {
        const foci_dig_point *dig = &round->digs.items[i];
        const char *texts[FOCI_DIGS_COLUMNS] = {
            [FOCI_DIGS_WHY] = foci_dig_why_name(dig->why), [FOCI_DIGS_NAME] = dig->name};
        const double numbers[FOCI_DIGS_COLUMNS] = {
            [FOCI_DIGS_ID] = dig->id, [FOCI_DIGS_VISIT] = dig->visit, [FOCI_DIGS_CHANCE] = dig->chance};
        ok = foci_layer_add(writer, FOCI_LAYER_DIGS, round->stops.kind, texts, numbers, &dig->lonlat, NULL, err);
    }
    return ok;
}

bool foci_export_geopackage(const foci_survey *round, const char *path, foci_error *err) {
    foci_vector_writer *writer = NULL;
    if (!foci_survey_is_at(round, FOCI_STAGE_DECIDED, err) || !foci_vector_writer_open(&writer, path, err))
        return false;
    if (!write_notes(writer, round, err) || !write_field(writer, round, err) || !write_stops(writer, round, err) ||
        !write_hotspots(writer, round, err) || !write_zones(writer, round, err) || !write_digs(writer, round, err) ||
        !foci_export_styles(writer, round, err)) {
        foci_vector_writer_drop(writer);
        return false;
    }
    return foci_vector_writer_close(writer, err);
}
