/* A round whose stops are read, for what is fitted to them: invented scores on a square grid. */
#ifndef FOCI_TESTS_SAMPLE_METHOD_H
#define FOCI_TESTS_SAMPLE_METHOD_H

#include "support/support.h"

#include "fieldfoci/settings.h"
#include "run/steps/method.h"

enum { MOST = 1200 };

/* A round whose stops are read: invented scores on a square grid, 40 m apart. */
typedef struct {
    foci_survey round;
    foci_settings settings;
    foci_stop first;
    foci_point places[MOST];
    double values[MOST], hits[MOST], checked[MOST];
    size_t stops[MOST];
    foci_point corners[4];
    foci_ring ring;
    foci_polygon polygon;
    char unit[64];
    foci_error err;
} scene;

static inline void put_stops(scene *s, size_t count, size_t columns) {
    for (size_t i = 0; i < count; i++) {
        s->places[i] = (foci_point){512000 + 40 * (double)(i % columns), 4205000 + 40 * (double)(i / columns)};
        s->checked[i] = 20;
        s->hits[i] = (double)(i * 7 % 5 + (i % columns < 2 ? 6 : 0));
        s->values[i] = 5 * s->hits[i];
    }
    s->round.readings = (foci_readings){.count = count,
                                        .places = s->places,
                                        .values = s->values,
                                        .hits = s->hits,
                                        .checked = s->checked,
                                        .stops = s->stops};
    foci_error err = {0};
    assert_done(foci_readings_measure(&s->round.readings, &err), err);
}

static inline bool read_words(scene *s, unsigned command, const char *const *words) {
    int count = 0;
    while (words[count])
        count++;
    s->settings = foci_settings_make();
    return foci_settings_parse(&s->settings, command, count, words, &s->err);
}

/* `words` ends with NULL. Of few stops only `estimate` makes a surface. */
static inline scene *make(foci_reading_kind kind, const char *unit, size_t count, const char *const *words) {
    static scene s;
    s = (scene){.first = {.lonlat = {-80.8583, 37.9981}}};
    put_stops(&s, count, 5);
    snprintf(s.unit, sizeof s.unit, "%s", unit);
    snprintf(s.round.work_crs, sizeof s.round.work_crs, "EPSG:32617");
    s.round.stops = (foci_stops){.kind = kind, .unit = s.unit, .count = 1, .items = &s.first};
    s.round.season = s.unit + strlen(s.unit);
    assert_done(read_words(&s, count < FOCI_STOPS_FOR_MAP ? FOCI_FOR_ESTIMATE : FOCI_FOR_MAP, words), s.err);
    return &s;
}

/* Ground of the field: 300 x 200 m. */
static inline void put_field(scene *s, foci_point centre) {
    static char file[] = "field.geojson";
    const foci_point corners[4] = {{511900, 4204900}, {512200, 4204900}, {512200, 4205100}, {511900, 4205100}};
    memcpy(s->corners, corners, sizeof corners);
    s->ring = (foci_ring){4, s->corners};
    s->polygon = (foci_polygon){1, &s->ring};
    s->round.field.shape = (foci_multipolygon){1, &s->polygon};
    s->round.field.input.file = file;
    s->round.field.centre = centre;
}

static inline bool fit(scene *s) {
    s->err = (foci_error){0};
    return foci_method_fit(&s->round, &s->settings.survey, NULL, &s->err);
}

/* The arrays are the scene's; model, sentences and settings are not. */
static inline void clear(scene *s) {
    foci_surface_model_free(&s->round.model);
    foci_sentences_free(&s->round.warnings);
    foci_findings_free(&s->round.findings);
    foci_settings_free(&s->settings);
}

#define WORDS_OF(...) ((const char *const[]){__VA_ARGS__, NULL})
#define NO_WORDS ((const char *const[]){NULL})

#endif
