/* What the `variogram` command hands out: its numbers as JSON, or a picture. */
#include "fieldfoci/survey.h"

#include <stdlib.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "fieldfoci/map.h"
#include "run/speak.h"
#include "run/summary_parts.h"

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

bool foci_survey_draw_variogram(const foci_survey *survey, const foci_semivariances *semivariances,
                                const foci_variogram *model, foci_error *err) {
    const foci_settings *settings = &survey->settings;
    foci_error inner = {0};
    bool ok = false;
    if (!foci_deliver_may_write(settings->out, settings->overwrite, err))
        return false;
    char *temporary = foci_deliver_beside(settings->out, err);
    if (!temporary)
        return false;
    if (foci_variogram_picture_write(semivariances, model, survey->round.stops.unit, survey->round.made, temporary,
                                     &inner)) {
        ok = foci_deliver_file(temporary, settings->out, settings->overwrite, err);
    } else {
        foci_speak_of(err, &inner, temporary, settings->out);
        foci_unfinished_remove(temporary);
    }
    free(temporary);
    return ok;
}
