#include "fieldfoci/survey.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

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

/* Every text in them. */
#define AT(member) offsetof(foci_survey_options, member)
static const size_t texts[] = {
    AT(boundary),      AT(field.crs),     AT(field.name),  AT(field.column), AT(field.layer), AT(stops.value),
    AT(stops.hits),    AT(stops.checked), AT(stops.rater), AT(stops.id),     AT(stops.when),  AT(stops.from),
    AT(stops.to),      AT(stops.crs),     AT(stops.xy),    AT(stops.layer),  AT(stops.unit),  AT(stops.scale_of),
    AT(stops.classes), AT(work_crs),      AT(disease),     AT(even_so),      AT(earlier),     AT(season),
    AT(title),         AT(photo),         AT(credit),      AT(marks),        AT(letter_from),
};
enum { TEXTS = sizeof texts / sizeof *texts };

static const char **text_at(foci_survey_options *options, size_t index) {
    return (const char **)((char *)options + texts[index]);
}

bool foci_survey_options_copy(foci_survey_options *out, const foci_survey_options *options, foci_error *err) {
    foci_survey_options copy = *options;
    bool ok = true;
    for (size_t i = 0; i < TEXTS; i++)
        if (*text_at(&copy, i)) {
            char *text = ok ? foci_copy_text(*text_at(&copy, i), err) : NULL;
            ok = text != NULL;
            *text_at(&copy, i) = text;
        }
    if (ok)
        *out = copy;
    else
        foci_survey_options_free(&copy);
    return ok;
}

void foci_survey_options_free(foci_survey_options *copy) {
    for (size_t i = 0; i < TEXTS; i++) {
        free((void *)*text_at(copy, i));
        *text_at(copy, i) = NULL;
    }
}
