#include "fieldfoci/summary.h"

#include "keep/summary_parts.h"

static bool put_precision(foci_json *root, const foci_plan *plan, foci_error *err) {
    const foci_plan_precision *p = &plan->precision;
    foci_json *object = foci_summary_child(root, "precision", err);
    return object && foci_json_put_number(object, "mean", p->mean, err) &&
           foci_json_put_number(object, "units", plan->reading.units, err) &&
           foci_json_put_number(object, "aggregation", p->aggregation, err) &&
           foci_json_put_number(object, "cv", p->cv, err) &&
           foci_json_put_number(object, "half_width_90", p->half_width, err);
}

static bool put_detection(foci_json *root, const foci_plan *plan, foci_error *err) {
    const foci_plan_detection *d = &plan->detection;
    foci_json *object = foci_summary_child(root, "detection", err);
    return object && foci_json_put_number(object, "share_in_patch", d->share, err) &&
           (d->patch_ha > 0 ? foci_json_put_number(object, "patch_ha", d->patch_ha, err)
                            : foci_json_put_null(object, "patch_ha", err)) &&
           foci_json_put_number(object, "chance", d->chance, err) &&
           foci_json_put_number(object, "chance_of_a_stop", d->one_stop, err) &&
           foci_json_put_number(object, "found_ha", d->sure_ha, err) &&
           foci_json_put_number(object, "found_chance", d->wanted, err);
}

static bool put_layout(foci_json *root, const foci_plan *plan, foci_error *err) {
    const foci_layout *layout = &plan->layout;
    return foci_json_put_text(root, "pattern", plan->pattern ? plan->pattern->name : "digs", err) &&
           foci_json_put_whole(root, "stops", (long long)layout->count, err) &&
           foci_json_put_number(root, "spacing_m", layout->spacing, err) &&
           foci_json_put_number(root, "margin_m", layout->margin, err) &&
           foci_json_put_number(root, "walk_m", layout->walk, err) &&
           foci_json_put_number(root, "variance_left", layout->after / layout->variance, err);
}

char *foci_plan_summary(const foci_plan *plan, foci_error *err) {
    foci_json *root = foci_json_object(err);
    char *text = NULL;
    if (root && put_layout(root, plan, err) &&
        (plan->of_digs || (put_precision(root, plan, err) && put_detection(root, plan, err))) &&
        foci_summary_put_sentences(root, "sentences", &plan->facts, err) &&
        foci_summary_put_sentences(root, "cautions", &plan->cautions, err) &&
        foci_summary_put_sentences(root, "warnings", &plan->warnings, err))
        text = foci_json_print(root, err);
    foci_json_free(root);
    return text;
}
