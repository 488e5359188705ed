#include "season_scene.h"

#include "decide/seasons/persistence_areas.h"
#include "decide/seasons/persistence_pair.h"
#include "estimate/joint_asked.h"
#include "estimate/seasons/joint_chances.h"
#include "fieldfoci/agreement.h"

/* Type 7 of Hyndman & Fan 1996 (American Statistician 50:361), by hand: 5 % of 5 numbers lies at 0.2 of the way. */
static void test_quantiles_of_known_numbers(void **state) {
    (void)state;
    double drawn[] = {7.5, 2.25, 4, 3, 9.5}, one[] = {2.385};
    foci_estimate area = foci_persistence_area_of(drawn, 5);
    assert_near(area.value, 5.25, 1e-14);
    assert_near(area.low, 2.25 + 0.2 * 0.75, 1e-14);
    assert_near(area.high, 7.5 + 0.8 * 2, 1e-14);
    area = foci_persistence_area_of(one, 1);
    assert_near(area.low, 2.385, 0);
    assert_near(area.high, 2.385, 0);
}

typedef struct {
    scene *scene;
    foci_study study;
    foci_together together;
} known;

/* Two seasons whose parameters are taken as known, at one rho. */
static void open_known(known *k, bool scores, size_t rho) {
    foci_error err = {0};
    k->scene = scene_make((scene_wish){2, SCENE_STOPS, scores, 0.8});
    assert_done(foci_study_open(&k->study, k->scene->seasons, 2, &k->scene->grid, &k->scene->options, &err), err);
    assert_done(foci_together_make(&k->together, &k->study, (const size_t[]){0, 1}, 2, HOW, &err), err);
    foci_joint *joint = &k->together.joint;
    memcpy(joint->space.lower, joint->point, sizeof joint->point);
    memcpy(joint->space.upper, joint->point, sizeof joint->point);
    for (size_t r = 0; r < FOCI_JOINT_RHOS; r++)
        joint->weight[r] = r == rho;
}

static void close_known(known *k) {
    foci_study_close(&k->study);
    foci_study_close(&k->study);
    foci_together_free(&k->together);
    foci_together_free(&k->together);
    free(k->scene);
}

/* With known parameters the mean area of the draws is the sum of the cells' chances, within four standard errors (an
 * interval of 90 % is 3.3 deviations wide). */
static void check_known(bool scores) {
    known k = {0};
    foci_error err = {0};
    foci_persistence_areas areas = {0};
    open_known(&k, scores, 8);
    size_t count = k.study.cells.count;
    double *season = malloc(2 * count * sizeof *season), *group = malloc(4 * count * sizeof *group), sum[6] = {0};
    static const unsigned char patterns[] = {0, 1, 2, 3};
    const foci_joint_question question = {k.together.threshold, patterns, 4};
    assert_done(foci_persistence_areas_make(&areas, &k.study, &k.together, HOW, &err), err);
    assert_done(foci_joint_chances(season, group, &k.together.joint, &question, k.study.cells.places, count, HOW, &err),
                err);
    for (size_t c = 0; c < count; c++) {
        for (int i = 0; i < 4; i++)
            sum[i] += k.study.cells.area[c] * group[4 * c + i];
        for (int s = 0; s < 2; s++)
            sum[4 + s] += k.study.cells.area[c] * season[2 * c + s];
    }
    const foci_estimate drawn[] = {areas.neither, areas.only_first, areas.only_second,
                                   areas.both,    areas.hot[0],     areas.hot[1]};
    for (int i = 0; i < 6; i++) {
        double error = (drawn[i].high - drawn[i].low) / 3.3 / sqrt(480);
        assert_true(error > 0.001 && drawn[i].low < drawn[i].value && drawn[i].value < drawn[i].high);
        assert_near(drawn[i].value, sum[i], 4 * error);
    }
    assert_near(areas.both.value + areas.only_first.value, areas.hot[0].value, 1e-9);
    assert_near(areas.both.value + areas.only_second.value, areas.hot[1].value, 1e-9);
    bool turned = k.together.given[0] > k.together.given[1];
    assert_near(areas.classes[FOCI_CLASS_ALWAYS].value, areas.both.value, 1e-9);
    assert_near(areas.classes[FOCI_CLASS_NEVER].value, areas.neither.value, 1e-9);
    assert_near(areas.classes[turned ? FOCI_CLASS_NEW : FOCI_CLASS_GONE].value, areas.only_first.value, 1e-9);
    assert_near(areas.classes[FOCI_CLASS_OFTEN].value, 0, 0);
    free(season);
    free(group);
    close_known(&k);
}

static void test_known_parameters_give_the_sum_of_the_chances(void **state) {
    (void)state;
    check_known(false);
    check_known(true);
}

/* Unrelated seasons (rho 0): what lies in both is what chance gives, to a few per cent of the draws' own noise, and
 * lies between what moved seasons give. Related ones (rho 0.97) overlap more than that. */
static void test_overlap_by_chance(void **state) {
    (void)state;
    known k = {0};
    foci_error err = {0};
    foci_persistence_areas areas = {0};
    open_known(&k, false, 0);
    assert_done(foci_persistence_areas_make(&areas, &k.study, &k.together, HOW, &err), err);
    double product = areas.hot[0].value * areas.hot[1].value / k.scene->options.area_ha;
    assert_near(areas.by_chance.value, product, 0.05 * product);
    assert_true(areas.by_chance.low < product && product < areas.by_chance.high);
    double before = areas.both.value;
    for (size_t r = 0; r < FOCI_JOINT_RHOS; r++)
        k.together.joint.weight[r] = r == FOCI_JOINT_RHOS - 1;
    assert_done(foci_persistence_areas_make(&areas, &k.study, &k.together, HOW, &err), err);
    assert_true(areas.both.value > 1.2 * before);
    assert_true(areas.both.value > 1.5 * areas.by_chance.value);
    close_known(&k);
}

/* The plain twin of the scores' test: each season alone, all its numbers again. */
static void test_scores_are_judged_by_their_own_maps(void **state) {
    (void)state;
    known k = {0};
    foci_error err = {0};
    foci_persistence_areas areas = {0};
    foci_season_pair pair = {0};
    foci_predicted_map maps[2] = {{0}};
    foci_modified_t t = {0};
    double *values[2], *roots[2];
    open_known(&k, true, 8);
    assert_done(foci_persistence_areas_make(&areas, &k.study, &k.together, HOW, &err), err);
    assert_done(foci_season_pair_make(&pair, &k.study, &k.together, &areas, &err), err);
    const foci_joint *joint = &k.together.joint;
    size_t count = k.study.cells.count;
    for (size_t s = 0; s < 2; s++) {
        foci_observations alone = foci_observations_season(&joint->data, s);
        foci_parameters p = foci_joint_space_season(&joint->space, joint->point, s);
        foci_joint_mode mode = mode_at(&alone, &p);
        foci_joint_places asked = predicted(&mode, &alone, k.study.cells.places, count);
        values[s] = malloc(count * sizeof *values[s]);
        roots[s] = malloc(count * alone.count * sizeof *roots[s]);
        memcpy(values[s], asked.mean, count * sizeof *values[s]);
        memcpy(roots[s], asked.root, count * alone.count * sizeof *roots[s]);
        foci_joint_places_free(&asked);
        maps[s] = (foci_predicted_map){values[s], roots[s], alone.count};
        foci_joint_mode_free(&mode);
    }
    assert_done(foci_modified_t_model(&t, &maps[0], &maps[1], count, &err), err);
    assert_near(pair.correlation, t.correlation, 1e-9);
    assert_near(pair.effective, t.effective, 1e-7);
    assert_near(pair.p, t.above, 1e-9);
    assert_true(isnan(pair.ratio) && pair.effective > 3);
    for (size_t s = 0; s < 2; s++) {
        free(values[s]);
        free(roots[s]);
    }
    close_known(&k);
}

/* Less than one cell hot in either season has no Jaccard, Dice or kappa; just more has. */
static void test_what_is_not_defined_is_not_numbered(void **state) {
    (void)state;
    known k = {0};
    foci_error err = {0};
    foci_season_pair pair = {0};
    open_known(&k, false, 8);
    foci_persistence_areas areas = {.both = {0.006, 0, 0.01},
                                    .only_first = {0.009, 0, 0.01},
                                    .only_second = {0.006, 0, 0.01},
                                    .neither = {6.379, 6, 6.4}};
    assert_done(foci_season_pair_make(&pair, &k.study, &k.together, &areas, &err), err);
    assert_true(isnan(pair.jaccard) && isnan(pair.dice) && isnan(pair.kappa));
    assert_true(pair.p <= 1);
    areas.both.value = 0.03;
    areas.neither.value = 6.355;
    assert_done(foci_season_pair_make(&pair, &k.study, &k.together, &areas, &err), err);
    assert_near(pair.jaccard, 0.03 / 0.045, 1e-12);
    assert_near(pair.dice, 0.06 / 0.075, 1e-12);
    double agreed = 6.385 / 6.4, expected = (0.039 * 0.036 + 6.361 * 6.364) / (6.4 * 6.4);
    assert_near(pair.kappa, (agreed - expected) / (1 - expected), 1e-10);
    close_known(&k);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_quantiles_of_known_numbers),
        cmocka_unit_test(test_known_parameters_give_the_sum_of_the_chances),
        cmocka_unit_test(test_overlap_by_chance),
        cmocka_unit_test(test_scores_are_judged_by_their_own_maps),
        cmocka_unit_test(test_what_is_not_defined_is_not_numbered),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
