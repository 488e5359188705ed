/* A round made by hand on the scene, and a folder of its own to write it into: what the tests of exports share. */
#ifndef FOCI_TESTS_EXPORT_ROUND_H
#define FOCI_TESTS_EXPORT_ROUND_H

#include <unistd.h>

#include "fieldfoci/export.h"
#include "support/scene.h"

/* ---- a round made by hand ---- */

static const foci_surface_method by_hand = {.name = "by-hand", .title = "numbers set by hand"};

static inline char *text_of(const char *text) {
    foci_error err = {0};
    char *copy = foci_copy_text(text, &err);
    assert_non_null(copy);
    return copy;
}

/* Numbers that a float holds only nearly, as estimates do. */
static inline double *layer_of(const foci_survey *round, double times, double plus) {
    foci_error err = {0};
    size_t cells = round->grid.columns * round->grid.rows;
    double *layer = foci_new_array(cells, sizeof *layer, &err);
    assert_non_null(layer);
    for (size_t i = 0; i < cells; i++)
        layer[i] = times * round->surface.estimate[i] + plus;
    return layer;
}

/* A used stop in cell 9, one that is blank in cell 28, one outside the field and the grid, one without a place, one
 * whose reading went into the first. */
static inline void set_stops(foci_survey *round, foci_reading_kind kind) {
    static const foci_stop stops[] = {{.row = 1,
                                       .date = "2025-08-12",
                                       .lonlat = {-80.8583, 37.9981},
                                       .place = {512370.5, 4205629.25},
                                       .hits = 7,
                                       .checked = 20,
                                       .value = 35,
                                       .used = true,
                                       .why = ""},
                                      {.row = 2,
                                       .lonlat = {-80.8577, 37.9976},
                                       .place = {512430, 4205590},
                                       .hits = NAN,
                                       .checked = 20,
                                       .value = NAN,
                                       .why = "no reading"},
                                      {.row = 3,
                                       .lonlat = {-80.9, 37.9},
                                       .place = {509000, 4195000},
                                       .hits = 1,
                                       .checked = 20,
                                       .value = 5,
                                       .why = "outside the field"},
                                      {.row = 4,
                                       .lonlat = {NAN, NAN},
                                       .place = {NAN, NAN},
                                       .hits = 3.5,
                                       .checked = 20,
                                       .value = 17.5,
                                       .why = "no place"},
                                      {.row = 5,
                                       .lonlat = {-80.8583, 37.9981},
                                       .place = {512370.5, 4205629.25},
                                       .hits = 2,
                                       .checked = 20,
                                       .value = 10,
                                       .why = "pooled"}};
    static const char *const names[] = {"A1", "A2", "A3", "A4", "A5"};
    foci_error err = {0};
    round->stops.kind = kind;
    round->stops.unit = text_of(kind == FOCI_READING_COUNT ? "percent of units infected" : "score 0 to 9");
    round->stops.count = sizeof stops / sizeof *stops;
    round->stops.items = foci_new_array(round->stops.count, sizeof *stops, &err);
    assert_non_null(round->stops.items);
    memcpy(round->stops.items, stops, sizeof stops);
    for (size_t i = 0; i < round->stops.count; i++) {
        round->stops.items[i].name = text_of(names[i]);
        round->stops.items[i].pooled_into = FOCI_NOT_POOLED;
    }
    round->stops.items[4].pooled_into = 0;
}

static inline foci_survey make_round(foci_reading_kind kind) {
    foci_error err = {0};
    foci_survey round = scene_make();
    round.surface.deviation = layer_of(&round, 0.1, 1.25);
    round.surface.low = layer_of(&round, 0.8, 0);
    round.surface.high = layer_of(&round, 1.2, 0.7);
    set_stops(&round, kind);
    round.method.method = &by_hand;
    assert_done(foci_readings_measure(&round.readings, &err), err);
    round.model.facts.variogram = (foci_variogram){.kind = foci_correlation_find("spherical"),
                                                   .nugget = 0.05,
                                                   .partial_sill = 0.59,
                                                   .range = 897,
                                                   .heading = 30,
                                                   .ratio = 0.6,
                                                   .fit = "given"};
    assert_non_null(round.model.facts.variogram.kind);
    round.season = text_of("2025");
    round.title = text_of("Three patches");
    round.rated = text_of("");
    round.first_date = text_of("2025-08-12");
    round.last_date = text_of("2025-08-12");
    snprintf(round.made, sizeof round.made, "2025-06-15T15:06:40Z");
    round.has_zones = true;
    assert_done(foci_hotspots_find(&round.hotspots, &round.surface, &round.grid, &round.field, &round.readings,
                                   &round.hotspots_options, &err),
                err);
    assert_done(foci_zones_draw(&round.zones, &round.hotspots, &round.surface, &round.grid, &round.field,
                                &round.hotspots_options, &round.zones_options, &err),
                err);
    round.digs.items = foci_new_array(2, sizeof *round.digs.items, &err);
    assert_non_null(round.digs.items);
    round.digs.count = 2;
    round.digs.items[0] = (foci_dig_point){.id = 2,
                                           .visit = 1,
                                           .name = "D01-OUTSIDE",
                                           .why = FOCI_DIG_OUTSIDE,
                                           .lonlat = {-81.0004, 35.6997},
                                           .chance = 0.04};
    round.digs.items[1] = (foci_dig_point){.id = 1,
                                           .visit = 2,
                                           .name = "D02-CONFIRM",
                                           .why = FOCI_DIG_CONFIRM,
                                           .lonlat = {-80.9996, 35.7001},
                                           .chance = 0.91};
    round.stage = FOCI_STAGE_DECIDED;
    return round;
}

static inline const foci_export *row_of(const char *file) {
    for (const foci_export *row = foci_export_table; row->file; row++)
        if (strcmp(row->file, file) == 0)
            return row;
    fail_msg("no export writes %s", file);
    return NULL;
}

/* ---- files of the test's own folder ---- */

static char folder[64];

static inline const char *path_of(const char *name) {
    static char path[256];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static inline void write_file(const foci_survey *round, const char *file) {
    foci_error err = {0};
    unlink(path_of(file));
    assert_done(row_of(file)->write(round, path_of(file), &err), err);
}

static inline int make_folder(void **unused) {
    (void)unused;
    snprintf(folder, sizeof folder, "/tmp/foci-test-export-XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static inline int remove_folder(void **unused) {
    (void)unused;
    for (const foci_export *row = foci_export_table; row->file; row++)
        unlink(path_of(row->file));
    return rmdir(folder);
}

#endif
