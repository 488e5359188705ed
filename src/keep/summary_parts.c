#include "keep/summary_parts.h"

#include <math.h>

#include "data/files/vector_file.h"
#include "data/places/projection.h"

foci_json *foci_summary_child(foci_json *parent, const char *key, foci_error *err) {
    foci_json *object = foci_json_object(err);
    return object && foci_json_put(parent, key, object, err) ? object : NULL;
}

foci_json *foci_summary_child_array(foci_json *parent, const char *key, foci_error *err) {
    foci_json *array = foci_json_array(err);
    return array && foci_json_put(parent, key, array, err) ? array : NULL;
}

foci_json *foci_summary_next_child(foci_json *array, foci_error *err) {
    foci_json *object = foci_json_object(err);
    return object && foci_json_add(array, object, err) ? object : NULL;
}

bool foci_summary_put_place(foci_json *parent, const char *key, foci_point place, foci_error *err) {
    foci_json *pair = foci_summary_child_array(parent, key, err);
    return pair && foci_json_add_number(pair, place.x, err) && foci_json_add_number(pair, place.y, err);
}

bool foci_summary_put_sentences(foci_json *parent, const char *key, const foci_sentences *sentences, foci_error *err) {
    foci_json *array = foci_summary_child_array(parent, key, err);
    if (!array)
        return false;
    for (size_t i = 0; i < sentences->count; i++)
        if (!foci_json_add_text(array, sentences->items[i], err))
            return false;
    return true;
}

bool foci_summary_put_program(foci_json *root, const char *made, foci_error *err) {
    foci_json *program = foci_summary_child(root, "program", err);
    return program && foci_json_put_text(program, "name", "fieldfoci", err) &&
           foci_json_put_text(program, "version", FOCI_VERSION, err) &&
           foci_json_put_text(program, "gdal", foci_vector_file_version(), err) &&
           foci_json_put_text(program, "proj", foci_projection_version(), err) &&
           foci_json_put_text(root, "made", made, err);
}

bool foci_summary_put_field(foci_json *root, const foci_survey *round, foci_error *err) {
    if (!round->field.input.file)
        return foci_json_put_null(root, "field", err);
    foci_json *field = foci_summary_child(root, "field", err);
    return field && foci_json_put_text(field, "name", round->field.name, err) &&
           foci_json_put_number(field, "area_ha", round->field.area_ha, err) &&
           foci_summary_put_place(field, "centre", round->field.centre, err) &&
           foci_json_put_text(field, "work_crs", round->work_crs, err);
}

bool foci_summary_put_disease(foci_json *root, const foci_survey *round, foci_error *err) {
    if (!round->has_profile)
        return foci_json_put_null(root, "disease", err);
    const foci_profile *profile = &round->profile;
    foci_json *disease = foci_summary_child(root, "disease", err);
    return disease && foci_json_put_text(disease, "name", profile->name, err) &&
           foci_json_put_text(disease, "title", profile->title, err) &&
           foci_json_put_text(disease, "cause", profile->cause, err) &&
           foci_json_put_text(disease, "lives_in", foci_habitat_name(profile->lives_in), err) &&
           foci_json_put_text(disease, "seen", profile->seen.text, err) &&
           foci_json_put_bool(disease, "laboratory", profile->laboratory, err) &&
           foci_json_put_bool(disease, "too_late_in_season", profile->too_late_in_season, err);
}

bool foci_summary_put_model(foci_json *parent, const char *key, const foci_variogram *model, foci_error *err) {
    if (!model || !model->kind)
        return foci_json_put_null(parent, key, err);
    foci_json *object = foci_summary_child(parent, key, err);
    return object && foci_json_put_text(object, "model", model->kind->name, err) &&
           foci_json_put_number(object, "nugget", model->nugget, err) &&
           foci_json_put_number(object, "partial_sill", model->partial_sill, err) &&
           foci_json_put_number(object, "range_m", model->range, err) &&
           foci_json_put_number(object, "heading_deg", model->heading, err) &&
           foci_json_put_number(object, "ratio", model->ratio, err) &&
           foci_json_put_number(object, "smoothness", model->kind->has_smoothness ? model->smoothness : NAN, err) &&
           foci_json_put_number(object, "practical_range_m", foci_variogram_practical_range(model), err) &&
           foci_json_put_text(object, "fit", model->fit, err) &&
           foci_json_put_number(object, "squares", model->squares, err);
}

bool foci_summary_fill_cross_validation(foci_json *object, const foci_cross_validation *check, foci_error *err) {
    return foci_json_put_whole(object, "n", (long long)check->n, err) &&
           foci_json_put_number(object, "mean_error", check->mean_error, err) &&
           foci_json_put_number(object, "rmse", check->rmse, err) &&
           foci_json_put_number(object, "mean_squared_deviation_ratio", check->mean_squared_deviation_ratio, err) &&
           foci_json_put_number(object, "coverage_90", check->coverage_90, err) &&
           foci_json_put_number(object, "log_score", check->log_score, err);
}
