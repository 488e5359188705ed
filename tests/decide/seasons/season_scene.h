/* Seasons of one field, drawn from the model itself: what persistence is tested on. */
#ifndef FOCI_TESTS_SEASON_SCENE_H
#define FOCI_TESTS_SEASON_SCENE_H

#include "support/support.h"

#include "base/linear.h"
#include "base/random.h"
#include "fieldfoci/persistence.h"

enum { SCENE_SEASONS = 12, SCENE_STOPS = 49, SCENE_COLUMNS = 20, SCENE_ROWS = 16 };

typedef struct {
    size_t seasons, stops;
    bool scores;
    double rho; /* share in common */
} scene_wish;

typedef struct {
    foci_grid grid;
    double share[SCENE_COLUMNS * SCENE_ROWS];
    foci_point places[SCENE_SEASONS][SCENE_STOPS];
    double hits[SCENE_SEASONS][SCENE_STOPS], checked[SCENE_SEASONS][SCENE_STOPS], values[SCENE_SEASONS][SCENE_STOPS];
    foci_readings readings[SCENE_SEASONS];
    char keys[SCENE_SEASONS][65];
    foci_persistence_season seasons[SCENE_SEASONS];
    foci_persistence_options options;
} scene;

/* Cells of 15 m, the south-east corner cut off; 7.2 ha less the corner. */
static inline void scene_grid(scene *s) {
    s->grid = (foci_grid){
        .west = 500000, .north = 4600240, .cell = 15, .columns = SCENE_COLUMNS, .rows = SCENE_ROWS, .share = s->share};
    for (size_t i = 0; i < (size_t)SCENE_COLUMNS * SCENE_ROWS; i++) {
        size_t beyond = i % SCENE_COLUMNS + i / SCENE_COLUMNS;
        s->share[i] = beyond > 29 ? 0 : beyond == 29 ? 0.5 : 1;
        s->grid.cells += s->share[i] > 0;
    }
}

/* Stops of season s on a jittered grid, its field with deviation 1.3 and range 45 m. */
static inline void scene_fill(scene *s, const scene_wish *wish) {
    size_t n = wish->stops, all = n * wish->seasons, side = (size_t)ceil(sqrt((double)n));
    double *factor = malloc(all * all * sizeof *factor), *z = malloc(2 * all * sizeof *z);
    foci_random draws = foci_random_stream(20260914, 3);
    foci_error err = {0};
    for (size_t i = 0; i < all; i++) {
        double east = 300.0 / (double)side, south = 240.0 / (double)side;
        double a = foci_random_share(&draws), b = foci_random_share(&draws);
        s->places[i / n][i % n] =
            (foci_point){500000 + east * ((double)(i % n % side) + a), 4600240 - south * ((double)(i % n / side) + b)};
    }
    for (size_t i = 0; i < all; i++)
        for (size_t j = 0; j < all; j++) {
            foci_point p = s->places[i / n][i % n], q = s->places[j / n][j % n];
            double shared = i / n == j / n ? 1 : wish->rho;
            factor[j * all + i] = shared * exp(-hypot(p.x - q.x, p.y - q.y) / 45) + 1e-9 * (i == j);
        }
    assert_done(foci_linear_factor(factor, all, &err), err);
    foci_random_normal(&draws, z, 2 * all);
    foci_linear_lower_product(factor, all, z, 1);
    for (size_t i = 0; i < all; i++) {
        double level = -2 + 1.3 * z[i], hits = 0;
        for (int unit = 0; unit < 40; unit++)
            hits += foci_random_share(&draws) < 1 / (1 + exp(-level));
        s->hits[i / n][i % n] = wish->scores ? NAN : hits;
        s->checked[i / n][i % n] = wish->scores ? NAN : 40;
        s->values[i / n][i % n] = wish->scores ? 30 + 8 * z[i] + 2 * z[all + i] : 2.5 * hits;
    }
    free(factor);
    free(z);
}

static inline scene *scene_make(scene_wish wish) {
    scene *s = calloc(1, sizeof *s);
    scene_grid(s);
    scene_fill(s, &wish);
    for (size_t k = 0; k < wish.seasons; k++) {
        snprintf(s->keys[k], sizeof s->keys[k], "%x%063zu", (unsigned)(k * 7 + 5) % 16, k); /* not in order of time */
        s->readings[k] = (foci_readings){.count = wish.stops,
                                         .places = s->places[k],
                                         .values = s->values[k],
                                         .hits = s->hits[k],
                                         .checked = s->checked[k]};
        s->seasons[k] = (foci_persistence_season){.readings = &s->readings[k],
                                                  .kind = wish.scores ? FOCI_READING_VALUE : FOCI_READING_COUNT,
                                                  .threshold = wish.scores ? 38 : 30,
                                                  .key = s->keys[k]};
    }
    s->options = (foci_persistence_options){.row_heading = NAN, .area_ha = 6.4, .seed = 1};
    return s;
}

/* Parts add up to a whole, intervals hold what they should, chances are chances. */
static inline void scene_check(const scene *s, const foci_persistence *p) {
    double sum = 0;
    for (size_t code = 0; code < FOCI_CLASS_UNSURE; code++)
        sum += p->classes[code].value;
    assert_near(sum, s->options.area_ha, 1e-9);
    for (size_t i = 0; i < (size_t)SCENE_COLUMNS * SCENE_ROWS; i++) {
        bool inside = s->share[i] > 0;
        assert_int_equal(isnan(p->hot_seasons[i]), !inside);
        assert_int_equal(p->class_code[i] == -1, !inside);
        if (!inside)
            continue;
        double chances = 0, hot = 0;
        for (size_t code = 0; code < FOCI_CLASS_UNSURE; code++) {
            assert_true(p->class_chance[code][i] >= 0 && p->class_chance[code][i] <= 1);
            chances += p->class_chance[code][i];
        }
        for (size_t k = 0; k < p->seasons; k++)
            hot += p->chance[k] ? p->chance[k][i] : 0;
        assert_near(chances, 1, 1e-9);
        assert_near(hot, p->hot_seasons[i], 1e-12);
        int code = p->class_code[i];
        assert_true(code == FOCI_CLASS_UNSURE || p->class_chance[code][i] >= 0.5);
        for (int other = 0; other < FOCI_CLASS_UNSURE; other++)
            assert_true(code != FOCI_CLASS_UNSURE || p->class_chance[other][i] < 0.5);
    }
}

#endif
