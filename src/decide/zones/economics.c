#include "fieldfoci/economics.h"

#include <math.h>

static foci_economics_choice choose(double treated_ha, double passed_ha, double field_ha,
                                    const foci_economics_options *options) {
    double net = passed_ha * options->loss - treated_ha * options->cost;
    return (foci_economics_choice){treated_ha, net, field_ha > 0 ? net / field_ha : NAN};
}

bool foci_economics_expect(foci_economics *out, const foci_zones *zones, const foci_economics_options *options,
                           foci_error *err) {
    double field_ha = 0, passed_ha = 0; /* expected area in which the threshold is passed */
    if (!(options->cost >= 0) || !isfinite(options->cost))
        return foci_fail(err, FOCI_BAD_SETTING, "{cost}", 0, "%g is no cost per hectare; give a number from 0 up",
                         options->cost);
    if (!(options->loss > 0) || !isfinite(options->loss))
        return foci_fail(err, FOCI_BAD_SETTING, "{loss}", 0, "%g is no loss per hectare; give a number above 0",
                         options->loss);
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        const foci_zone *zone = &zones->items[code];
        field_ha += zone->area_ha;
        passed_ha += zone->area_ha > 0 ? zone->area_ha * zone->chance : 0;
    }
    const foci_zone *treat = &zones->items[FOCI_ZONE_TREAT];
    *out = (foci_economics){
        .zones = choose(treat->area_ha, treat->area_ha > 0 ? treat->area_ha * treat->chance : 0, field_ha, options),
        .whole = choose(field_ha, passed_ha, field_ha, options),
        .nothing = choose(0, 0, field_ha, options),
        .least_chance = options->cost / options->loss,
    };
    return true;
}

double foci_economics_loss(const foci_economics_crop *crop, double severity) {
    return crop->value * fmin(1, crop->share * fmax(0, severity)) * crop->efficacy;
}

double foci_economics_threshold(const foci_economics_crop *crop, double cost) {
    double most = crop->value * crop->efficacy;
    return crop->share > 0 && most >= cost && most > 0 ? cost / (most * crop->share) : INFINITY;
}

foci_economics_options foci_economics_options_make(void) {
    return (foci_economics_options){.cost = NAN, .loss = NAN};
}
