/* seasons.json: the keys of the contract. */
#include <math.h>

#include "fieldfoci/summary.h"
#include "keep/summary_parts.h"

/* [expected, low, high], or null where it was not compared. */
static bool put_area(foci_json *parent, const char *key, const foci_estimate *area, foci_error *err) {
    if (isnan(area->value))
        return foci_json_put_null(parent, key, err);
    foci_json *array = foci_summary_child_array(parent, key, err);
    return array && foci_json_add_number(array, area->value, err) && foci_json_add_number(array, area->low, err) &&
           foci_json_add_number(array, area->high, err);
}

static bool put_season(foci_json *array, const foci_seasons *seasons, size_t s, foci_error *err) {
    const foci_survey *round = &seasons->rounds[s];
    foci_json *object = foci_summary_next_child(array, err);
    return object && foci_json_put_text(object, "season", foci_seasons_label(seasons, s), err) &&
           foci_json_put_text(object, "survey", seasons->surveys[s], err) &&
           foci_json_put_text(object, "sha256", seasons->keys[s], err) &&
           foci_json_put_text(object, "first_date", *round->first_date ? round->first_date : NULL, err) &&
           foci_json_put_text(object, "last_date", *round->last_date ? round->last_date : NULL, err) &&
           foci_json_put_number(object, "threshold", round->threshold, err) &&
           foci_json_put_text(object, "unit", round->stops.unit, err) &&
           put_area(object, "hot_ha", &seasons->persistence.hot[s], err) &&
           foci_json_put_whole(object, "stops", (long long)round->readings.count, err) &&
           foci_json_put_text(object, "surface", round->method.method->name, err) &&
           foci_json_put_text(object, "pattern", round->has_pattern ? foci_verdict_name(round->pattern.verdict) : NULL,
                              err);
}

static bool put_seasons(foci_json *root, const foci_seasons *seasons, foci_error *err) {
    foci_json *array = foci_summary_child_array(root, "seasons", err);
    bool ok = array != NULL;
    for (size_t s = 0; ok && s < seasons->count; s++)
        ok = put_season(array, seasons, s, err);
    return ok;
}

static bool put_classes(foci_json *root, const foci_seasons *seasons, foci_error *err) {
    const bool compared = seasons->persistence.class_code != NULL;
    foci_json *classes = foci_summary_child(root, "classes", err);
    for (int code = FOCI_CLASS_ALWAYS; classes && code >= 0; code--) {
        foci_json *object = foci_summary_child(classes, foci_class_name((foci_class)code), err);
        if (!object || !put_area(object, "area_ha", &seasons->persistence.classes[code], err))
            return false;
    }
    return classes && foci_json_put_number(classes, "unsure_map_ha", compared ? seasons->places.unsure_ha : NAN, err);
}

static bool put_pair(foci_json *array, const foci_seasons *seasons, const foci_season_pair *pair, foci_error *err) {
    foci_json *object = foci_summary_next_child(array, err);
    return object && foci_json_put_text(object, "first", foci_seasons_label(seasons, pair->first), err) &&
           foci_json_put_text(object, "second", foci_seasons_label(seasons, pair->second), err) &&
           put_area(object, "both_ha", &pair->both, err) && put_area(object, "only_first_ha", &pair->only_first, err) &&
           put_area(object, "only_second_ha", &pair->only_second, err) &&
           put_area(object, "neither_ha", &pair->neither, err) &&
           foci_json_put_number(object, "jaccard", pair->jaccard, err) &&
           foci_json_put_number(object, "dice", pair->dice, err) &&
           foci_json_put_number(object, "kappa", pair->kappa, err) &&
           foci_json_put_number(object, "persistence", pair->rho, err) &&
           foci_json_put_number(object, "overlap_p", pair->p, err) &&
           foci_json_put_text(object, "verdict", pair->verdict, err) &&
           foci_json_put_text(object, "why_not", pair->why_not, err) &&
           put_area(object, "overlap_by_chance_ha", &pair->by_chance, err) &&
           foci_json_put_number(object, "likelihood_ratio", pair->ratio, err) &&
           foci_json_put_number(object, "correlation", pair->correlation, err) &&
           foci_json_put_number(object, "effective_sample", pair->effective, err);
}

static bool put_pairs(foci_json *root, const foci_seasons *seasons, foci_error *err) {
    foci_json *array = foci_summary_child_array(root, "pairs", err);
    bool ok = array != NULL;
    for (size_t i = 0; ok && i < seasons->persistence.pair_count; i++)
        ok = put_pair(array, seasons, &seasons->persistence.pairs[i], err);
    return ok;
}

static bool put_hot_seasons(foci_json *object, const foci_seasons *seasons, const foci_class_place *place,
                            foci_error *err) {
    foci_json *array = foci_summary_child_array(object, "seasons", err);
    bool ok = array != NULL;
    for (size_t s = 0; ok && s < seasons->count; s++)
        ok = !place->hot[s] || foci_json_add_text(array, foci_seasons_label(seasons, s), err);
    return ok;
}

/* The places that were hot in some season, by their numbers on the map. */
static bool put_hotspots(foci_json *root, const foci_seasons *seasons, foci_error *err) {
    foci_json *array = foci_summary_child_array(root, "hotspots", err);
    for (size_t i = 0; array && i < seasons->places.count; i++) {
        const foci_class_place *place = &seasons->places.items[i];
        if (place->id == 0)
            continue;
        foci_json *object = foci_summary_next_child(array, err);
        if (!object || !foci_json_put_whole(object, "id", place->id, err) ||
            !foci_json_put_text(object, "class", foci_class_name(place->code), err) ||
            !foci_json_put_number(object, "area_ha", place->area_ha, err) ||
            !put_hot_seasons(object, seasons, place, err) ||
            !foci_json_put_number(object, "chance", place->chance, err) ||
            !foci_summary_put_place(object, "centre", place->centre, err))
            return false;
    }
    return array != NULL;
}

char *foci_seasons_summary(const foci_seasons *seasons, foci_error *err) {
    const foci_survey *newest = &seasons->rounds[seasons->count - 1];
    char *text = NULL;
    foci_json *root = foci_json_object(err);
    if (root && foci_summary_put_program(root, seasons->made, err) &&
        foci_json_put_text(root, "title", *seasons->title ? seasons->title : NULL, err) &&
        foci_summary_put_field(root, newest, err) && foci_summary_put_disease(root, newest, err) &&
        foci_json_put_text(root, "method", seasons->persistence.method, err) &&
        foci_json_put_number(root, "cell_m", seasons->grid.cell, err) && put_seasons(root, seasons, err) &&
        put_classes(root, seasons, err) && put_pairs(root, seasons, err) && put_hotspots(root, seasons, err) &&
        foci_summary_put_sentences(root, "sentences", &seasons->sentences, err) &&
        foci_summary_put_sentences(root, "even_so", &seasons->even_so, err) &&
        foci_summary_put_sentences(root, "cautions", &seasons->cautions, err) &&
        foci_summary_put_sentences(root, "warnings", &seasons->warnings, err))
        text = foci_json_print(root, err);
    foci_json_free(root);
    return text;
}
