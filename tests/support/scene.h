/* A small invented field with a hand-made surface, in UTM zone 17 north: what tests of decisions and of files work on.
 */
#ifndef FOCI_TESTS_SCENE_H
#define FOCI_TESTS_SCENE_H

#include "fieldfoci/survey.h"

#include "data/places/overlay.h"
#include "data/places/projection.h"
#include "support/support.h"

#define SCENE_CRS "EPSG:32617"
#define SCENE_COLUMNS 8
#define SCENE_ROWS 6

/* Slanted sides and a three-cornered hole: no side of the field runs along the cells; the cell in the south-east is
 * outside. */
static const foci_point scene_outer[] = {{512345, 4205545}, {512478, 4205552}, {512488, 4205655}, {512342, 4205658}};
static const foci_point scene_hole[] = {{512420, 4205585}, {512428, 4205605}, {512436, 4205590}};

/* Patches at or above 0.5: four cells in the north-west corner, one cut cell in the north-east corner, one whole cell,
 * three cells round the hole, one cut cell in the south-west corner. */
static const double scene_chance[SCENE_ROWS][SCENE_COLUMNS] = {
    {0.91, 0.85, 0.12, 0.10, 0.11, 0.10, 0.13, 0.61}, {0.83, 0.72, 0.31, 0.10, 0.14, 0.58, 0.10, 0.12},
    {0.15, 0.33, 0.10, 0.17, 0.10, 0.10, 0.11, 0.10}, {0.10, 0.12, 0.10, 0.10, 0.55, 0.64, 0.10, 0.16},
    {0.11, 0.10, 0.13, 0.10, 0.18, 0.62, 0.10, 0.10}, {0.51, 0.10, 0.10, 0.12, 0.10, 0.10, 0.19, 0.10}};

static inline foci_ring scene_ring(const foci_point *points, size_t count) {
    foci_error err = {0};
    foci_ring ring = {count, foci_new_array(count, sizeof *ring.points, &err)};
    assert_non_null(ring.points);
    memcpy(ring.points, points, count * sizeof *points);
    return ring;
}

static inline foci_multipolygon scene_polygon(const foci_ring *rings, size_t count) {
    foci_error err = {0};
    foci_multipolygon shape = {1, foci_new_array(1, sizeof *shape.polygons, &err)};
    assert_non_null(shape.polygons);
    shape.polygons[0] = (foci_polygon){count, foci_new_array(count, sizeof *rings, &err)};
    assert_non_null(shape.polygons[0].rings);
    memcpy(shape.polygons[0].rings, rings, count * sizeof *rings);
    return shape;
}

static inline foci_multipolygon scene_cell(const foci_grid *grid, size_t cell) {
    double west = grid->west + (double)(cell % grid->columns) * grid->cell;
    double north = grid->north - (double)(cell / grid->columns) * grid->cell;
    foci_point corners[] = {
        {west, north - grid->cell}, {west + grid->cell, north - grid->cell}, {west + grid->cell, north}, {west, north}};
    foci_ring ring = scene_ring(corners, 4);
    return scene_polygon(&ring, 1);
}

/* Takes `shape` (metres) as the field's. */
static inline void scene_set_field(foci_survey *round, foci_multipolygon shape) {
    foci_error err = {0};
    foci_projection *projection = NULL;
    round->field.shape = shape;
    round->field.name = foci_copy_text("Long acre", &err);
    round->field.input.file = foci_copy_text("long_acre.geojson", &err);
    snprintf(round->field.work_crs, sizeof round->field.work_crs, SCENE_CRS);
    snprintf(round->work_crs, sizeof round->work_crs, SCENE_CRS);
    assert_done(foci_projection_open(&projection, "EPSG:4326", SCENE_CRS, &err), err);
    assert_done(foci_projection_shape(&round->field.lonlat, projection, true, &shape, &err), err);
    round->field.area_ha = foci_geodesic_area(&round->field.lonlat) / 1e4;
    round->field.centre = foci_multipolygon_centroid(&round->field.lonlat);
    foci_projection_close(projection);
}

/* Each cell cut with the field: the plain way to its share. */
static inline void scene_set_grid(foci_survey *round, double west, double north, double side, size_t columns,
                                  size_t rows) {
    foci_error err = {0};
    foci_grid *grid = &round->grid;
    *grid = (foci_grid){west, north, side, columns, rows, foci_new_array(columns * rows, sizeof(double), &err), 0};
    assert_non_null(grid->share);
    for (size_t i = 0; i < columns * rows; i++) {
        foci_multipolygon cell = scene_cell(grid, i), cut = {0};
        assert_done(foci_overlay_intersection(&cut, &cell, &round->field.shape, &err), err);
        double share = foci_multipolygon_area(&cut) / (side * side);
        grid->share[i] = share > 1 - 1e-12 ? 1 : share;
        grid->cells += share > 0;
        foci_multipolygon_free(&cell);
        foci_multipolygon_free(&cut);
    }
}

/* Severity is 20 times the chance plus 0.385; NaN where the cell is outside the field. */
static inline void scene_set_surface(foci_survey *round, const double *chance) {
    foci_error err = {0};
    size_t cells = round->grid.columns * round->grid.rows;
    double **layers[] = {&round->surface.estimate, &round->surface.chance};
    for (size_t k = 0; k < 2; k++) {
        *layers[k] = foci_new_array(cells, sizeof(double), &err);
        assert_non_null(*layers[k]);
        for (size_t i = 0; i < cells; i++)
            (*layers[k])[i] = round->grid.share[i] > 0 ? (k == 0 ? 20 * chance[i] + 0.385 : chance[i]) : NAN;
    }
}

/* Scores of 0, 3.5, 7, ... at these places. */
static inline void scene_set_readings(foci_survey *round, const foci_point *places, size_t count) {
    foci_error err = {0};
    foci_readings *readings = &round->readings;
    readings->count = count;
    readings->places = foci_new_array(count, sizeof *places, &err);
    readings->values = foci_new_array(count, sizeof(double), &err);
    readings->hits = foci_new_array(count, sizeof(double), &err);
    readings->checked = foci_new_array(count, sizeof(double), &err);
    readings->stops = foci_new_array(count, sizeof(size_t), &err);
    assert_true(readings->places && readings->values && readings->hits && readings->checked && readings->stops);
    for (size_t i = 0; i < count; i++) {
        readings->places[i] = places[i];
        readings->values[i] = 3.5 * (double)i;
        readings->hits[i] = readings->checked[i] = NAN;
    }
}

/* The field, grid and surface above; two stops in the corner patch, one in the single cell, one in none, one off the
 * grid. */
static inline foci_survey scene_make(void) {
    static const foci_point places[] = {
        {512355, 4205645}, {512371, 4205629}, {512451, 4205631}, {512401, 4205571}, {512301, 4205571}};
    foci_survey round = {0};
    foci_ring rings[] = {scene_ring(scene_outer, 4), scene_ring(scene_hole, 3)};
    scene_set_field(&round, scene_polygon(rings, 2));
    scene_set_grid(&round, 512340, 4205660, 20, SCENE_COLUMNS, SCENE_ROWS);
    scene_set_surface(&round, &scene_chance[0][0]);
    scene_set_readings(&round, places, sizeof places / sizeof *places);
    round.threshold = 10.385;
    round.hotspots_options = (foci_hotspots_options){.treat_chance = 0.5, .threshold = round.threshold};
    round.zones_options = (foci_zones_options){.dig_chance = 0.2};
    return round;
}

/* The same numbers on every machine: Park and Miller (1988). */
static inline double scene_random(uint32_t *state) {
    *state = (uint32_t)((uint64_t)*state * 48271u % 2147483647u);
    return (double)*state / 2147483647.0;
}

/* A field of slanted sides cut into 30 x 22 cells, each with a chance at random: patches of all forms. */
static inline foci_survey scene_make_rough(uint32_t seed) {
    static const foci_point outer[] = {{512347, 4205443}, {512637, 4205452}, {512595, 4205655}, {512352, 4205641}};
    double chance[30 * 22];
    foci_survey round = {0};
    foci_ring ring = scene_ring(outer, 4);
    for (size_t i = 0; i < 30 * 22; i++)
        chance[i] = scene_random(&seed);
    scene_set_field(&round, scene_polygon(&ring, 1));
    scene_set_grid(&round, 512340, 4205660, 10, 30, 22);
    scene_set_surface(&round, chance);
    scene_set_readings(&round, outer, 0);
    round.threshold = 10.385;
    round.hotspots_options = (foci_hotspots_options){.treat_chance = 0.5, .threshold = round.threshold};
    round.zones_options = (foci_zones_options){.dig_chance = 0.2};
    return round;
}

#endif
