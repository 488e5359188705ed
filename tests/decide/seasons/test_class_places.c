/* Places of one class, from cells set by hand. */
#include "fieldfoci/seasons.h"

#include "support/scene.h"

#define CELLS (SCENE_COLUMNS * SCENE_ROWS)

#define N FOCI_CLASS_NEVER
#define G FOCI_CLASS_GONE
#define W FOCI_CLASS_NEW
#define O FOCI_CLASS_OFTEN
#define A FOCI_CLASS_ALWAYS
#define U FOCI_CLASS_UNSURE

/* Two patches of always, a ring of gone round an unsure cell, a single often, a cut cell of new in the corner and two
 * on the edge; the last cell is outside the field. */
static const int by_hand[SCENE_ROWS][SCENE_COLUMNS] = {{A, A, N, N, N, N, N, W}, {A, A, N, G, G, G, N, N},
                                                       {N, N, N, G, U, G, N, N}, {N, O, N, G, G, G, A, N},
                                                       {N, N, N, N, N, N, A, N}, {W, W, N, N, N, N, N, -1}};

/* The chances of a class fall from cell to cell, so that no two means are alike; three seasons, the middle one not
 * compared. */
static foci_persistence persistence_make(const foci_grid *grid, const int *codes) {
    foci_error err = {0};
    foci_persistence made = {.seasons = 3, .compared = 2};
    made.class_code = foci_new_array(CELLS, sizeof *made.class_code, &err);
    assert_non_null(made.class_code);
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
        assert_non_null(made.class_chance[code] = foci_new_array(CELLS, sizeof(double), &err));
    assert_non_null(made.chance[0] = foci_new_array(CELLS, sizeof(double), &err));
    assert_non_null(made.chance[2] = foci_new_array(CELLS, sizeof(double), &err));
    for (int i = 0; i < CELLS; i++) {
        const bool inside = grid->share[i] > 0;
        made.class_code[i] = inside ? codes[i] : -1;
        for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
            made.class_chance[code][i] = !inside                     ? NAN
                                         : codes[i] == code          ? 0.913 - 0.007 * i
                                         : code == (int)N && i != 20 ? 0.2
                                                                     : 0.02 + 0.031 * code;
        made.chance[0][i] = !inside ? NAN : codes[i] == A || codes[i] == G ? 0.81 : 0.08;
        made.chance[2][i] = !inside ? NAN : codes[i] == A || codes[i] == W ? 0.77 : 0.11;
    }
    return made;
}

/* Not foci_persistence_free: that belongs to another file's test. */
static void persistence_drop(foci_persistence *made) {
    free(made->class_code);
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
        free(made->class_chance[code]);
    free(made->chance[0]);
    free(made->chance[2]);
    *made = (foci_persistence){0};
}

static foci_class_places places_of(foci_persistence *persistence, const foci_survey *round, double least_ha) {
    foci_class_places places = {0};
    foci_error err = {0};
    assert_done(foci_class_places_make(&places, persistence, &round->grid, &round->field, least_ha, &err), err);
    return places;
}

/* No gap and no overlap: the areas add up to the field's, what two places share has none. */
static void assert_field_is_covered(const foci_class_places *places, const foci_field *field) {
    foci_error err = {0};
    double area_ha = 0;
    for (size_t i = 0; i < places->count; i++) {
        const foci_class_place *place = &places->items[i];
        area_ha += place->area_ha;
        assert_true(foci_overlay_valid(&place->shape));
        assert_near(foci_geodesic_area(&place->lonlat) / 1e4, place->area_ha, 1e-12);
        assert_true(foci_multipolygon_contains(&place->lonlat, place->centre));
        for (size_t k = 0; k < i; k++) {
            foci_multipolygon common = {0};
            assert_done(foci_overlay_intersection(&common, &place->shape, &places->items[k].shape, &err), err);
            assert_near(foci_multipolygon_area(&common), 0, 1e-6);
            foci_multipolygon_free(&common);
        }
    }
    assert_near(area_ha, field->area_ha, 1e-6 * field->area_ha);
}

static void test_places_are_as_drawn(void **unused) {
    (void)unused;
    static const struct {
        foci_class code;
        int id;
    } wanted[] = {{A, 2}, {A, 3}, {O, 5}, {W, 4}, {W, 6}, {G, 1}, {N, 0}, {U, 0}};
    foci_survey round = scene_make();
    foci_persistence persistence = persistence_make(&round.grid, &by_hand[0][0]);
    foci_class_places places = places_of(&persistence, &round, 0);
    assert_int_equal(places.count, sizeof wanted / sizeof *wanted);
    for (size_t i = 0; i < places.count; i++) {
        assert_int_equal(places.items[i].code, wanted[i].code);
        assert_int_equal(places.items[i].id, wanted[i].id);
    }
    assert_field_is_covered(&places, &round.field);
    assert_near(places.unsure_ha, places.items[7].area_ha, 0);
    assert_near(foci_multipolygon_area(&places.items[7].shape), 400 * round.grid.share[20], 1e-9); /* one cell */
    assert_int_equal(places.items[5].shape.polygons[0].count, 2); /* the ring: its hole and the field's are one */
    assert_int_equal(persistence.class_code[25], O);              /* nothing was too small */
    foci_class_places_free(&places);
    foci_class_places_free(&places);
    persistence_drop(&persistence);
    foci_survey_free(&round);
}

static void test_means_are_weighted_by_share(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
    foci_persistence persistence = persistence_make(&round.grid, &by_hand[0][0]);
    foci_class_places places = places_of(&persistence, &round, 0);
    const double *share = round.grid.share;
    static const int corner[] = {0, 1, 8, 9};
    double cells = 0, chance = 0;
    for (int i = 0; i < 4; i++) {
        cells += share[corner[i]];
        chance += share[corner[i]] * (0.913 - 0.007 * corner[i]);
    }
    assert_near(places.items[0].chance, chance / cells, 1e-12);
    /* the unsure cell: its likeliest class is always, with 0.02 + 0.031 x 4 */
    assert_near(places.items[7].chance, 0.144, 1e-12);
    for (size_t i = 0; i < places.count; i++) {
        const foci_class code = places.items[i].code;
        assert_int_equal(places.items[i].hot[0], code == A || code == G);
        assert_false(places.items[i].hot[1]); /* it was not compared */
        assert_int_equal(places.items[i].hot[2], code == A || code == W);
    }
    foci_class_places_free(&places);
    persistence_drop(&persistence);
    foci_survey_free(&round);
}

/* One cell is 0.04 ha. Often becomes unsure (its neighbours are never), and so does the corner; the two cells of new
 * are more than one. */
static void test_specks_become_unsure(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
    foci_persistence persistence = persistence_make(&round.grid, &by_hand[0][0]);
    const double two = (round.grid.share[40] + round.grid.share[41]) * 0.04;
    foci_class_places places = places_of(&persistence, &round, 0.0401);
    assert_true(two > 0.0402);
    assert_int_equal(persistence.class_code[25], U);
    assert_int_equal(persistence.class_code[7], U);
    assert_int_equal(persistence.class_code[40], W);
    assert_int_equal(persistence.class_code[20], U);
    assert_int_equal(persistence.class_code[47], -1);
    assert_int_equal(places.count, 8); /* always 2, new, gone, never, unsure 3 */
    assert_int_equal(places.items[2].code, W);
    assert_int_equal(places.items[2].id, 4);
    assert_int_equal(places.items[7].code, U);
    assert_field_is_covered(&places, &round.field);
    double unsure = 0;
    for (size_t i = 5; i < 8; i++)
        unsure += places.items[i].area_ha;
    assert_near(places.unsure_ha, unsure, 1e-15);
    foci_class_places_free(&places);
    /* The same again changes nothing; with a larger bar all that is left is never and unsure. */
    places = places_of(&persistence, &round, 0.0401);
    assert_int_equal(places.count, 8);
    foci_class_places_free(&places);
    places = places_of(&persistence, &round, 1);
    for (size_t i = 0; i < places.count; i++)
        assert_true(places.items[i].code == N || places.items[i].code == U);
    assert_field_is_covered(&places, &round.field);
    foci_class_places_free(&places);
    persistence_drop(&persistence);
    foci_survey_free(&round);
}

/* A speck beside an unsure place joins it. A whole cell is no speck where the bar is one cell. */
static void test_a_speck_joins_its_unsure_neighbour(void **unused) {
    (void)unused;
    int codes[CELLS];
    memcpy(codes, by_hand, sizeof codes);
    codes[26] = U; /* beside the single often */
    foci_survey round = scene_make();
    foci_persistence persistence = persistence_make(&round.grid, codes);
    foci_class_places places = places_of(&persistence, &round, 0.04);
    assert_int_equal(persistence.class_code[25], O);
    foci_class_places_free(&places);
    places = places_of(&persistence, &round, 0.045);
    assert_int_equal(persistence.class_code[25], U);
    const foci_class_place *largest = NULL;
    for (size_t i = 0; i < places.count && !largest; i++)
        if (places.items[i].code == U)
            largest = &places.items[i];
    assert_non_null(largest);
    assert_near(foci_multipolygon_area(&largest->shape), 800, 1e-9);
    foci_class_places_free(&places);
    persistence_drop(&persistence);
    foci_survey_free(&round);
}

static void test_nothing_compared_gives_no_place(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
    foci_persistence none = {.seasons = 2};
    foci_class_places places = {.count = 9};
    foci_error err = {0};
    assert_done(foci_class_places_make(&places, &none, &round.grid, &round.field, 0.1, &err), err);
    assert_int_equal(places.count, 0);
    assert_near(places.unsure_ha, 0, 0);
    foci_class_places_free(&places);
    foci_survey_free(&round);
}

/* The plain twin: two cells are in one place where a walk over sides of the same class leads from one to the other. */
static size_t count_places(const int *code) {
    int mark[CELLS] = {0};
    size_t count = 0;
    for (int seed = 0; seed < CELLS; seed++) {
        if (code[seed] < 0 || mark[seed])
            continue;
        mark[seed] = (int)++count;
        for (bool grew = true; grew;) {
            grew = false;
            for (int i = 0; i < CELLS; i++)
                for (int k = 0; k < CELLS; k++) {
                    const int across = abs(i % SCENE_COLUMNS - k % SCENE_COLUMNS);
                    const int down = abs(i / SCENE_COLUMNS - k / SCENE_COLUMNS);
                    if (mark[i] != (int)count || mark[k] || code[k] != code[i] || across + down != 1)
                        continue;
                    mark[k] = (int)count;
                    grew = true;
                }
        }
    }
    return count;
}

static void test_rough_classes_are_covered(void **unused) {
    (void)unused;
    uint32_t state = 4711;
    for (int turn = 0; turn < 12; turn++) {
        int codes[CELLS];
        foci_survey round = scene_make();
        for (int i = 0; i < CELLS; i++)
            codes[i] = round.grid.share[i] > 0 ? (int)(6 * scene_random(&state)) % 6 : -1;
        foci_persistence persistence = persistence_make(&round.grid, codes);
        foci_class_places places = places_of(&persistence, &round, turn % 2 ? 0.07 : 0);
        assert_int_equal(places.count, count_places(persistence.class_code));
        assert_field_is_covered(&places, &round.field);
        foci_class_places_free(&places);
        persistence_drop(&persistence);
        foci_survey_free(&round);
    }
}

static foci_survey scene;
static foci_persistence seen;

/* What fails changes nothing. */
static bool attempt(foci_error *err) {
    foci_class_places places = {0};
    const bool ok = foci_class_places_make(&places, &seen, &scene.grid, &scene.field, 0.05, err);
    assert_int_equal(seen.class_code[25], ok ? U : O);
    assert_int_equal(places.count > 0, ok);
    foci_class_places_free(&places);
    return ok;
}

static void test_each_allocation_can_fail(void **unused) {
    (void)unused;
    scene = scene_make();
    seen = persistence_make(&scene.grid, &by_hand[0][0]);
    support_fail_each_allocation(attempt);
    persistence_drop(&seen);
    foci_survey_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_places_are_as_drawn),
        cmocka_unit_test(test_means_are_weighted_by_share),
        cmocka_unit_test(test_specks_become_unsure),
        cmocka_unit_test(test_a_speck_joins_its_unsure_neighbour),
        cmocka_unit_test(test_nothing_compared_gives_no_place),
        cmocka_unit_test(test_rough_classes_are_covered),
        cmocka_unit_test(test_each_allocation_can_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
