#include "show/exports/export_files.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "data/files/vector_file.h"

#define LENGTH(array) (sizeof(array) / sizeof *(array))

static bool write_notes(foci_vector_writer *writer, const foci_round *round, foci_error *err) {
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

static bool write_field(foci_vector_writer *writer, const foci_round *round, foci_error *err) {
    static const foci_column columns[] = {{"name", FOCI_COLUMN_TEXT}, {"area_ha", FOCI_COLUMN_NUMBER}};
    const char *texts[] = {or_blank(round->field.name), NULL};
    const double numbers[] = {NAN, round->field.area_ha};
    return foci_vector_writer_layer(writer, "field", FOCI_SHAPE_AREA, columns, LENGTH(columns), err) &&
           foci_vector_writer_add(writer, texts, numbers, NULL, &round->field.lonlat, err);
}

static double layer_at(const double *layer, const foci_grid *grid, foci_point place) {
    if (!layer || !isfinite(place.x) || !isfinite(place.y))
        return NAN;
    size_t cell = foci_grid_find(grid, place);
    return cell == (size_t)-1 ? NAN : layer[cell];
}

/* The columns of a kind of reading: those of the other kind are left out. */
static const foci_column value_columns[] = {
    {"stop", FOCI_COLUMN_TEXT},     {"value", FOCI_COLUMN_NUMBER}, {"date", FOCI_COLUMN_TEXT},
    {"used", FOCI_COLUMN_TEXT},     {"why", FOCI_COLUMN_TEXT},     {"estimate", FOCI_COLUMN_NUMBER},
    {"chance", FOCI_COLUMN_NUMBER}, {"east", FOCI_COLUMN_NUMBER},  {"north", FOCI_COLUMN_NUMBER}};
static const foci_column count_columns[] = {{"stop", FOCI_COLUMN_TEXT},       {"hits", FOCI_COLUMN_NUMBER},
                                            {"checked", FOCI_COLUMN_NUMBER},  {"date", FOCI_COLUMN_TEXT},
                                            {"used", FOCI_COLUMN_TEXT},       {"why", FOCI_COLUMN_TEXT},
                                            {"estimate", FOCI_COLUMN_NUMBER}, {"chance", FOCI_COLUMN_NUMBER},
                                            {"east", FOCI_COLUMN_NUMBER},     {"north", FOCI_COLUMN_NUMBER}};

static bool write_stop(foci_vector_writer *writer, const foci_round *round, const foci_stop *stop, foci_error *err) {
    const char *texts[LENGTH(count_columns)] = {stop->name};
    double numbers[LENGTH(count_columns)] = {NAN};
    size_t n = 1;
    if (round->stops.kind == FOCI_READING_COUNT) {
        numbers[n++] = stop->hits;
        numbers[n++] = stop->checked;
    } else {
        numbers[n++] = stop->value;
    }
    texts[n++] = or_blank(stop->date);
    texts[n++] = stop->used || stop->pooled_into != FOCI_NOT_POOLED ? "yes" : "no";
    texts[n++] = or_blank(stop->why);
    numbers[n++] = layer_at(round->surface.estimate, &round->grid, stop->place);
    numbers[n++] = layer_at(round->surface.chance, &round->grid, stop->place);
    /* the stop's own coordinates where they came in the work system: longitude and latitude give them back but for the
     * last digits */
    const bool own = stop->place.x == stop->own.x && stop->place.y == stop->own.y;
    numbers[n++] = own ? stop->place.x : NAN;
    numbers[n++] = own ? stop->place.y : NAN;
    bool placed = isfinite(stop->lonlat.x) && isfinite(stop->lonlat.y);
    return foci_vector_writer_add(writer, texts, numbers, placed ? &stop->lonlat : NULL, NULL, err);
}

static bool write_stops(foci_vector_writer *writer, const foci_round *round, foci_error *err) {
    const bool counts = round->stops.kind == FOCI_READING_COUNT;
    if (!foci_vector_writer_layer(writer, "stops", FOCI_SHAPE_POINT, counts ? count_columns : value_columns,
                                  counts ? LENGTH(count_columns) : LENGTH(value_columns), err))
        return false;
    for (size_t i = 0; i < round->stops.count; i++)
        if (!write_stop(writer, round, &round->stops.items[i], err))
            return false;
    return true;
}

static bool write_hotspots(foci_vector_writer *writer, const foci_round *round, foci_error *err) {
    static const foci_column columns[] = {
        {"id", FOCI_COLUMN_WHOLE},       {"area_ha", FOCI_COLUMN_NUMBER}, {"peak", FOCI_COLUMN_NUMBER},
        {"mean", FOCI_COLUMN_NUMBER},    {"chance", FOCI_COLUMN_NUMBER},  {"stops", FOCI_COLUMN_WHOLE},
        {"over", FOCI_COLUMN_WHOLE},     {"along_m", FOCI_COLUMN_NUMBER}, {"across_m", FOCI_COLUMN_NUMBER},
        {"supported", FOCI_COLUMN_TEXT},
    };
    if (!foci_vector_writer_layer(writer, "hotspots", FOCI_SHAPE_AREA, columns, LENGTH(columns), err))
        return false;
    for (size_t i = 0; i < round->hotspots.count; i++) {
        const foci_hotspot *spot = &round->hotspots.items[i];
        const char *texts[LENGTH(columns)] = {[LENGTH(columns) - 1] = spot->supported ? "yes" : "no"};
        const double numbers[LENGTH(columns)] = {
            spot->id,           spot->area_ha, spot->peak,   spot->mean, spot->chance, (double)spot->stops,
            (double)spot->over, spot->along,   spot->across, NAN};
        if (!foci_vector_writer_add(writer, texts, numbers, NULL, &spot->lonlat, err))
            return false;
    }
    return true;
}

/* What to act on first; a zone that is absent is left out. `cautions` go with each: the layer travels alone. */
static bool write_zone_rows(foci_vector_writer *writer, const foci_round *round, const char *cautions,
                            foci_error *err) {
    static const foci_column columns[] = {{"zone", FOCI_COLUMN_TEXT},
                                          {"area_ha", FOCI_COLUMN_NUMBER},
                                          {"chance", FOCI_COLUMN_NUMBER},
                                          {"severity", FOCI_COLUMN_NUMBER},
                                          {"cautions", FOCI_COLUMN_TEXT}};
    if (!foci_vector_writer_layer(writer, "zones", FOCI_SHAPE_AREA, columns, LENGTH(columns), err))
        return false;
    for (int code = FOCI_ZONE_END - 1; code >= 0; code--) {
        const foci_zone *zone = &round->zones.items[code];
        if (zone->shape.count == 0)
            continue;
        const char *texts[LENGTH(columns)] = {[0] = foci_zone_name(zone->code), [LENGTH(columns) - 1] = cautions};
        const double numbers[] = {NAN, zone->area_ha, zone->chance, zone->severity, NAN};
        if (!foci_vector_writer_add(writer, texts, numbers, NULL, &zone->lonlat, err))
            return false;
    }
    return true;
}

static bool write_zones(foci_vector_writer *writer, const foci_round *round, foci_error *err) {
    char *cautions = foci_sentences_join(&round->cautions, "\n", err);
    const bool ok = cautions && write_zone_rows(writer, round, or_blank(cautions), err);
    free(cautions);
    return ok;
}

static bool write_digs(foci_vector_writer *writer, const foci_round *round, foci_error *err) {
    static const foci_column columns[] = {{"id", FOCI_COLUMN_WHOLE},
                                          {"visit", FOCI_COLUMN_WHOLE},
                                          {"chance", FOCI_COLUMN_NUMBER},
                                          {"why", FOCI_COLUMN_TEXT},
                                          {"name", FOCI_COLUMN_TEXT}};
    if (!foci_vector_writer_layer(writer, "digs", FOCI_SHAPE_POINT, columns, LENGTH(columns), err))
        return false;
    for (size_t i = 0; i < round->digs.count; i++) {
        const foci_dig_point *dig = &round->digs.items[i];
        const char *texts[LENGTH(columns)] = {NULL, NULL, NULL, foci_dig_why_name(dig->why), dig->name};
        const double numbers[LENGTH(columns)] = {dig->id, dig->visit, dig->chance, NAN, NAN};
        if (!foci_vector_writer_add(writer, texts, numbers, &dig->lonlat, NULL, err))
            return false;
    }
    return true;
}

bool foci_export_geopackage(const foci_round *round, const char *path, foci_error *err) {
    foci_vector_writer *writer = NULL;
    if (!foci_vector_writer_open(&writer, path, err))
        return false;
    if (!write_notes(writer, round, err) || !write_field(writer, round, err) || !write_stops(writer, round, err) ||
        !write_hotspots(writer, round, err) || !write_zones(writer, round, err) || !write_digs(writer, round, err)) {
        foci_vector_writer_drop(writer);
        return false;
    }
    return foci_vector_writer_close(writer, err);
}
