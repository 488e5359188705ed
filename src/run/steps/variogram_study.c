/* The picture that the `variogram` command hands out. */
#include "fieldfoci/survey.h"

#include <stdlib.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "fieldfoci/map.h"

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
        foci_deliver_pass_on(err, &inner, temporary, settings->out);
        foci_unfinished_remove(temporary);
    }
    free(temporary);
    return ok;
}
