#include "fieldfoci/economics.h"

#include "support/support.h"

/* Cost 60, price 0.55 per kg, yield 4500 kg/ha, efficacy 0.6: an illustration, worked by hand. The two losses per locus
 * and 30.5 m of row, 0.9 % and 2.9 %, are those of Bowen et al. (1992). */
static const foci_economics_crop low = {0.55 * 4500, 0.009, 0.6}, high = {0.55 * 4500, 0.029, 0.6};
static const double cost = 60;

static void test_threshold_of_the_worked_case(void **unused) {
    (void)unused;
    assert_near(foci_economics_loss(&low, 1) / low.efficacy, 22.275, 1e-9);
    assert_near(foci_economics_loss(&high, 1) / high.efficacy, 71.775, 1e-9);
    assert_near(foci_economics_threshold(&low, cost), 4.489, 5e-4);
    assert_near(foci_economics_threshold(&high, cost), 1.393, 5e-4);
    assert_near(foci_economics_loss(&low, foci_economics_threshold(&low, cost)), cost, 1e-9);
}

/* 2.9 % per locus would take more than all of the yield from 34.5 loci on. */
static void test_loss_is_capped(void **unused) {
    (void)unused;
    assert_near(foci_economics_loss(&high, 34.4), 2475 * 0.029 * 34.4 * 0.6, 1e-9);
    assert_near(foci_economics_loss(&high, 34.5), 1485, 1e-9);
    assert_near(foci_economics_loss(&high, 71.3), 1485, 1e-9);
    assert_near(foci_economics_loss(&high, -2.5), 0, 0);
}

static void test_no_threshold_where_treating_never_pays(void **unused) {
    (void)unused;
    const foci_economics_crop harmless = {2475, 0, 0.6};
    assert_true(isinf(foci_economics_threshold(&low, 1485.3)));
    assert_near(foci_economics_threshold(&low, 1485), 1 / 0.009, 1e-9);
    assert_true(isinf(foci_economics_threshold(&harmless, cost)));
}

/* Hits 0, 1, 2, 4, 8, 12 on 5, 4, 4, 3, 2, 2 ha: net per hectare -60 ... 100.38; the whole field -344.64; only where it
 * pays 294.60, on 4 of 20 ha. A zone's mean share of the full loss stands for its chance. */
static void test_spot_against_whole_field(void **unused) {
    (void)unused;
    static const double hits[] = {0, 1, 2, 4, 8, 12}, hectares[] = {5, 4, 4, 3, 2, 2};
    static const double net[] = {-60, -46.635, -33.27, -6.54, 46.92, 100.38};
    foci_zones zones = {0};
    foci_economics result;
    foci_error err = {0};
    for (size_t i = 0; i < 6; i++) {
        assert_near(foci_economics_loss(&low, hits[i]) - cost, net[i], 1e-9);
        foci_zone *zone = &zones.items[net[i] > 0 ? FOCI_ZONE_TREAT : net[i] > -50 ? FOCI_ZONE_DIG : FOCI_ZONE_LEAVE];
        double all = zone->area_ha + hectares[i];
        zone->chance = (zone->chance * zone->area_ha + 0.009 * hits[i] * hectares[i]) / all;
        zone->area_ha = all;
    }
    assert_done(foci_economics_expect(&result, &zones, &(foci_economics_options){cost, 1485}, &err), err);
    assert_near(result.whole.net, -344.64, 1e-9);
    assert_near(result.whole.net_share, -344.64 / 20, 1e-9);
    assert_near(result.whole.treated_ha, 20, 1e-12);
    assert_near(result.zones.net, 294.60, 1e-9);
    assert_near(result.zones.net_share, 294.60 / 20, 1e-9);
    assert_near(result.zones.treated_ha, 4, 1e-12);
    assert_near(result.nothing.net, 0, 0);
    assert_near(result.least_chance, 60.0 / 1485, 1e-15);
}

static void test_nothing_to_treat(void **unused) {
    (void)unused;
    foci_zones zones = {.items = {{.area_ha = 7.3, .chance = 0.11}, {.chance = NAN}, {.chance = NAN}}};
    foci_economics result;
    foci_error err = {0};
    assert_done(foci_economics_expect(&result, &zones, &(foci_economics_options){31.5, 120}, &err), err);
    assert_near(result.zones.net, 0, 0);
    assert_near(result.zones.treated_ha, 0, 0);
    assert_near(result.whole.net, 7.3 * (0.11 * 120 - 31.5), 1e-9);
}

static void test_without_chances_nothing_is_known(void **unused) {
    (void)unused;
    foci_zones zones = {.items = {{.area_ha = 7.3, .chance = NAN}, {.chance = NAN}, {.area_ha = 1.2, .chance = NAN}}};
    foci_economics result;
    foci_error err = {0};
    assert_done(foci_economics_expect(&result, &zones, &(foci_economics_options){31.5, 120}, &err), err);
    assert_near(result.zones.net, NAN, 0);
    assert_near(result.whole.net, NAN, 0);
    assert_near(result.zones.treated_ha, 1.2, 0);
}

static void test_impossible_amounts(void **unused) {
    (void)unused;
    static const foci_economics_options wrong[] = {{-1, 120},  {NAN, 120},  {INFINITY, 120}, {31.5, 0},
                                                   {31.5, -3}, {31.5, NAN}, {31.5, INFINITY}};
    const foci_zones zones = {0};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        foci_economics result = {.least_chance = 2.385};
        foci_error err;
        assert_fails(foci_economics_expect(&result, &zones, &wrong[i], &err), err, FOCI_BAD_SETTING, "per hectare");
        assert_near(result.least_chance, 2.385, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_threshold_of_the_worked_case),
        cmocka_unit_test(test_loss_is_capped),
        cmocka_unit_test(test_no_threshold_where_treating_never_pays),
        cmocka_unit_test(test_spot_against_whole_field),
        cmocka_unit_test(test_nothing_to_treat),
        cmocka_unit_test(test_without_chances_nothing_is_known),
        cmocka_unit_test(test_impossible_amounts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
