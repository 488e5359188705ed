#include "fieldfoci/summary.h"

#include <math.h>

#include "keep/summary_parts.h"

static bool put_fact(foci_json *parent, const char *key, const foci_fact *fact, foci_error *err) {
    foci_json *object = foci_summary_child(parent, key, err);
    return object && foci_json_put_text(object, "text", fact->text, err) &&
           foci_json_put_text(object, "source", fact->source, err);
}

static bool put_facts(foci_json *parent, const char *key, const foci_fact *facts, size_t count, foci_error *err) {
    foci_json *array = foci_summary_child_array(parent, key, err);
    for (size_t i = 0; array && i < count; i++) {
        foci_json *object = foci_summary_next_child(array, err);
        if (!object || !foci_json_put_text(object, "text", facts[i].text, err) ||
            !foci_json_put_text(object, "source", facts[i].source, err))
            return false;
    }
    return array != NULL;
}

static bool put_too_late(foci_json *root, const foci_profile *profile, foci_error *err) {
    if (!*profile->too_late.text)
        return foci_json_put_null(root, "too_late_in_season", err);
    foci_json *object = foci_summary_child(root, "too_late_in_season", err);
    return object && foci_json_put_text(object, "text", profile->too_late.text, err) &&
           foci_json_put_text(object, "source", profile->too_late.source, err) &&
           foci_json_put_bool(object, "at_symptoms", profile->too_late_in_season, err) &&
           (*profile->next_season ? foci_json_put_text(object, "next_season", profile->next_season, err)
                                  : foci_json_put_null(object, "next_season", err));
}

static bool put_fact_or_null(foci_json *root, const char *key, const foci_fact *fact, foci_error *err) {
    return *fact->text ? put_fact(root, key, fact, err) : foci_json_put_null(root, key, err);
}

static bool put_dig(foci_json *root, const foci_profile *profile, foci_error *err) {
    if (!*profile->dig.text)
        return foci_json_put_null(root, "dig", err);
    foci_json *object = foci_summary_child(root, "dig", err);
    return object && foci_json_put_bool(object, "first", profile->dig_first, err) &&
           foci_json_put_text(object, "text", profile->dig.text, err) &&
           foci_json_put_text(object, "source", profile->dig.source, err);
}

/* What a walker needs: where it lives, where and when it shows, what to look for, whether to dig. */
static bool put_signs(foci_json *root, const foci_profile *profile, foci_error *err) {
    return put_fact(root, "habitat", &profile->habitat, err) && put_fact(root, "seen", &profile->seen, err) &&
           put_fact_or_null(root, "when", &profile->when, err) &&
           (profile->look_for_count ? put_facts(root, "look_for", profile->look_for, profile->look_for_count, err)
                                    : foci_json_put_null(root, "look_for", err)) &&
           put_dig(root, profile, err) && put_fact_or_null(root, "diagnosis", &profile->diagnosis, err);
}

static bool put_columns(foci_json *root, const foci_profile *profile, foci_error *err) {
    foci_json *limits = NULL;
    if (profile->least < profile->most ? !(limits = foci_summary_child_array(root, "limits", err)) ||
                                             !foci_json_add_number(limits, profile->least, err) ||
                                             !foci_json_add_number(limits, profile->most, err)
                                       : !foci_json_put_null(root, "limits", err))
        return false;
    return foci_json_put_text(root, "scale", *profile->scale ? profile->scale : NULL, err) &&
           foci_json_put_text(root, "value_column", *profile->value_column ? profile->value_column : NULL, err) &&
           foci_json_put_text(root, "hits_column", *profile->hits_column ? profile->hits_column : NULL, err) &&
           foci_json_put_text(root, "checked_column", *profile->checked_column ? profile->checked_column : NULL, err);
}

static bool put_aggregation(foci_json *root, const foci_profile *profile, foci_error *err) {
    if (isnan(profile->theta))
        return foci_json_put_null(root, "aggregation", err);
    foci_json *object = foci_summary_child(root, "aggregation", err);
    return object && foci_json_put_number(object, "theta", profile->theta, err) &&
           foci_json_put_text(object, "text", profile->aggregation.text, err) &&
           foci_json_put_text(object, "source", profile->aggregation.source, err);
}

char *foci_profile_summary(const foci_profile *profile, foci_error *err) {
    char *text = NULL;
    foci_json *root = foci_json_object(err);
    if (root && foci_json_put_text(root, "name", profile->name, err) &&
        foci_json_put_text(root, "title", profile->title, err) &&
        foci_json_put_text(root, "crop", profile->crop, err) &&
        foci_json_put_text(root, "cause", profile->cause, err) &&
        foci_json_put_text(root, "lives_in", foci_habitat_name(profile->lives_in), err) &&
        put_signs(root, profile, err) && foci_json_put_text(root, "unit", profile->unit, err) &&
        put_columns(root, profile, err) &&
        foci_json_put_text(root, "rated", *profile->rated ? profile->rated : NULL, err) &&
        foci_json_put_bool(root, "laboratory", profile->laboratory, err) &&
        put_fact(root, "laboratory_why", &profile->laboratory_why, err) &&
        foci_json_put_number(root, "threshold", profile->threshold, err) &&
        put_fact(root, "threshold_why", &profile->threshold_why, err) && put_too_late(root, profile, err) &&
        put_fact_or_null(root, "margin", &profile->margin, err) && put_aggregation(root, profile, err) &&
        put_facts(root, "look_alikes", profile->look_alikes, profile->look_alike_count, err) &&
        put_facts(root, "cautions", profile->cautions, profile->caution_count, err))
        text = foci_json_print(root, err);
    foci_json_free(root);
    return text;
}
