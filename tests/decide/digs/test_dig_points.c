#include "fieldfoci/dig_points.h"

#include "base/probability.h"
#include "decide/digs/dig_scene.h"
#include "decide/digs/owen.h"

/* Of three places two confirm: each of the two hotspots has one. */
static void test_quotas(void **unused) {
    (void)unused;
    static const size_t rows[][4] = {{10, 2, 4, 4}, {5, 1, 2, 2}, {1, 1, 0, 0}, {2, 1, 1, 0},
                                     {3, 1, 2, 0},  {7, 2, 3, 2}, {0, 0, 0, 0}, {12, 3, 4, 5}};
    foci_survey round = dig_scene("kriging", 8, 4);
    assert_int_equal(round.hotspots.count, 2);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        foci_dig_points_options options = ten;
        options.count = rows[i][0];
        foci_dig_points digs = dig_chosen(&round, &options);
        assert_int_equal(digs.count, rows[i][0]);
        assert_sound(&round, &digs, 35);
        assert_int_equal(dig_count(&digs, FOCI_DIG_OUTSIDE), rows[i][1]);
        if (rows[i][0] == 12) /* of five confirm places two hotspots take two each at most */
            assert_true(dig_count(&digs, FOCI_DIG_CONFIRM) <= 2 * round.hotspots.count);
        else
            assert_int_equal(dig_count(&digs, FOCI_DIG_CONFIRM), rows[i][2]);
        foci_dig_points_free(&digs);
        foci_dig_points_free(&digs);
    }
    foci_survey_free(&round);
}

static void test_names(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("kriging", 8, 4);
    foci_dig_points digs = dig_chosen(&round, &ten);
    for (size_t i = 0; i < digs.count; i++) {
        static const char *const ends[] = {"-CONFIRM", "-HIGHEST", "-UNSURE", "-OUTSIDE"};
        assert_true(strlen(digs.items[i].name) <= 14);
        assert_string_equal(digs.items[i].name + 3, ends[digs.items[i].why]);
    }
    assert_string_equal(foci_dig_why_name(FOCI_DIG_CONFIRM), "confirm");
    assert_string_equal(foci_dig_why_name(FOCI_DIG_HIGHEST), "highest");
    assert_string_equal(foci_dig_why_name(FOCI_DIG_UNSURE), "unsure");
    assert_string_equal(foci_dig_why_name(FOCI_DIG_OUTSIDE), "outside");
    foci_dig_points_free(&digs);
    foci_survey_free(&round);
}

/* Hotspots by the sum of area and chance; the strongest cell of each on diggable ground. */
static void test_confirm_by_hand(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("kriging", 8, 4);
    foci_dig_points digs = dig_chosen(&round, &ten);
    size_t cells = round.grid.rows * round.grid.columns;
    bool taken[100] = {false};
    for (int k = 1; k <= 2; k++) {
        int strongest = 0;
        double most = -1, chance = -1;
        for (int id = 1; id <= (int)round.hotspots.count; id++) {
            double sum = 0;
            for (size_t i = 0; i < cells; i++)
                sum += round.hotspots.label[i] == id ? round.grid.share[i] * round.surface.chance[i] : 0;
            if (!taken[id] && sum > most) {
                most = sum;
                strongest = id;
            }
        }
        taken[strongest] = true;
        for (size_t i = 0; i < cells; i++)
            if (round.hotspots.label[i] == strongest &&
                to_edge(&round.field.shape, foci_grid_centre(&round.grid, i)) >= 5 &&
                foci_multipolygon_contains(&round.field.shape, foci_grid_centre(&round.grid, i)))
                chance = fmax(chance, round.surface.chance[i]);
        for (size_t i = 0; i < digs.count; i++)
            if (digs.items[i].id == k) {
                assert_int_equal(digs.items[i].why, FOCI_DIG_CONFIRM);
                assert_int_equal(digs.items[i].hotspot, strongest);
                assert_near(digs.items[i].chance, chance, 0);
            }
    }
    foci_dig_points_free(&digs);
    foci_survey_free(&round);
}

/* Solves A x = b by Gauss's elimination. */
static void solve(double *a, double *b, size_t n) {
    for (size_t c = 0; c < n; c++)
        for (size_t r = c + 1; r < n; r++) {
            double factor = a[r * n + c] / a[c * n + c];
            for (size_t k = c; k < n; k++)
                a[r * n + k] -= factor * a[c * n + k];
            b[r] -= factor * b[c];
        }
    for (size_t c = n; c-- > 0;) {
        for (size_t k = c + 1; k < n; k++)
            b[c] -= a[c * n + k] * b[k];
        b[c] /= a[c * n + c];
    }
}

/* Expected misclassification on the targets with readings at all of `set`, from one covariance of all. */
static double plain_sum(const double *mean, const double *c, double threshold, double noise, size_t count,
                        const size_t *set, size_t size) {
    double sum = 0;
    for (size_t t = 0; t < count; t++) {
        double a[144], b[12], learned = 0, v = c[t + t * count], off = fabs(mean[t] - threshold) / sqrt(v);
        for (size_t i = 0; i < size; i++) {
            b[i] = c[set[i] + t * count];
            for (size_t j = 0; j < size; j++)
                a[i * size + j] = c[set[i] + set[j] * count] + (i == j ? noise : 0);
        }
        solve(a, b, size);
        for (size_t i = 0; i < size; i++)
            learned += c[set[i] + t * count] * b[i];
        sum += size == 0 ? foci_normal_cdf(-off) : 2 * foci_owen_t(off, sqrt((v - learned) / learned));
    }
    return sum;
}

/* On a coarse grid every diggable cell is a target: each unsure place is the cell that, read together with all places
 * before it (outside, confirm, unsure so far), leaves the least. */
static void test_unsure_by_hand(void **unused) {
    (void)unused;
    enum { MOST = 500 };
    foci_error err = {0};
    foci_survey round = dig_scene("kriging", 8, 14);
    foci_dig_points digs = dig_chosen(&round, &ten);
    size_t ground[MOST], count = 0, set[12] = {0}, size = 0;
    static double mean[MOST], covariance[MOST * MOST];
    foci_point places[MOST];
    double threshold = 0;
    for (size_t i = 0; i < round.grid.rows * round.grid.columns; i++) {
        foci_point place = foci_grid_centre(&round.grid, i);
        if (foci_multipolygon_contains(&round.field.shape, place) && to_edge(&round.field.shape, place) >= 5) {
            assert_true(count < MOST);
            places[count] = place;
            ground[count++] = i;
        }
    }
    assert_true(count > 150);
    assert_done(foci_surface_covariance(&round.model, mean, covariance, &threshold, places, count, &err), err);
    assert_near(threshold, 8, 0);
    assert_near(digs.misclassified * (double)count, plain_sum(mean, covariance, 8, 2.5, count, set, 0), 1e-9);
    for (size_t i = 0; i < digs.count; i++)
        for (size_t k = 0; k < count && digs.items[i].why != FOCI_DIG_UNSURE; k++)
            if (ground[k] == digs.items[i].cell)
                set[size++] = k;
    assert_int_equal(size, 6);
    for (int id = 5; id <= 8; id++) {
        double least = INFINITY;
        size_t best = 0;
        for (size_t k = 0; k < count; k++) {
            bool far = true;
            for (size_t i = 0; i < size; i++)
                far = far && apart(places[k], places[set[i]]) >= 17.5;
            far = far && round.surface.chance[ground[k]] > 0.2 && round.surface.chance[ground[k]] < 0.5;
            set[size] = k;
            double left = far ? plain_sum(mean, covariance, 8, 2.5, count, set, size + 1) : INFINITY;
            if (left < least) {
                least = left;
                best = k;
            }
        }
        set[size++] = best;
        for (size_t i = 0; i < digs.count; i++)
            if (digs.items[i].id == id) {
                assert_int_equal(digs.items[i].why, FOCI_DIG_UNSURE);
                assert_int_equal(digs.items[i].cell, ground[best]);
            }
        if (id == 8)
            assert_near(digs.misclassified_after * (double)count, least, 1e-8);
    }
    assert_true(digs.misclassified_after < digs.misclassified);
    foci_dig_points_free(&digs);
    foci_survey_free(&round);
}

static void assert_same(const foci_dig_points *a, const foci_dig_points *b) {
    assert_int_equal(a->count, b->count);
    for (size_t i = 0; i < a->count; i++) {
        assert_int_equal(a->items[i].cell, b->items[i].cell);
        assert_int_equal(a->items[i].why, b->items[i].why);
        assert_int_equal(a->items[i].id, b->items[i].id);
    }
    assert_near(a->walk, b->walk, 0);
    assert_near(a->misclassified_after, b->misclassified_after, 0);
}

static void test_same_whatever_the_threads(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("kriging", 8, 4);
    foci_dig_points_options options = ten;
    foci_dig_points first = dig_chosen(&round, &options);
    for (support_threads = 1; support_threads <= 3; support_threads++) {
        foci_dig_points again = dig_chosen(&round, &options);
        assert_same(&first, &again);
        foci_dig_points_free(&again);
    }
    support_threads = 1;
    options.seed = 8;
    foci_dig_points other = dig_chosen(&round, &options);
    size_t moved = 0;
    for (size_t i = 0; i < 10; i++)
        for (size_t k = 0; k < 10; k++)
            if (first.items[i].id == other.items[k].id)
                moved += first.items[i].cell != other.items[k].cell && first.items[i].why == FOCI_DIG_OUTSIDE;
    assert_true(moved > 0);
    foci_dig_points_free(&first);
    foci_dig_points_free(&other);
    foci_survey_free(&round);
}

static void test_counts(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("counts", 20, 4);
    foci_dig_points digs = dig_chosen(&round, &ten);
    assert_int_equal(digs.count, 10);
    assert_sound(&round, &digs, 35);
    assert_int_equal(dig_count(&digs, FOCI_DIG_OUTSIDE), 2);
    assert_true(digs.misclassified > 0 && digs.misclassified < 0.5);
    assert_true(digs.misclassified_after < digs.misclassified);
    foci_dig_points_free(&digs);
    foci_survey_free(&round);
}

/* More units in a dig tell more. */
static void test_units_matter(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("counts", 20, 6);
    foci_dig_points_options options = ten;
    options.units_per_dig = 5;
    foci_dig_points few = dig_chosen(&round, &options);
    options.units_per_dig = 100;
    foci_dig_points many = dig_chosen(&round, &options);
    options.units_per_dig = 0;
    foci_dig_points same = dig_chosen(&round, &options);
    assert_true(many.misclassified_after < same.misclassified_after);
    assert_true(same.misclassified_after < few.misclassified_after);
    foci_dig_points_free(&few);
    foci_dig_points_free(&many);
    foci_dig_points_free(&same);
    foci_survey_free(&round);
}

/* Inverse distance: unsure is where severity is nearest to the threshold, a spacing from all others while there is
 * room.
 */
static void test_without_chances(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("idw", 8, 4);
    foci_dig_points digs = dig_chosen(&round, &ten);
    assert_int_equal(digs.count, 10);
    assert_sound(&round, &digs, 35);
    assert_near(digs.misclassified, NAN, 0);
    for (int id = 1; id <= 10; id++)
        for (size_t i = 0; i < digs.count; i++) {
            const foci_dig_point *dig = &digs.items[i];
            if (dig->id != id || dig->why != FOCI_DIG_UNSURE)
                continue;
            for (size_t c = 0; c < round.grid.rows * round.grid.columns; c++) {
                foci_point place = foci_grid_centre(&round.grid, c);
                bool free_ground =
                    foci_multipolygon_contains(&round.field.shape, place) && to_edge(&round.field.shape, place) >= 5;
                for (size_t k = 0; k < digs.count; k++)
                    if (digs.items[k].id < id || digs.items[k].why == FOCI_DIG_OUTSIDE)
                        free_ground = free_ground && apart(digs.items[k].place, place) >= 35;
                if (free_ground)
                    assert_true(fabs(round.surface.estimate[c] - 8) >= fabs(dig->severity - 8));
            }
        }
    foci_dig_points_free(&digs);
    foci_survey_free(&round);
}

static foci_survey scene;

static bool attempt(foci_error *err) {
    foci_dig_points digs = {0};
    if (!foci_dig_points_choose(&digs, &scene.model, &scene.surface, &scene.grid, &scene.field, &scene.readings,
                                &scene.hotspots, &scene.zones, &ten, HOW, err)) {
        assert_null(digs.items);
        return false;
    }
    foci_dig_points_free(&digs);
    return true;
}

static void test_memory_runs_out(void **unused) {
    (void)unused;
    scene = dig_scene("kriging", 8, 20);
    support_fail_each_allocation(attempt);
    foci_survey_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_quotas),
        cmocka_unit_test(test_names),
        cmocka_unit_test(test_confirm_by_hand),
        cmocka_unit_test(test_unsure_by_hand),
        cmocka_unit_test(test_same_whatever_the_threads),
        cmocka_unit_test(test_counts),
        cmocka_unit_test(test_units_matter),
        cmocka_unit_test(test_without_chances),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
