#include <stdlib.h>

#include "base/memory.h"
#include "estimate/surface/surface_layers.h"

void foci_surface_places_free(foci_surface_places *places) {
    free(places->cells);
    free(places->places);
    free(places->answers.estimate);
    free(places->answers.variance);
    free(places->answers.low);
    free(places->answers.high);
    free(places->answers.chance);
    *places = (foci_surface_places){0};
}

static bool new_numbers(double **numbers, size_t count, bool wanted, foci_error *err) {
    return !wanted || (*numbers = foci_new_array(count, sizeof **numbers, err)) != NULL;
}

bool foci_surface_places_make(foci_surface_places *out, size_t count, bool with_variance, bool with_chance,
                              foci_error *err) {
    foci_surface_places places = {.count = count};
    places.cells = foci_new_array(count, sizeof *places.cells, err);
    places.places = places.cells ? foci_new_array(count, sizeof *places.places, err) : NULL;
    if (!places.places || !new_numbers(&places.answers.estimate, count, true, err) ||
        !new_numbers(&places.answers.variance, count, with_variance, err) ||
        !new_numbers(&places.answers.low, count, with_variance, err) ||
        !new_numbers(&places.answers.high, count, with_variance, err) ||
        !new_numbers(&places.answers.chance, count, with_variance && with_chance, err)) {
        foci_surface_places_free(&places);
        return false;
    }
    *out = places;
    return true;
}
