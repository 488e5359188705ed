/* The picture that the `variogram` command hands out. */
#include "fieldfoci/steps.h"

#include "base/deliver.h"
#include "fieldfoci/map.h"

typedef struct {
    const foci_survey *round;
    const foci_semivariances *semivariances;
    const foci_variogram *model;
} picture;

static bool write_picture(const void *content, const char *path, foci_error *err) {
    const picture *of = content;
    return foci_variogram_picture_write(of->semivariances, of->model, of->round->stops.unit, of->round->made, path,
                                        err);
}

bool foci_survey_draw_variogram(const foci_survey *survey, const foci_semivariances *semivariances,
                                const foci_variogram *model, const char *file, bool overwrite, foci_error *err) {
    const picture of = {survey, semivariances, model};
    return foci_deliver_written(file, overwrite, write_picture, &of, err);
}
