/* What a plan begins with: the field, the disease, earlier surveys of it, and what is to be written down. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/places/projection.h"
#include "decide/seasons/seasons_guards.h"
#include "fieldfoci/words.h"
#include "run/plan/plan_work.h"
#include "run/steps/labels.h"
#include "run/steps/recall.h"

#define LEAST_OVERLAP 0.95
#define UNITS_ASSUMED 20.0

/* ---- field and earlier surveys ---- */

static bool read_boundary(foci_plan_work *work, foci_error *err) {
    const foci_survey_options *survey = &work->settings->survey;
    foci_field_options field = survey->field;
    foci_findings findings = {0};
    foci_stops none = {0};
    char work_crs[256];
    field.crs = survey->stops.crs;
    bool ok = foci_field_read(&work->plan.field, survey->boundary, &field, &findings, err) &&
              foci_field_project(&work->plan.field, &none, survey->work_crs, work_crs, &findings, err);
    for (size_t i = 0; ok && i < findings.count; i++)
        ok = foci_sentences_add(&work->plan.messages, err, "%s", findings.items[i].text);
    foci_findings_free(&findings);
    return ok;
}

/* The newest survey's own, where none is named. */
static bool take_boundary(foci_plan_work *work, const foci_survey *survey, foci_error *err) {
    const foci_field *from = &survey->field;
    foci_field *field = &work->plan.field;
    if (!foci_field_take(field, from->input.file, from->name, &from->lonlat, err) ||
        !foci_multipolygon_copy(&field->shape, &from->shape, err))
        return false;
    memcpy(field->work_crs, from->work_crs, sizeof field->work_crs);
    return true;
}

static bool add_survey(foci_plan_work *work, const char *folder, const char *work_crs, foci_error *err) {
    char key[65];
    if (work->count == FOCI_PLAN_EARLIER_MOST)
        return foci_fail(err, FOCI_BAD_SETTING, "{earlier}", 0, "%d surveys at most", FOCI_PLAN_EARLIER_MOST);
    if (!foci_recall_folder(&work->surveys[work->count], key, folder, work_crs, err))
        return false;
    work->names[work->count] = foci_copy_text(folder, err);
    return work->names[work->count++] != NULL;
}

static bool read_surveys(foci_plan_work *work, const char *lines, const char *work_crs, foci_error *err) {
    while (*lines) {
        const size_t length = strcspn(lines, "\n");
        char *folder = foci_format_text(err, "%.*s", (int)length, lines);
        const bool ok = folder && add_survey(work, folder, work_crs, err);
        free(folder);
        if (!ok)
            return false;
        if (!work_crs)
            work_crs = work->surveys[0].work_crs;
        lines += length + (lines[length] == '\n');
    }
    return true;
}

static bool check_survey(const foci_plan_work *work, size_t s, foci_error *err) {
    const foci_survey *survey = &work->surveys[s];
    double overlap = 0;
    if (!foci_seasons_overlap(&overlap, &work->plan.field, &survey->field, err))
        return false;
    if (overlap < LEAST_OVERLAP)
        return foci_fail(err, FOCI_BAD_INPUT, work->names[s], 0,
                         "is of another field: the boundaries have %.0f %% in common, and 95 %% is needed; name a "
                         "survey of this field",
                         floor(100 * overlap));
    return s == 0 || foci_seasons_guard_pair(&work->surveys[0], survey, work->names[s], err);
}

/* Which of them are of the season that is planned for. */
static bool find_current(foci_plan_work *work, foci_error *err) {
    for (size_t s = 0; s < work->count; s++) {
        const char *season = work->surveys[s].season;
        const bool current = strcmp(season, work->plan.season) == 0;
        if (current)
            work->current = s;
        if (!foci_sentences_add(&work->plan.messages, err, "%s%s%s is read as a survey of %s (--season says otherwise)",
                                work->names[s], *season ? " of " : "", season,
                                current ? "this season" : "an earlier season"))
            return false;
    }
    return true;
}

/* ---- disease and labels ---- */

static bool read_profile(foci_plan_work *work, const char *disease, foci_error *err) {
    work->plan.has_profile = disease && foci_profile_read(&work->plan.profile, disease, err);
    return work->plan.has_profile || !disease;
}

static char *label(const char *text, foci_error *err) {
    char *copy = foci_copy_text(text, err);
    if (copy)
        foci_words_one_line(copy);
    return copy;
}

static bool set_labels(foci_plan_work *work, const foci_survey_options *survey, foci_error *err) {
    foci_plan *plan = &work->plan;
    char year[5] = "";
    if (!foci_labels_made(plan->made, err))
        return false;
    memcpy(year, plan->made, 4);
    plan->title = label(survey->title ? survey->title : "", err);
    plan->season = label(survey->season ? survey->season : year, err);
    plan->paper = survey->paper;
    plan->row_heading = survey->row_heading;
    return plan->title && plan->season;
}

static bool find_heading(foci_plan_work *work, foci_error *err) {
    double convergence = 0;
    work->heading = NAN;
    if (isnan(work->plan.row_heading))
        return true;
    if (!foci_meridian_convergence(&convergence, work->plan.field.work_crs, work->plan.field.centre, err))
        return false;
    work->heading = fmod(work->plan.row_heading - convergence + 360, 360);
    return true;
}

bool foci_plan_read(foci_plan_work *work, foci_error *err) {
    const foci_survey_options *survey = &work->settings->survey;
    const foci_plan_options *options = &work->settings->plan;
    const char *lines = options->digs ? options->digs : options->earlier;
    work->plan.of_digs = options->digs != NULL;
    work->plan.pattern = options->digs ? NULL : options->pattern ? options->pattern : foci_layout_patterns;
    const bool drawn = survey->boundary && !options->digs;
    if ((drawn && !read_boundary(work, err)) ||
        (lines && !read_surveys(work, lines, drawn ? work->plan.field.work_crs : survey->work_crs, err)) ||
        (!drawn && !take_boundary(work, &work->surveys[work->count - 1], err)))
        return false;
    for (size_t s = 0; s < work->count; s++)
        if (!check_survey(work, s, err))
            return false;
    const foci_survey *last = work->count > 0 ? &work->surveys[work->count - 1] : NULL;
    const char *disease = survey->disease ? survey->disease : last ? last->used.disease : NULL;
    if (!read_profile(work, disease, err) || !set_labels(work, survey, err) || !find_heading(work, err))
        return false;
    if (last && isnan(work->plan.row_heading)) {
        work->plan.row_heading = last->used.row_heading;
        if (!find_heading(work, err))
            return false;
    }
    return options->digs || find_current(work, err);
}

/* ---- what is written down ---- */

typedef struct {
    const char *value, *hits, *checked; /* as named */
} columns;

/* The options', else the last survey's, else the profile's, else counts. */
static columns choose_columns(const foci_plan_work *work, bool *assumed) {
    const foci_stops_options *stops = &work->settings->survey.stops;
    const foci_survey *last = work->count > 0 ? &work->surveys[work->count - 1] : NULL;
    const foci_profile *profile = &work->plan.profile;
    *assumed = false;
    if (stops->value || stops->hits)
        return (columns){stops->hits ? NULL : stops->value, stops->hits, stops->checked};
    if (last && (last->used.stops.value || last->used.stops.hits))
        return (columns){last->used.stops.hits ? NULL : last->used.stops.value, last->used.stops.hits,
                         stops->checked ? stops->checked : last->used.stops.checked};
    if (work->plan.has_profile && *profile->hits_column)
        return (columns){NULL, profile->hits_column, stops->checked ? stops->checked : profile->checked_column};
    if (work->plan.has_profile && *profile->value_column)
        return (columns){profile->value_column, NULL, NULL};
    *assumed = !stops->checked;
    return (columns){NULL, "hits", stops->checked};
}

static double mean_units(const foci_plan_work *work) {
    double sum = 0, count = 0;
    for (size_t s = 0; s < work->count; s++)
        for (size_t i = 0; i < work->surveys[s].readings.count; i++) {
            sum += work->surveys[s].readings.checked[i];
            count++;
        }
    return count > 0 && sum > 0 ? floor(sum / count + 0.5) : UNITS_ASSUMED;
}

static bool set_counts(foci_plan_work *work, const columns *named, foci_error *err) {
    foci_plan_reading *reading = &work->plan.reading;
    double units = NAN;
    const bool stated = named->checked && foci_number_parse(named->checked, &units);
    if (stated && !(units >= 1 && units <= FOCI_CHECKED_MOST && units == floor(units)))
        return foci_fail(err, FOCI_BAD_SETTING, "{checked}", 0, "'%s' is no number of units; give 1 to %.0f",
                         named->checked, FOCI_CHECKED_MOST);
    reading->kind = FOCI_READING_COUNT;
    reading->units_stated = stated;
    reading->units_why = stated ? "as stated" : work->count > 0 ? "as in the earlier surveys" : "assumed";
    reading->units = stated ? units : mean_units(work);
    reading->hits = foci_copy_text(named->hits, err);
    reading->checked = foci_copy_text(!stated && named->checked && *named->checked ? named->checked : "checked", err);
    return reading->hits && reading->checked;
}

static const char *unit_of(const foci_plan_work *work) {
    const foci_plan *plan = &work->plan;
    const bool counts = plan->reading.kind == FOCI_READING_COUNT;
    if (plan->has_profile && *plan->profile.unit && (!counts || *plan->profile.hits_column))
        return plan->profile.unit;
    return counts ? "percent of units infected" : plan->reading.value;
}

/* "lon", "lat" and the like would be taken for others when the form is read. */
static bool check_names(const foci_plan_reading *reading, foci_error *err) {
    static const char *const taken[] = {"lon", "lat", "stop", "date", "note", "plan"};
    const char *names[] = {reading->value, reading->hits, reading->checked};
    static const char *const options[] = {"{value}", "{hits}", "{checked}"};
    for (size_t i = 0; i < 3; i++)
        for (size_t k = 0; names[i] && k < sizeof taken / sizeof *taken; k++)
            if (foci_text_same(names[i], taken[k]))
                return foci_fail(err, FOCI_BAD_SETTING, options[i], 0,
                                 "the form has another column '%s'; choose another name", taken[k]);
    return true;
}

bool foci_plan_choose_reading(foci_plan_work *work, foci_error *err) {
    foci_plan_reading *reading = &work->plan.reading;
    bool assumed = false;
    const columns named = choose_columns(work, &assumed);
    work->threshold = work->settings->survey.surface.threshold;
    if (isnan(work->threshold) && work->count > 0)
        work->threshold = work->surveys[work->count - 1].used.surface.threshold;
    if (isnan(work->threshold) && work->plan.has_profile)
        work->threshold = work->plan.profile.threshold;
    if (named.hits) {
        if (!set_counts(work, &named, err))
            return false;
    } else {
        reading->kind = FOCI_READING_VALUE;
        reading->units = NAN;
        if (!(reading->value = foci_copy_text(named.value, err)))
            return false;
    }
    if (!(reading->unit = foci_copy_text(unit_of(work), err)) || !check_names(reading, err))
        return false;
    return !assumed ||
           foci_sentences_add(&work->plan.messages, err,
                              "no reading is named, so the form has the columns hits and checked: infected units of "
                              "units looked at (--value COLUMN for a score, --disease PROFILE for its own)");
}
