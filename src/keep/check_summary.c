#include "keep/check_summary.h"

#include <math.h>
#include <stdlib.h>

#include "fieldfoci/first_look.h"
#include "keep/summary_parts.h"

enum { SHOWN = 5 }; /* at either end */

static bool put_stop(foci_json *array, const foci_survey *survey, const foci_stop *stop, foci_error *err) {
    double low = NAN, high = NAN;
    if (isfinite(stop->hits) && stop->checked > 0 && stop->hits <= stop->checked)
        foci_share_interval(stop->hits, stop->checked, &low, &high);
    foci_json *object = foci_summary_next_child(array, err);
    return object && foci_json_put_text(object, "stop", stop->name, err) &&
           foci_json_put_text(object, "file", survey->stops.inputs[stop->input].file, err) &&
           foci_json_put_whole(object, "row", stop->row, err) &&
           foci_json_put_number(object, "lon", stop->lonlat.x, err) &&
           foci_json_put_number(object, "lat", stop->lonlat.y, err) &&
           foci_json_put_text(object, "date", *stop->date ? stop->date : NULL, err) &&
           foci_json_put_text(object, "rater", stop->rater, err) &&
           foci_json_put_number(object, "hits", stop->hits, err) &&
           foci_json_put_number(object, "checked", stop->checked, err) &&
           foci_json_put_number(object, "value", stop->value, err) && foci_json_put_number(object, "low", low, err) &&
           foci_json_put_number(object, "high", high, err) && foci_json_put_bool(object, "used", stop->used, err) &&
           foci_json_put_text(object, "why", *stop->why ? stop->why : NULL, err);
}

static bool put_each(foci_json *root, const foci_survey *survey, foci_error *err) {
    foci_json *array = foci_summary_child_array(root, "each", err);
    for (size_t i = 0; array && i < survey->stops.count; i++)
        if (!put_stop(array, survey, &survey->stops.items[i], err))
            return false;
    return array != NULL;
}

static bool put_end(foci_json *root, const char *key, const foci_survey *survey, bool lowest_first, foci_error *err) {
    size_t *order = NULL, count = 0;
    foci_json *array = foci_summary_child_array(root, key, err);
    bool ok = array && foci_stops_ranked(&order, &count, &survey->stops, lowest_first, err);
    for (size_t i = 0; ok && i < count && i < SHOWN; i++)
        ok = put_stop(array, survey, &survey->stops.items[order[i]], err);
    free(order);
    return ok;
}

static bool put_groups(foci_json *root, const char *key, const char *name, const foci_reading_groups *groups,
                       foci_error *err) {
    foci_json *array = foci_summary_child_array(root, key, err);
    for (size_t i = 0; array && i < groups->count; i++) {
        const foci_reading_group *group = &groups->items[i];
        foci_json *object = foci_summary_next_child(array, err);
        if (!object || !foci_json_put_text(object, name, *group->name ? group->name : NULL, err) ||
            !foci_json_put_whole(object, "stops", (long long)group->stops, err) ||
            !foci_json_put_number(object, "mean", group->mean, err) ||
            !foci_json_put_number(object, "hits", group->hits, err) ||
            !foci_json_put_number(object, "checked", group->checked, err))
            return false;
    }
    return array != NULL;
}

bool foci_check_summary_put(foci_json *root, const foci_survey *survey, foci_error *err) {
    foci_reading_groups days = {0}, raters = {0};
    bool ok = put_each(root, survey, err) && put_end(root, "highest", survey, false, err) &&
              put_end(root, "lowest", survey, true, err) && foci_reading_groups_by_day(&days, &survey->stops, err) &&
              foci_reading_groups_by_rater(&raters, &survey->stops, err) &&
              put_groups(root, "days", "date", &days, err) && put_groups(root, "raters", "rater", &raters, err);
    foci_reading_groups_free(&days);
    foci_reading_groups_free(&raters);
    return ok;
}
