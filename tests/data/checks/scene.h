/* An ordinary round of scouting, made in memory, for tests to spoil. */
#ifndef FOCI_TESTS_SCENE_H
#define FOCI_TESTS_SCENE_H

#include "fieldfoci/checks.h"

#include "support/support.h"

/* A field of 260 m x 220 m near 39.34 W, 42.97 N with 6 x 5 stops 40 m apart in it; degrees and metres are joined by
 * fixed factors, near enough to the truth for what is judged here. */
#define STOPS 30
#define WEST (-39.34)
#define SOUTH 42.97

typedef struct {
    foci_input inputs[2];
    foci_stop items[STOPS + 2];
    char names[STOPS + 2][8];
    foci_stops stops;
    foci_point degrees[4], metres[4];
    foci_ring rings[2];
    foci_polygon polygons[2];
    foci_multipolygon lonlat, shape;
    foci_findings findings;
    foci_error err;
} scene;

static inline foci_point to_degrees(double x, double y) {
    return (foci_point){WEST + x / 81523.7, SOUTH + y / 111101.3};
}

static inline void put(foci_stop *stop, double x, double y) {
    stop->place = (foci_point){x, y};
    stop->own = stop->lonlat = to_degrees(x, y);
}

static inline void count(foci_stop *stop, double hits, double checked) {
    stop->hits = hits;
    stop->checked = checked;
    stop->value = isfinite(hits) && isfinite(checked) && checked > 0 ? 100 * hits / checked : NAN;
}

static inline void scene_make(scene *s) {
    const double corners[4][2] = {{0, 0}, {260, 0}, {260, 220}, {0, 220}};
    *s = (scene){0};
    s->inputs[0] = (foci_input){.file = "stops.csv", .crs = "EPSG:4326"};
    s->inputs[1] = (foci_input){.file = "more.csv", .crs = "EPSG:32624"};
    for (size_t i = 0; i < STOPS; i++) {
        snprintf(s->names[i], sizeof s->names[i], "S%zu", i + 1);
        s->items[i] = (foci_stop){.name = s->names[i], .row = (long)i + 1, .date = "2026-08-18"};
        put(&s->items[i], 30.07 + 40 * (double)(i % 6), 30.03 + 40 * (double)(i / 6));
        count(&s->items[i], (double)(i % 5), 40);
    }
    s->stops = (foci_stops){.kind = FOCI_READING_COUNT,
                            .unit = "percent of units infected",
                            .input_count = 1,
                            .inputs = s->inputs,
                            .count = STOPS,
                            .items = s->items};
    for (size_t i = 0; i < 4; i++) {
        s->metres[i] = (foci_point){corners[i][0], corners[i][1]};
        s->degrees[i] = to_degrees(corners[i][0], corners[i][1]);
    }
    s->rings[0] = (foci_ring){4, s->degrees};
    s->rings[1] = (foci_ring){4, s->metres};
    s->polygons[0] = (foci_polygon){1, &s->rings[0]};
    s->polygons[1] = (foci_polygon){1, &s->rings[1]};
    s->lonlat = (foci_multipolygon){1, &s->polygons[0]};
    s->shape = (foci_multipolygon){1, &s->polygons[1]};
}

static inline void make_scores(scene *s) {
    s->stops.kind = FOCI_READING_VALUE;
    for (size_t i = 0; i < s->stops.count; i++)
        s->items[i].hits = s->items[i].checked = NAN;
}

static inline bool run(scene *s) {
    s->err = (foci_error){0};
    return foci_checks_make(&s->findings, &s->stops, &s->lonlat, &s->shape, &s->err);
}

static inline const foci_finding *find(const scene *s, const char *what) {
    for (size_t i = 0; i < s->findings.count; i++)
        if (strcmp(s->findings.items[i].what, what) == 0)
            return &s->findings.items[i];
    return NULL;
}

#endif
