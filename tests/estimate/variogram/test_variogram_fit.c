#include "support/readings.h"

#include "fieldfoci/variogram.h"

/* The semivariances of the reference file itself, with its farthest distance. */
static foci_semivariances meuse_semivariances(foci_variogram_bin *bins) {
    reference_table table = reference_read("variogram_log_zinc.csv");
    for (size_t k = 0; k < table.rows; k++)
        bins[k] = (foci_variogram_bin){(size_t)reference_column(&table, "np")[k], reference_column(&table, "dist")[k],
                                       reference_column(&table, "gamma")[k]};
    foci_semivariances result = {table.rows, bins, 106, 1597, 155};
    reference_free(&table);
    return result;
}

static double criterion(const foci_semivariances *s, const foci_variogram *model) {
    double sum = 0;
    for (size_t k = 0; k < s->count; k++) {
        double h = s->bins[k].distance;
        double gamma = model->nugget + model->partial_sill * (1 - model->kind->at(h / model->range, model->smoothness));
        sum += (double)s->bins[k].pairs / (h * h) * pow(s->bins[k].semivariance - gamma, 2);
    }
    return sum;
}

/* testdata/reference/variogram_fit.csv, columns opt_*; its rows stand in the order of the catalogue. */
static void test_meuse_reaches_the_minimum(void **state) {
    (void)state;
    foci_variogram_bin bins[20];
    foci_semivariances s = meuse_semivariances(bins);
    reference_table table = reference_read("variogram_fit.csv");
    size_t row = 0;
    for (const foci_correlation *kind = foci_correlations; kind->name; kind++, row++) {
        foci_error err = {0};
        foci_variogram model = {0};
        if (row >= table.rows)
            fail_msg("%s has no known fit", kind->name);
        assert_done(foci_variogram_fit(&model, &s, kind, 1.5, &err), err);
        double wanted = reference_column(&table, "opt_SSErr")[row];
        assert_near(model.squares, wanted, 1e-6 * wanted);
        assert_near(criterion(&s, &model), model.squares, 1e-12 * wanted);
        double range = reference_column(&table, "opt_range")[row];
        assert_near(model.range, range, 1e-4 * range);
        assert_near(model.nugget, reference_column(&table, "opt_nugget")[row], 1e-4);
        assert_near(model.partial_sill, reference_column(&table, "opt_psill")[row], 1e-4);
        assert_string_equal(model.fit, "weighted-squares");
    }
    reference_free(&table);
}

/* Plain twin: no nugget, partial sill and range of a fine mesh does better. */
static void test_no_mesh_point_is_better(void **state) {
    (void)state;
    foci_variogram_bin bins[20];
    foci_semivariances s = meuse_semivariances(bins);
    for (const foci_correlation *kind = foci_correlations; kind->name; kind++) {
        foci_error err = {0};
        foci_variogram fitted = {0};
        assert_done(foci_variogram_fit(&fitted, &s, kind, 0, &err), err);
        foci_variogram model = fitted;
        for (model.nugget = 0; model.nugget < 0.5; model.nugget += 0.02)
            for (model.partial_sill = 0; model.partial_sill < 1.5; model.partial_sill += 0.03)
                for (model.range = 10; model.range < 15000; model.range *= 1.1)
                    assert_true(criterion(&s, &model) >= fitted.squares);
    }
}

/* Semivariances that follow a model exactly give it back. */
static void test_exact_model_comes_back(void **state) {
    (void)state;
    for (const foci_correlation *kind = foci_correlations; kind->name; kind++) {
        foci_variogram_bin bins[15];
        double smoothness = kind->has_smoothness ? 2.2 : 0;
        for (size_t k = 0; k < 15; k++) {
            double h = 3.1 + 7.7 * (double)k;
            bins[k] = (foci_variogram_bin){40 + 3 * k, h, 2.385 + 11.7 * (1 - kind->at(h / 31.4, smoothness))};
        }
        foci_semivariances s = {15, bins, 7.7, 115.5, 83};
        foci_error err = {0};
        foci_variogram model = {0};
        assert_done(foci_variogram_fit(&model, &s, kind, smoothness, &err), err);
        assert_near(model.range, 31.4, 1e-4);
        assert_near(model.nugget, 2.385, 1e-4);
        assert_near(model.partial_sill, 11.7, 1e-4);
        assert_near(model.smoothness, smoothness, 0);
        assert_near(model.squares, 0, 1e-10);
    }
}

/* Over the whole catalogue the spherical model has the least criterion (variogram_fit.csv). */
static void test_best_of_the_catalogue(void **state) {
    (void)state;
    foci_variogram_bin bins[20];
    foci_semivariances s = meuse_semivariances(bins);
    foci_error err = {0};
    foci_variogram model = {0};
    assert_done(foci_variogram_fit(&model, &s, NULL, 0, &err), err);
    assert_string_equal(model.kind->name, "spherical");
}

/* Falling semivariances: nothing but a nugget, their weighted mean. */
static void test_pure_nugget(void **state) {
    (void)state;
    foci_variogram_bin bins[] = {{10, 5, 9}, {20, 10, 7}, {30, 15, 5}, {30, 20, 4}};
    foci_semivariances s = {4, bins, 5, 20, 0};
    foci_error err = {0};
    foci_variogram model = {0};
    assert_done(foci_variogram_fit(&model, &s, foci_correlation_find("exponential"), 0, &err), err);
    double weights = 10 / 25.0 + 20 / 100.0 + 30 / 225.0 + 30 / 400.0;
    double mean = (9 * 10 / 25.0 + 7 * 20 / 100.0 + 5 * 30 / 225.0 + 4 * 30 / 400.0) / weights;
    assert_near(model.nugget + model.partial_sill, mean, 1e-9);
    assert_true(model.partial_sill >= 0);
    assert_true(model.range >= 0.5 && model.range <= 200);
}

static void test_constant_and_too_few(void **state) {
    (void)state;
    foci_variogram_bin bins[] = {{10, 5, 0}, {20, 10, 0}, {5, 15, 0}};
    foci_semivariances s = {2, bins, 5, 20, 0};
    foci_error err = {0};
    foci_variogram model = {0};
    assert_done(foci_variogram_fit(&model, &s, NULL, 0, &err), err);
    assert_string_equal(model.fit, "constant");
    assert_near(model.nugget + model.partial_sill, 0, 0);
    assert_true(model.range > 0 && model.ratio == 1 && model.kind);
    bins[0].semivariance = 2.385;
    assert_fails(foci_variogram_fit(&model, &s, NULL, 0, &err), err, FOCI_NO_FIT, "{surface} idw");
    s.count = 0;
    assert_fails(foci_variogram_fit(&model, &s, NULL, 0, &err), err, FOCI_NO_FIT, "{variogram}");
    assert_string_equal(model.fit, "constant");
}

static bool attempt(foci_error *err) {
    foci_variogram_bin bins[] = {{10, 5, 1}, {20, 10, 2}, {30, 15, 4}, {30, 20, 3}};
    foci_semivariances s = {4, bins, 5, 20, 0};
    foci_variogram model = {0};
    return foci_variogram_fit(&model, &s, NULL, 0, err);
}

static void test_each_allocation(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_meuse_reaches_the_minimum),
        cmocka_unit_test(test_no_mesh_point_is_better),
        cmocka_unit_test(test_exact_model_comes_back),
        cmocka_unit_test(test_best_of_the_catalogue),
        cmocka_unit_test(test_pure_nugget),
        cmocka_unit_test(test_constant_and_too_few),
        cmocka_unit_test(test_each_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
