#include "run/steps/decision.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fieldfoci/words.h"
#include "base/memory.h"
#include "base/text.h"
#include "data/places/projection.h"

static bool parse_place(foci_point *out, const char *option, const char *text, foci_error *err) {
    const char *comma = strchr(text, ',');
    char longitude[64] = "";
    if (comma && (size_t)(comma - text) < sizeof longitude)
        memcpy(longitude, text, (size_t)(comma - text));
    if (!comma || !foci_number_parse(longitude, &out->x) || !foci_number_parse(comma + 1, &out->y))
        return foci_fail(err, FOCI_BAD_SETTING, option, 0,
                         "'%s' is not a place; write longitude,latitude in degrees, as in -84.5012,31.5003", text);
    if (fabs(out->x) > 180 || fabs(out->y) > 90)
        return foci_fail(err, FOCI_BAD_SETTING, option, 0, "'%s' is off the globe; the longitude comes first", text);
    return true;
}

/* Whether the chance to treat at comes from cost and loss. */
static bool by_cost(const foci_settings *settings) {
    return !isnan(settings->cost) && !isnan(settings->loss);
}

bool foci_decision_check(const foci_settings *settings, foci_error *err) {
    foci_point place = {0};
    if (isnan(settings->cost) != isnan(settings->loss))
        return foci_fail(err, FOCI_BAD_SETTING, isnan(settings->cost) ? "--loss" : "--cost", 0,
                         "cost and loss go together; give %s too", isnan(settings->cost) ? "--cost" : "--loss");
    if (by_cost(settings) && settings->cost > settings->loss)
        return foci_fail(err, FOCI_BAD_SETTING, "--cost", 0,
                         "treating at %g costs more than the loss of %g that it avoids, so it never pays",
                         settings->cost, settings->loss);
    if (!by_cost(settings) && settings->dig_chance > settings->treat_chance)
        return foci_fail(err, FOCI_BAD_SETTING, "--dig-chance", 0,
                         "%g is above --treat-chance %g; make it at most that", settings->dig_chance,
                         settings->treat_chance);
    if (settings->least_run > 0 && isnan(settings->swath))
        return foci_fail(err, FOCI_BAD_SETTING, "--least-run", 0, "needs lanes to run along; give --swath too");
    if (settings->lane_through && isnan(settings->swath))
        return foci_fail(err, FOCI_BAD_SETTING, "--lane-through", 0, "needs lanes; give --swath too");
    return (!settings->lane_through || parse_place(&place, "--lane-through", settings->lane_through, err)) &&
           (!settings->gate || parse_place(&place, "--gate", settings->gate, err));
}

static void choose_chances(foci_settings *settings) {
    if (!by_cost(settings))
        return;
    settings->treat_chance = settings->cost / settings->loss;
    if (!foci_settings_is_given(settings, "dig-chance"))
        settings->dig_chance = fmin(settings->dig_chance, settings->treat_chance);
}

/* A disease that does not live in the soil has no pockets that stay: no zones, unless someone says why. */
static bool guard_zones(foci_round *round, const foci_settings *settings, foci_error *err) {
    round->has_zones = true;
    if (!round->has_profile || round->profile.lives_in == FOCI_LIVES_SOIL)
        return true;
    if (settings->even_so)
        return foci_sentences_add(&round->even_so, err, "Zones are drawn although %s does not live in the soil: %s",
                                  round->profile.title, settings->even_so);
    round->has_zones = false;
    round->no_zones_why =
        foci_format_text(err, "%s does not live in the soil, so no zones are drawn; go by the field's average. %s",
                         round->profile.title, round->profile.habitat.text);
    return round->no_zones_why != NULL;
}

static bool choose_lanes(foci_zones_options *zones, const foci_round *round, const foci_settings *settings,
                         foci_error *err) {
    foci_projection *projection = NULL;
    zones->dig_chance = settings->dig_chance;
    zones->margin = settings->margin;
    zones->swath = isnan(settings->swath) ? 0 : settings->swath;
    zones->least_run = settings->least_run;
    zones->row_heading = round->row_heading;
    if (!settings->lane_through)
        return true;
    if (!parse_place(&zones->lane_through, "--lane-through", settings->lane_through, err) ||
        !foci_projection_open(&projection, "EPSG:4326", round->work_crs, err))
        return false;
    foci_projection_forward(projection, &zones->lane_through, 1);
    foci_projection_close(projection);
    zones->has_lane_through = true;
    return isfinite(zones->lane_through.x) || foci_fail(err, FOCI_BAD_SETTING, "--lane-through", 0,
                                                        "lies too far from the field; check longitude, latitude");
}

static bool choose_digs(foci_round *round, const foci_settings *settings, const foci_execution *how, foci_error *err) {
    foci_point gate = {0};
    const foci_dig_points_options options = {
        .count = (size_t)settings->digs,
        .gate = settings->gate ? &gate : NULL,
        .seed = (unsigned long)settings->seed,
        .row_heading = round->row_heading,
        .treat_chance = round->hotspots_options.treat_chance,
        .dig_chance = round->zones_options.dig_chance,
        .spacing = round->spacing,
    };
    if (options.count == 0)
        return true;
    if (settings->gate && !parse_place(&gate, "--gate", settings->gate, err))
        return false;
    return foci_dig_points_choose(&round->digs, &round->model, &round->surface, &round->grid, &round->field,
                                  &round->readings, &round->hotspots, &round->zones, &options, how, err);
}

static bool weigh_economics(foci_round *round, const foci_settings *settings, foci_error *err) {
    if (!by_cost(settings) || round->pattern.verdict != FOCI_VERDICT_PATCHY)
        return true;
    round->economics_options = (foci_economics_options){.cost = settings->cost, .loss = settings->loss};
    round->has_economics = foci_economics_expect(&round->economics, &round->zones, &round->economics_options, err);
    return round->has_economics;
}

/* More of the field than this share, and the person who acts must know. */
#define GAPS_WORTH_SAYING 0.02

static bool say_gaps(foci_round *round, foci_error *err) {
    static const char end[] =
        "the map is a guess, and nothing there is marked Treat. Walk it before anyone acts on it.";
    const foci_gaps *gaps = &round->gaps;
    const double percent = 100 * gaps->share;
    char reach[FOCI_WORDS_SIZE];
    foci_words_length(reach, gaps->reach, foci_paper_measures(round->paper));
    if (gaps->one_line)
        return foci_findings_add(&round->findings, "gaps", FOCI_WARNING, NULL, NULL, 0, err,
                                 "About %.0f %% of the field lies off the one line that was walked: there %s", percent,
                                 end);
    return foci_findings_add(&round->findings, "gaps", FOCI_WARNING, NULL, NULL, 0, err,
                             "About %.0f %% of the field is more than %s from any stop: there %s", percent, reach, end);
}

static bool tell_gaps(foci_round *round, foci_error *err) {
    const foci_findings *findings = &round->findings;
    return !(round->gaps.share > GAPS_WORTH_SAYING) ||
           (say_gaps(round, err) &&
            foci_findings_trust(&round->findings, err, "%s", findings->items[findings->count - 1].text));
}

/* What the map says where no stop speaks is a guess: that ground is marked, and never treated. */
static bool find_gaps(foci_round *round, foci_error *err) {
    free(round->unspoken);
    round->unspoken = foci_new_array(round->grid.columns * round->grid.rows, sizeof *round->unspoken, err);
    return round->unspoken &&
           foci_gaps_find(&round->gaps, round->unspoken, &round->readings, &round->grid, &round->field.shape,
                          &round->model.facts.variogram, err) &&
           tell_gaps(round, err);
}

/* A patch that half a spacing squared would cover hangs on one stop: its outline is finer than the stops can draw. */
#define LEAST_OF_SPACING 0.25

static void choose_least_area(foci_settings *settings, double spacing) {
    if (isnan(settings->least_area))
        settings->least_area = isnan(spacing) ? 0 : LEAST_OF_SPACING * spacing * spacing / 1e4;
}

/* Too few stops make no zones, and neither do stops that show no pattern. */
static bool heed_verdict(foci_round *round, foci_error *err) {
    const foci_verdict verdict = round->pattern.verdict;
    if (verdict != FOCI_VERDICT_TOO_FEW && verdict != FOCI_VERDICT_NO_PATTERN)
        return true;
    round->has_zones = false;
    if (verdict == FOCI_VERDICT_TOO_FEW)
        round->no_zones_why = foci_format_text(
            err, "%zu stops are too few for a map and for zones; a map takes at least %d, spread over the field.",
            round->readings.count, FOCI_STOPS_FOR_MAP);
    else
        round->no_zones_why = foci_copy_text(
            "No pattern was found among the stops, so no zones are drawn; go by the field's average.", err);
    return round->no_zones_why != NULL;
}

/* Hotspots and zones. Where the stops cannot tell whether there is a pattern, none of the ground is a hotspot, and what
 * would be treated is dug. */
static bool draw_zones(foci_round *round, foci_error *err) {
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

bool foci_decision_make(foci_round *round, foci_settings *settings, const foci_execution *how, foci_error *err) {
    choose_chances(settings);
    if (!guard_zones(round, settings, err))
        return false;
    const bool worth_digging = round->has_zones;
    if (round->has_zones && !heed_verdict(round, err))
        return false;
    if (round->pattern.verdict == FOCI_VERDICT_TOO_FEW)
        return true;
    if (!find_gaps(round, err))
        return false;
    choose_least_area(settings, round->gaps.spacing);
    round->hotspots_options = (foci_hotspots_options){.treat_chance = settings->treat_chance,
                                                      .threshold = round->threshold,
                                                      .least_area_ha = settings->least_area,
                                                      .row_heading = round->row_heading,
                                                      .unspoken = round->unspoken};
    if (!choose_lanes(&round->zones_options, round, settings, err))
        return false;
    if (round->has_zones && (!draw_zones(round, err) || !weigh_economics(round, settings, err)))
        return false;
    return !worth_digging || choose_digs(round, settings, how, err);
}
