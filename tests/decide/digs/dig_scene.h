/* A field of slanted sides with a pond, invented scores at 48 stops with two hot corners, kriged with a given model:
 * what tests of dig checks work on. */
#ifndef FOCI_TESTS_DIG_SCENE_H
#define FOCI_TESTS_DIG_SCENE_H

#include "fieldfoci/dig_points.h"
#include "support/scene.h"

static const foci_point dig_outer[] = {{512347, 4205443}, {512637, 4205452}, {512595, 4205655}, {512352, 4205641}};
static const foci_point dig_pond[] = {{512450, 4205540}, {512462, 4205572}, {512488, 4205561}, {512480, 4205535}};

static inline double dig_severity(foci_point place) {
    double a = hypot(place.x - 512390, place.y - 4205600), b = hypot(place.x - 512560, (place.y - 4205500) * 1.4);
    return 2.385 + 14 * exp(-a * a / 3000) + 11 * exp(-b * b / 2200) + 3 * sin(place.x / 17) * cos(place.y / 23);
}

static inline void dig_read(foci_survey *round) {
    foci_point places[8 * 6];
    size_t count = 0;
    uint32_t seed = 11;
    for (size_t i = 0; i < 8 * 6; i++) {
        double east = ((double)(i % 8) + scene_random(&seed)) / 8, north = ((double)(i / 8) + scene_random(&seed)) / 6;
        foci_point place = {512340 + 300 * east, 4205440 + 220 * north};
        if (foci_multipolygon_contains(&round->field.shape, place))
            places[count++] = place;
    }
    scene_set_readings(round, places, count);
    for (size_t i = 0; i < count; i++)
        round->readings.values[i] = dig_severity(places[i]);
}

static const foci_variogram dig_variogram_base = {
    .nugget = 2.5, .partial_sill = 21, .range = 45, .heading = 20, .ratio = 0.7};

/* Fits `method` and goes on to the zones. Counts: 20 units looked at, the severity in percent infected. */
static inline void dig_decide(foci_survey *round, const char *method, double threshold) {
    foci_error err = {0};
    foci_variogram variogram = dig_variogram_base;
    variogram.kind = foci_correlation_find("exponential");
    round->method = (foci_surface_options){.method = foci_surface_method_find(method),
                                           .variogram = strcmp(method, "kriging") == 0 ? &variogram : NULL,
                                           .area = foci_multipolygon_area(&round->field.shape),
                                           .row_heading = NAN,
                                           .most = strcmp(method, "counts") == 0 ? 100 : INFINITY,
                                           .power = 2,
                                           .threshold = threshold};
    round->threshold = threshold;
    if (round->method.method->needs_counts)
        for (size_t i = 0; i < round->readings.count; i++) {
            round->readings.checked[i] = 20;
            round->readings.hits[i] = fmin(20, floor(fmax(round->readings.values[i], 0) / 2));
            round->readings.values[i] = 5 * round->readings.hits[i];
        }
    round->hotspots_options = (foci_hotspots_options){.treat_chance = 0.5, .threshold = threshold};
    round->zones_options = (foci_zones_options){.dig_chance = 0.2};
    assert_done(foci_surface_fit(&round->model, &round->readings, NULL, &round->method, HOW, &err), err);
    assert_done(foci_surface_estimate(&round->surface, &round->model, &round->grid, HOW, &err), err);
    assert_done(foci_hotspots_find(&round->hotspots, &round->surface, &round->grid, &round->field, &round->readings,
                                   &round->hotspots_options, &err),
                err);
    assert_done(foci_zones_draw(&round->zones, &round->hotspots, &round->surface, &round->grid, &round->field,
                                &round->hotspots_options, &round->zones_options, &err),
                err);
}

static inline foci_survey dig_scene(const char *method, double threshold, double cell) {
    foci_error err = {0};
    foci_survey round = {0};
    foci_ring rings[] = {scene_ring(dig_outer, 4), scene_ring(dig_pond, 4)};
    scene_set_field(&round, scene_polygon(rings, 2));
    assert_done(foci_grid_over_field(&round.grid, &round.field.shape, cell, 20, &err), err);
    dig_read(&round);
    dig_decide(&round, method, threshold);
    return round;
}

static inline foci_dig_points dig_chosen(const foci_survey *round, const foci_dig_points_options *options) {
    foci_error err = {0};
    foci_dig_points digs = {0};
    assert_done(foci_dig_points_choose(&digs, &round->model, &round->surface, &round->grid, &round->field,
                                       &round->readings, &round->hotspots, &round->zones, options, HOW, &err),
                err);
    return digs;
}

static inline size_t dig_count(const foci_dig_points *digs, foci_dig_why why) {
    size_t count = 0;
    for (size_t i = 0; i < digs->count; i++)
        count += digs->items[i].why == why;
    return count;
}

static const foci_dig_points_options ten = {
    .count = 10, .seed = 7, .row_heading = NAN, .treat_chance = 0.5, .dig_chance = 0.2, .spacing = 35};

/* Distance to an edge, every edge in turn. */
static inline double to_edge(const foci_multipolygon *shape, foci_point place) {
    double least = INFINITY;
    for (size_t r = 0; r < shape->polygons[0].count; r++) {
        const foci_ring *ring = &shape->polygons[0].rings[r];
        for (size_t i = 0; i < ring->count; i++) {
            foci_point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
            double x = b.x - a.x, y = b.y - a.y;
            double t = fmin(fmax(((place.x - a.x) * x + (place.y - a.y) * y) / (x * x + y * y), 0), 1);
            least = fmin(least, hypot(place.x - a.x - t * x, place.y - a.y - t * y));
        }
    }
    return least;
}

static inline double apart(foci_point a, foci_point b) {
    return hypot(a.x - b.x, a.y - b.y);
}

/* What holds for any choice. */
static inline void assert_sound_from(const foci_survey *round, const foci_dig_points *digs, double spacing,
                                     double from_edge) {
    foci_error err = {0};
    foci_projection *projection = NULL;
    bool seen[200] = {false};
    double walk = 0;
    assert_done(foci_projection_open(&projection, "EPSG:4326", SCENE_CRS, &err), err);
    assert_true(digs->count <= digs->wanted && digs->count < 200);
    for (size_t i = 0; i < digs->count; i++) {
        const foci_dig_point *dig = &digs->items[i];
        char start[8];
        assert_int_equal(dig->visit, i + 1);
        assert_true(dig->id >= 1 && dig->id <= (int)digs->count && !seen[dig->id]);
        seen[dig->id] = true;
        foci_point center = foci_grid_centre(&round->grid, dig->cell), lonlat = dig->place;
        assert_near(apart(center, dig->place), 0, 0);
        assert_true(foci_multipolygon_contains(&round->field.shape, dig->place));
        assert_true(to_edge(&round->field.shape, dig->place) >= from_edge);
        assert_int_equal(foci_projection_inverse(projection, &lonlat, 1), 0);
        assert_near(lonlat.x, dig->lonlat.x, 0);
        assert_near(lonlat.y, dig->lonlat.y, 0);
        assert_near(dig->severity, round->surface.estimate[dig->cell], 0);
        assert_near(dig->chance, round->surface.chance ? round->surface.chance[dig->cell] : NAN, 0);
        assert_int_equal(dig->hotspot, round->hotspots.count > 0 ? round->hotspots.label[dig->cell] : 0);
        snprintf(start, sizeof start, "D%02d-", dig->visit);
        assert_memory_equal(dig->name, start, strlen(start));
        if (dig->why == FOCI_DIG_OUTSIDE && round->zones.code)
            assert_int_equal(round->zones.code[dig->cell], FOCI_ZONE_LEAVE);
        if (dig->why == FOCI_DIG_CONFIRM)
            assert_true(dig->hotspot > 0);
        if (dig->why == FOCI_DIG_UNSURE && round->surface.chance)
            assert_true(dig->chance > 0.2 && dig->chance < 0.5);
        for (size_t k = 0; k < digs->count; k++)
            if (k != i)
                assert_true(apart(dig->place, digs->items[k].place) >= spacing / 2);
        walk += apart(i > 0 ? digs->items[i - 1].place : digs->start, dig->place);
    }
    if (digs->count > 0)
        walk += apart(digs->items[digs->count - 1].place, digs->start);
    assert_near(digs->walk, walk, 1e-9);
    foci_projection_close(projection);
}

static inline void assert_sound(const foci_survey *round, const foci_dig_points *digs, double spacing) {
    assert_sound_from(round, digs, spacing, 5);
}

#endif
