#include "fieldfoci/summary.h"

#include "keep/summary_parts.h"

char *foci_variogram_summary(const foci_semivariances *semivariances, const foci_variogram *model, foci_error *err) {
    char *text = NULL;
    foci_json *root = foci_json_object(err);
    foci_json *bins = root ? foci_summary_child_array(root, "bins", err) : NULL;
    for (size_t i = 0; bins && i < semivariances->count; i++) {
        const foci_variogram_bin *bin = &semivariances->bins[i];
        foci_json *object = foci_summary_next_child(bins, err);
        if (!object || !foci_json_put_whole(object, "pairs", (long long)bin->pairs, err) ||
            !foci_json_put_number(object, "distance", bin->distance, err) ||
            !foci_json_put_number(object, "semivariance", bin->semivariance, err))
            goto done;
    }
    if (bins && foci_summary_put_model(root, "model", model, err) &&
        foci_json_put_number(root, "lag_m", semivariances->lag, err) &&
        foci_json_put_number(root, "farthest_m", semivariances->farthest, err) &&
        foci_json_put_whole(root, "stops", (long long)semivariances->stops, err))
        text = foci_json_print(root, err);
done:
    foci_json_free(root);
    return text;
}
