/* The picture that the `check` command hands out. */
#include "base/deliver.h"
#include "fieldfoci/map.h"
#include "fieldfoci/steps.h"

static bool write_picture(const void *content, const char *path, foci_error *err) {
    return foci_dot_map_write_png(content, path, err);
}

bool foci_survey_draw_dots(const foci_survey *survey, const char *file, bool overwrite, foci_error *err) {
    if (!foci_survey_is_at(survey, FOCI_STAGE_CHECKED, err))
        return false;
    if (!survey->field.input.file)
        return foci_fail(err, FOCI_BAD_SETTING, "{field}", 0, "is needed to draw the stops in; name the boundary");
    return foci_deliver_written(file, overwrite, write_picture, survey, err);
}
