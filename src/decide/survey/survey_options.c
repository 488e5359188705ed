#include "fieldfoci/round.h"

#include <math.h>

foci_survey_options foci_survey_options_make(void) {
    foci_survey_options options = {
        .field = foci_field_options_make(),
        .stops = foci_stops_options_make(),
        .row_heading = NAN,
        .surface = foci_surface_options_make(),
        .pattern = foci_pattern_options_make(),
        .hotspots = foci_hotspots_options_make(),
        .zones = foci_zones_options_make(),
        .lane_through = {NAN, NAN},
        .economics = foci_economics_options_make(),
        .digs = foci_dig_points_options_make(),
        .gate = {NAN, NAN},
        .seed = 1,
        .paper = foci_paper_find(NULL),
    };
    options.surface.neighbours = FOCI_OPEN;
    options.surface.scale = FOCI_SCALE_OPEN;
    options.hotspots.least_area_ha = NAN;
    options.zones.dig_chance = NAN;
    return options;
}
