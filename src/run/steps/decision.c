#include "run/steps/decision.h"

#include <math.h>
#include <stdlib.h>

#include "fieldfoci/words.h"
#include "base/memory.h"
#include "decide/words/warnings.h"
#include "data/places/projection.h"

/* Whether the chance to treat at comes from cost and loss. */
static bool by_cost(const foci_survey_options *options) {
    return !isnan(options->economics.cost) && !isnan(options->economics.loss);
}

/* Where nothing is said. */
static double own_dig_chance(void) {
    return foci_zones_options_make().dig_chance;
}

static bool check_costs(const foci_economics_options *economics, foci_error *err) {
    if (isnan(economics->cost) != isnan(economics->loss))
        return foci_fail(err, FOCI_BAD_SETTING, isnan(economics->cost) ? "{loss}" : "{cost}", 0,
                         "cost and loss go together; give %s too", isnan(economics->cost) ? "{cost}" : "{loss}");
    return !(economics->cost > economics->loss) ||
           foci_fail(err, FOCI_BAD_SETTING, "{cost}", 0,
                     "treating at %g costs more than the loss of %g that it avoids, so it never pays", economics->cost,
                     economics->loss);
}

bool foci_decision_check(const foci_survey_options *options, foci_error *err) {
    const double treat = options->hotspots.treat_chance;
    const double dig = isnan(options->zones.dig_chance) ? own_dig_chance() : options->zones.dig_chance;
    if (!check_costs(&options->economics, err))
        return false;
    if (!by_cost(options) && dig > treat)
        return foci_fail(err, FOCI_BAD_SETTING, "{dig-chance}", 0,
                         "%g is above {treat-chance} %g; make it at most that", dig, treat);
    if (options->zones.least_run > 0 && !(options->zones.swath > 0))
        return foci_fail(err, FOCI_BAD_SETTING, "{least-run}", 0, "needs lanes to run along; give {swath} too");
    return isnan(options->lane_through.x) || options->zones.swath > 0 ||
           foci_fail(err, FOCI_BAD_SETTING, "{lane-through}", 0, "needs lanes; give {swath} too");
}

static void choose_chances(foci_survey_options *used) {
    double *dig = &used->zones.dig_chance;
    if (by_cost(used))
        used->hotspots.treat_chance = used->economics.cost / used->economics.loss;
    if (isnan(*dig))
        *dig = by_cost(used) ? fmin(own_dig_chance(), used->hotspots.treat_chance) : own_dig_chance();
}

/* A disease that does not live in the soil has no pockets that stay: no zones, unless someone says why. */
static bool guard_zones(foci_survey *round, const foci_survey_options *used, foci_error *err) {
    round->has_zones = true;
    if (!round->has_profile || foci_habitat_keeps_places(round->profile.lives_in))
        return true;
    if (used->even_so)
        return foci_say_zones_even_so(round, used->even_so, err);
    round->has_zones = false;
    round->no_zones_why = foci_words_no_pockets(round, err);
    return round->no_zones_why != NULL;
}

static bool choose_lanes(foci_zones_options *zones, const foci_survey *round, const foci_survey_options *used,
                         foci_error *err) {
    foci_projection *projection = NULL;
    *zones = used->zones;
    zones->row_heading = round->row_heading;
    if (isnan(used->lane_through.x))
        return true;
    zones->lane_through = used->lane_through;
    if (!foci_projection_open(&projection, "EPSG:4326", round->work_crs, err))
        return false;
    foci_projection_forward(projection, &zones->lane_through, 1);
    foci_projection_close(projection);
    zones->has_lane_through = true;
    return isfinite(zones->lane_through.x) || foci_fail(err, FOCI_BAD_SETTING, "{lane-through}", 0,
                                                        "lies too far from the field; check longitude, latitude");
}

static bool choose_digs(foci_survey *round, const foci_survey_options *used, const foci_execution *how,
                        foci_error *err) {
    foci_dig_points_options options = used->digs;
    options.gate = isnan(used->gate.x) ? NULL : &used->gate;
    options.seed = (unsigned long)used->seed;
    options.row_heading = round->row_heading;
    options.treat_chance = round->hotspots_options.treat_chance;
    options.dig_chance = round->zones_options.dig_chance;
    options.spacing = round->readings.spacing;
    return options.count == 0 ||
           foci_dig_points_choose(&round->digs, &round->model, &round->surface, &round->grid, &round->field,
                                  &round->readings, &round->hotspots, &round->zones, &options, how, err);
}

static bool weigh_economics(foci_survey *round, const foci_survey_options *used, foci_error *err) {
    if (!by_cost(used) || round->pattern.verdict != FOCI_VERDICT_PATCHY)
        return true;
    round->economics_options = used->economics;
    round->has_economics = foci_economics_expect(&round->economics, &round->zones, &round->economics_options, err);
    return round->has_economics;
}

/* What the map says where no stop speaks is a guess: that ground is marked, and never treated. */
static bool find_gaps(foci_survey *round, foci_error *err) {
    free(round->unspoken);
    round->unspoken = foci_new_array(round->grid.columns * round->grid.rows, sizeof *round->unspoken, err);
    return round->unspoken &&
           foci_gaps_find(&round->gaps, round->unspoken, &round->readings, &round->grid, &round->field.shape,
                          &round->model.facts.variogram, err) &&
           foci_find_gaps(round, err);
}

/* A patch that half a spacing squared would cover hangs on one stop: its outline is finer than the stops can draw. */
#define LEAST_OF_SPACING 0.25

static void choose_least_area(foci_survey_options *used, double spacing) {
    if (isnan(used->hotspots.least_area_ha))
        used->hotspots.least_area_ha = isnan(spacing) ? 0 : LEAST_OF_SPACING * spacing * spacing / 1e4;
}

/* Too few stops make no zones, and neither do stops that show no pattern. */
static bool heed_verdict(foci_survey *round, foci_error *err) {
    const foci_verdict verdict = round->pattern.verdict;
    if (verdict != FOCI_VERDICT_TOO_FEW && verdict != FOCI_VERDICT_NO_PATTERN)
        return true;
    round->has_zones = false;
    round->no_zones_why = foci_words_no_zones(round, err);
    return round->no_zones_why != NULL;
}

/* Hotspots and zones. Where the stops cannot tell whether there is a pattern, none of the ground is a hotspot, and what
 * would be treated is dug. */
static bool draw_zones(foci_survey *round, foci_error *err) {
    foci_hotspots_options hot = round->hotspots_options;
    const size_t cells = round->grid.columns * round->grid.rows;
    bool *everywhere = NULL;
    if (round->pattern.verdict == FOCI_VERDICT_UNCLEAR) {
        everywhere = foci_new_array(cells, sizeof *everywhere, err);
        if (!everywhere)
            return false;
        for (size_t cell = 0; cell < cells; cell++)
            everywhere[cell] = true;
        hot.unspoken = everywhere;
    }
    bool ok = foci_hotspots_find(&round->hotspots, &round->surface, &round->grid, &round->field, &round->readings, &hot,
                                 err) &&
              foci_zones_draw(&round->zones, &round->hotspots, &round->surface, &round->grid, &round->field, &hot,
                              &round->zones_options, err);
    free(everywhere);
    return ok;
}

bool foci_decision_make(foci_survey *round, foci_survey_options *used, const foci_execution *how, foci_error *err) {
    choose_chances(used);
    if (!guard_zones(round, used, err))
        return false;
    const bool worth_digging = round->has_zones;
    if (round->has_zones && !heed_verdict(round, err))
        return false;
    if (round->pattern.verdict == FOCI_VERDICT_TOO_FEW)
        return true;
    if (!find_gaps(round, err))
        return false;
    choose_least_area(used, round->gaps.spacing);
    round->hotspots_options = used->hotspots;
    round->hotspots_options.threshold = round->threshold;
    round->hotspots_options.row_heading = round->row_heading;
    round->hotspots_options.unspoken = round->unspoken;
    if (!choose_lanes(&round->zones_options, round, used, err))
        return false;
    if (round->has_zones && (!draw_zones(round, err) || !weigh_economics(round, used, err)))
        return false;
    return !worth_digging || choose_digs(round, used, how, err);
}
