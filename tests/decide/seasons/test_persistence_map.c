#include "season_scene.h"

#include "decide/seasons/persistence_map.h"
#include "estimate/seasons/joint_chances.h"

enum { FINE_COLUMNS = 100, FINE_ROWS = 80 };

/* Cells of 3 m: 25 stops lie 54 m apart, so nodes lie two cells apart. */
static void refine(scene *s, double *share) {
    s->grid = (foci_grid){.west = 500000,
                          .north = 4600240,
                          .cell = 3,
                          .columns = FINE_COLUMNS,
                          .rows = FINE_ROWS,
                          .share = share,
                          .cells = (size_t)FINE_COLUMNS * FINE_ROWS};
    for (size_t i = 0; i < s->grid.cells; i++)
        share[i] = 1;
}

typedef struct {
    double squares, most, count;
} lost;

static void add(lost *loss, double off) {
    loss->squares += off * off;
    loss->most = fmax(loss->most, fabs(off));
    loss->count++;
}

/* The plain twin: every cell asked for itself. What interpolation loses is stated in
 * docs/seasons.md: the surface has a cusp at each stop. */
static void check_map(size_t seasons, bool scores) {
    static double share[FINE_COLUMNS * FINE_ROWS];
    static const size_t all[] = {0, 1, 2};
    scene *s = scene_make((scene_wish){seasons, 25, scores, 0.7});
    foci_study study = {0};
    foci_together together = {0};
    foci_persistence p = {0};
    foci_error err = {0};
    unsigned char group[8];
    refine(s, share);
    assert_done(foci_study_open(&study, s->seasons, seasons, &s->grid, &s->options, &err), err);
    assert_done(foci_together_make(&together, &study, all, seasons, HOW, &err), err);
    assert_done(foci_persistence_map(&p, &study, &together, HOW, &err), err);
    foci_together_classes(group, &together);
    const foci_joint_question question = {together.threshold, group, FOCI_CLASS_UNSURE};
    size_t cells = s->grid.cells;
    foci_point *places = malloc(cells * sizeof *places);
    double *season = malloc(cells * seasons * sizeof *season);
    double *class = malloc(cells * FOCI_CLASS_UNSURE * sizeof *class);
    lost loss = {0};
    for (size_t i = 0; i < cells; i++)
        places[i] = foci_grid_centre(&s->grid, i);
    assert_done(foci_joint_chances(season, class, &together.joint, &question, places, cells, HOW, &err), err);
    for (size_t i = 0; i < cells; i++) {
        for (size_t k = 0; k < seasons; k++)
            add(&loss, p.chance[together.given[k]][i] - season[i * seasons + k]);
        for (size_t code = 0; code < FOCI_CLASS_UNSURE; code++)
            add(&loss, p.class_chance[code][i] - class[i * FOCI_CLASS_UNSURE + code]);
    }
    loss.squares = sqrt(loss.squares / loss.count);
    print_message("%zu seasons: rms %.4g, at most %.4g\n", seasons, loss.squares, loss.most);
    assert_true(loss.squares > 0 && loss.squares < 0.005 && loss.most < 0.2);
    free(places);
    free(season);
    free(class);
    foci_persistence_free(&p);
    foci_together_free(&together);
    foci_study_close(&study);
    free(s);
}

static void test_nodes_tell_what_the_cells_would(void **state) {
    (void)state;
    check_map(2, false);
    check_map(3, true);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_nodes_tell_what_the_cells_would)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
