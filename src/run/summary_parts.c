#include "run/summary_parts.h"

#include <math.h>

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

bool foci_summary_fill_cross_check(foci_json *object, const foci_cross_check *check, foci_error *err) {
    return foci_json_put_whole(object, "n", (long long)check->n, err) &&
           foci_json_put_number(object, "mean_error", check->mean_error, err) &&
           foci_json_put_number(object, "rmse", check->rmse, err) &&
           foci_json_put_number(object, "mean_squared_deviation_ratio", check->mean_squared_deviation_ratio, err) &&
           foci_json_put_number(object, "coverage_90", check->coverage_90, err) &&
           foci_json_put_number(object, "log_score", check->log_score, err);
}
