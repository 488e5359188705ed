#include "run/steps/recall.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "data/stops/by_scale.h"
#include "data/stops/stops_take.h"
#include "run/settings/job.h"
#include "run/steps/labels.h"
#include "run/steps/look.h"
#include "keep/survey_folder.h"

/* The job's options and files of stops become the survey's. */
static bool take_job(foci_survey *survey, foci_settings *settings, foci_error *err) {
    survey->inputs = settings->inputs;
    survey->input_count = settings->input_count;
    settings->inputs = NULL;
    settings->input_count = 0;
    return foci_look_begin(survey, &settings->survey, err);
}

static bool recall_job(foci_survey *survey, const foci_kept_survey *kept, const char *work_crs, foci_error *err) {
    foci_settings settings = foci_settings_make();
    bool ok = foci_job_take(&settings, kept->job, kept->name, kept->folder, FOCI_FOR_MAP, err) &&
              (!work_crs || foci_settings_set(&settings, "work-crs", work_crs, FOCI_FOR_MAP, err)) &&
              take_job(survey, &settings, err);
    foci_settings_free(&settings);
    return ok;
}

static bool recall_profile(foci_survey *round, const foci_survey_options *used, const char *name, foci_error *err) {
    foci_error inner = {0};
    if (!used->disease)
        return true;
    round->has_profile = foci_profile_read(&round->profile, used->disease, &inner);
    if (round->has_profile || inner.status == FOCI_NO_MEMORY)
        return round->has_profile || foci_fail(err, inner.status, NULL, 0, "%s", inner.text);
    return foci_fail(err, inner.status == FOCI_BAD_SETTING ? FOCI_BAD_INPUT : inner.status, name, 0,
                     "was mapped with the disease profile '%.150s', which cannot be read now (%.200s); put it back "
                     "there",
                     used->disease, inner.text);
}

/* The columns have the names of the layer, the unit and what a reading can be are those of the original ones. */
static bool columns_of(foci_stops_options *out, const foci_survey_options *used, const foci_survey *round,
                       foci_error *err) {
    foci_stops_options first;
    if (!foci_look_reading(&first, used, round->has_profile ? &round->profile : NULL, err))
        return false;
    const bool counts = first.hits != NULL;
    *out = (foci_stops_options){.hits = counts ? "hits" : NULL,
                                .checked = counts ? "checked" : NULL,
                                .value = counts ? NULL : "value",
                                .unit = first.classes ? FOCI_INDEX_UNIT
                                        : first.unit  ? first.unit
                                                      : first.value,
                                .scale_of = first.classes ? NULL : first.scale_of,
                                .percents = true,
                                .rating = first.rating,
                                .least = first.least,
                                .most = first.most,
                                .id = "stop",
                                .when = "date"};
    return true;
}

static bool recall_stops(foci_survey *round, const foci_survey_options *used, const foci_kept_survey *kept,
                         foci_error *err) {
    foci_stops_options columns;
    const size_t count = kept->stops->row_count;
    char crs[] = "EPSG:4326";
    if (!columns_of(&columns, used, round, err))
        return false;
    foci_point *places = foci_new_array(count, sizeof *places, err);
    if (!places)
        return false;
    for (size_t i = 0; i < count; i++) {
        const foci_shape *shape = &kept->stops->shapes[i];
        places[i] = shape->kind == FOCI_SHAPE_POINT ? shape->point : (foci_point){NAN, NAN};
    }
    foci_point_table points = {.table = *kept->stops, .own = places, .lonlat = places, .crs = crs};
    bool ok = foci_stops_take(&round->stops, kept->name, &points, &columns, err);
    free(places);
    return ok;
}

static double number_in(const foci_table *table, size_t row, const char *column) {
    long index = foci_table_column(table, column);
    return index < 0 ? NAN : table->cells[row * table->column_count + (size_t)index].number;
}

/* Stops that came in the work system keep their coordinates to the last digit. */
static void keep_own_places(foci_stops *stops, const foci_table *table) {
    for (size_t i = 0; i < stops->count; i++) {
        const foci_point own = {number_in(table, i, "east"), number_in(table, i, "north")};
        if (isfinite(own.x) && isfinite(own.y))
            stops->items[i].place = own;
    }
}

static bool recall_round(foci_survey *round, const foci_survey_options *used, const foci_kept_survey *kept, bool own,
                         foci_error *err) {
    foci_error unfit = {0};
    if (!recall_profile(round, used, kept->name, err) ||
        !foci_field_take(&round->field, kept->name, kept->field, kept->boundary, err) ||
        !recall_stops(round, used, kept, err) ||
        !foci_field_project(&round->field, &round->stops, used->work_crs, round->work_crs, &round->findings, err))
        return false;
    if (own)
        keep_own_places(&round->stops, kept->stops);
    return foci_look_check(round, &unfit) || foci_fail(err, unfit.status, kept->name, 0, "%s", unfit.text);
}

bool foci_recall(foci_survey *out, const foci_kept_survey *kept, const char *work_crs, foci_error *err) {
    foci_survey survey = {0};
    const char *first = foci_json_text(foci_json_get(kept->job, "work-crs"));
    const bool own = !work_crs || (first && strcmp(first, work_crs) == 0);
    bool ok = recall_job(&survey, kept, work_crs, err) && recall_round(&survey, &survey.used, kept, own, err) &&
              foci_labels_make(&survey, &survey.used, err);
    survey.stage = FOCI_STAGE_CHECKED;
    if (ok)
        *out = survey;
    else
        foci_survey_free(&survey);
    return ok;
}

bool foci_recall_folder(foci_survey *out, char key[65], const char *path, const char *work_crs, foci_error *err) {
    foci_survey_folder folder = {0};
    if (!foci_survey_folder_read(&folder, path, err))
        return false;
    const foci_kept_survey kept = {.name = path,
                                   .job = foci_json_get(folder.root, "job"),
                                   .folder = path,
                                   .field = foci_survey_folder_text(&folder, "field", "name"),
                                   .boundary = &folder.layers[FOCI_LAYER_FIELD].shapes[0].area,
                                   .stops = &folder.layers[FOCI_LAYER_STOPS]};
    bool ok = foci_recall(out, &kept, work_crs, err);
    if (ok)
        memcpy(key, folder.sha256, sizeof folder.sha256);
    foci_survey_folder_free(&folder);
    return ok;
}

bool foci_survey_recall(foci_survey *out, const char *folder, foci_error *err) {
    char key[65];
    return foci_recall_folder(out, key, folder, NULL, err);
}
