#include "data/stops/stops_take.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/stops/by_scale.h"
#include "data/stops/date_column.h"
#include "data/stops/columns.h"
#include "data/stops/file_columns.h"
#include "data/stops/point_table.h"
#include "data/stops/rated_column.h"

/* The options as they are used: dates read, --checked told apart. */
typedef struct {
    const foci_stops_options *options;
    bool counts;
    double checked; /* where --checked is a number, else NaN */
    char from[11], to[11];
    char first[11], last[11]; /* the dates that were seen */
} reading_plan;

/* ---- options ---- */

static bool plan_kind(reading_plan *plan, foci_error *err) {
    const foci_stops_options *options = plan->options;
    if (options->value && options->hits)
        return foci_fail(err, FOCI_BAD_SETTING, "{value}", 0,
                         "cannot be given together with {hits}; name one kind of reading");
    if (!options->value && !options->hits && !options->checked && !options->classes)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0,
                         "no reading is named; give {value} COLUMN for scores, or {hits} COLUMN and {checked} "
                         "COLUMN_OR_NUMBER for counts");
    if (!options->hits && options->checked)
        return foci_fail(err, FOCI_BAD_SETTING, "{checked}", 0, "goes with {hits} COLUMN, the infected units; name it");
    if (options->hits && !options->checked)
        return foci_fail(err, FOCI_BAD_SETTING, "{hits}", 0,
                         "needs {checked} COLUMN_OR_NUMBER, the units looked at; name it");
    plan->counts = options->hits != NULL;
    plan->checked = NAN;
    if (!plan->counts || !foci_number_parse(options->checked, &plan->checked))
        return true;
    if (plan->checked < 1 || plan->checked > FOCI_CHECKED_MOST || plan->checked != floor(plan->checked))
        return foci_fail(err, FOCI_BAD_SETTING, "{checked}", 0,
                         "%s is no number of units that a person looks at; give a whole number from 1 to 100,000, or a "
                         "column",
                         options->checked);
    return true;
}

static bool plan_date(char date[11], const char *text, const char *option, foci_error *err) {
    if (!text || foci_date_parse(text, date))
        return true;
    return foci_fail(err, FOCI_BAD_SETTING, option, 0, "'%s' is not a date; write YYYY-MM-DD", text);
}

static bool plan_dates(reading_plan *plan, foci_error *err) {
    const foci_stops_options *options = plan->options;
    if (!plan_date(plan->from, options->from, "{from}", err) || !plan_date(plan->to, options->to, "{to}", err))
        return false;
    if ((options->from || options->to) && !options->when)
        return foci_fail(err, FOCI_BAD_SETTING, options->from ? "{from}" : "{to}", 0,
                         "needs {when} COLUMN, the column of dates; name it");
    if (options->from && options->to && strcmp(plan->from, plan->to) > 0)
        return foci_fail(err, FOCI_BAD_SETTING, "{from}", 0, "%s is after {to} %s; exchange them", plan->from,
                         plan->to);
    return true;
}

/* ---- one file ---- */

/* Where days are chosen, a stop whose day is not known cannot be judged. */
static bool take_date(foci_stop *stop, const foci_cell *cell, const foci_date_order *order, const char *file,
                      const reading_plan *plan, foci_error *err) {
    bool choosing = plan->options->from || plan->options->to;
    if (cell->text && foci_date_column_read(cell->text, order, stop->date))
        return true;
    stop->date[0] = '\0';
    if (cell->text)
        snprintf(stop->date_text, sizeof stop->date_text, "%s", cell->text);
    if (!choosing)
        return true;
    if (!cell->text)
        return foci_fail(err, FOCI_BAD_INPUT, file, stop->row, "has no date; fill it in, or leave {from} and {to} out");
    return foci_fail(err, FOCI_BAD_INPUT, file, stop->row, "\"%s\" is not a date; write YYYY-MM-DD", stop->date_text);
}

static bool is_of_these_days(reading_plan *plan, const char *date) {
    if (*date) {
        if (!*plan->first || strcmp(date, plan->first) < 0)
            memcpy(plan->first, date, sizeof plan->first);
        if (strcmp(date, plan->last) > 0)
            memcpy(plan->last, date, sizeof plan->last);
    }
    return (!*plan->from || strcmp(date, plan->from) >= 0) && (!*plan->to || strcmp(date, plan->to) <= 0);
}

static char *stop_name(const foci_cell *id, long row, foci_error *err) {
    if (id && id->text)
        return foci_copy_text(id->text, err);
    return foci_format_text(err, "%ld", row);
}

/* `*kept` is false for a stop of other days; it owns nothing then. */
static bool read_stop(foci_stop *out, bool *kept, const foci_stops *stops, const foci_point_table *points, size_t index,
                      const foci_file_columns *columns, const char *file, reading_plan *plan, foci_error *err) {
    const foci_cell *row = points->table.cells + index * points->table.column_count;
    foci_stop stop = {.row = foci_table_row(&points->table, index),
                      .own = points->own[index],
                      .lonlat = points->lonlat[index],
                      .place = {NAN, NAN},
                      .score = NAN,
                      .low = NAN,
                      .high = NAN,
                      .used = true,
                      .pooled_into = FOCI_NOT_POOLED,
                      .why = ""};
    if (columns->when != FOCI_NO_COLUMN && !take_date(&stop, &row[columns->when], columns->order, file, plan, err))
        return false;
    *kept = is_of_these_days(plan, stop.date);
    if (!*kept)
        return true;
    if (!foci_file_columns_reading(&stop, row, columns, file, plan->checked, err) ||
        !(stops->index ? foci_by_scale_index(&stop, row, columns->classes, stops, file, err)
                       : foci_by_scale_take(&stop, stops, plan->options, file, err)))
        return false;
    stop.name = stop_name(columns->id == FOCI_NO_COLUMN ? NULL : &row[columns->id], stop.row, err);
    if (!stop.name)
        return false;
    if (columns->rater != FOCI_NO_COLUMN && row[columns->rater].text &&
        !(stop.rater = foci_copy_text(row[columns->rater].text, err))) {
        free(stop.name);
        return false;
    }
    *out = stop;
    return true;
}

static bool describe_input(foci_input *input, const char *file, const foci_point_table *points, foci_error *err) {
    memcpy(input->sha256, points->table.sha256, sizeof input->sha256);
    input->rows = points->table.row_count;
    input->file = foci_copy_text(file, err);
    input->layer = input->file ? foci_copy_text(points->table.layer, err) : NULL;
    input->crs = input->layer ? foci_copy_text(points->crs, err) : NULL;
    return input->crs != NULL;
}

/* Every stop of it would count twice. */
static bool is_new(const foci_stops *stops, const char *file, const foci_point_table *points, foci_error *err) {
    for (size_t i = 0; i < stops->input_count; i++) {
        const foci_input *before = &stops->inputs[i];
        if (strcmp(before->sha256, points->table.sha256) != 0)
            continue;
        if (strcmp(before->file, file) == 0)
            return foci_fail(err, FOCI_BAD_INPUT, file, 0, "is given twice; name each file of stops once");
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "holds the very same stops as %s, which would count twice; leave one of the two out",
                         before->file);
    }
    return true;
}

/* A stop without a reading mixes nothing. */
static bool take_rating(foci_stops *stops, const foci_point_table *points, size_t index,
                        const foci_file_columns *columns, const char *file, const reading_plan *plan, foci_error *err) {
    const foci_cell *row = points->table.cells + index * points->table.column_count;
    return columns->rated == FOCI_NO_COLUMN || isnan(stops->items[stops->count - 1].value) ||
           foci_rated_column_take(stops, &row[columns->rated], plan->options, file,
                                  foci_table_row(&points->table, index), err);
}

/* Scores without a unit of the profile's have that of the first file: its column's name and its percent signs. */
static bool take_unit(foci_stops *stops, const foci_table *table, const foci_file_columns *columns, const char *file,
                      const foci_stops_options *options, foci_error *err) {
    if (options->unit || columns->value == FOCI_NO_COLUMN || stops->scale.count > 0)
        return true;
    const char *own = table->columns[columns->value];
    const char *name = foci_text_same(own, options->value) ? options->value : own;
    if (stops->input_count > 1)
        return !columns->percent || foci_column_says_percent(stops->unit) ||
               foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "has percent signs behind the numbers of column \"%.60s\", the files before have none; bring "
                         "all to one unit",
                         name);
    char *unit = foci_format_text(err, columns->percent && !foci_column_says_percent(name) ? "%s (%%)" : "%s", name);
    if (!unit)
        return false;
    free(stops->unit);
    stops->unit = unit;
    foci_stops_set_limits(stops, options);
    return true;
}

static bool find_scores(foci_file_columns *columns, const foci_stops *stops, foci_point_table *points, const char *file,
                        const foci_stops_options *options, foci_error *err) {
    if (stops->index)
        return foci_by_scale_columns(columns->classes, stops, &points->table, file, options, err);
    return foci_by_scale_is_score(stops, options, columns->percent, file, err);
}

static bool take_points(foci_stops *stops, size_t *capacity, const char *file, foci_point_table *points,
                        reading_plan *plan, foci_error *err) {
    foci_file_columns columns;
    if (!is_new(stops, file, points, err))
        return false;
    size_t input = stops->input_count++; /* the caller made room, all zero */
    if (!describe_input(&stops->inputs[input], file, points, err) ||
        !foci_file_columns_find(&columns, &points->table, file, plan->options, plan->checked, err) ||
        !take_unit(stops, &points->table, &columns, file, plan->options, err) ||
        !find_scores(&columns, stops, points, file, plan->options, err) ||
        !foci_notes_move(&stops->inputs[input].notes, &points->table.notes, err) ||
        !foci_grow_array((void **)&stops->items, capacity, stops->count + points->table.row_count, sizeof *stops->items,
                         err))
        return false;
    for (size_t i = 0; i < points->table.row_count; i++) {
        bool kept = false;
        if (!read_stop(&stops->items[stops->count], &kept, stops, points, i, &columns, file, plan, err))
            return false;
        if (!kept)
            continue;
        stops->items[stops->count].input = input;
        stops->count++;
        if (!take_rating(stops, points, i, &columns, file, plan, err))
            return false;
    }
    return true;
}

static bool read_file(foci_stops *stops, size_t *capacity, const char *file, reading_plan *plan, foci_error *err) {
    foci_point_table points = {0};
    const foci_layer_choice layer = {
        .name = plan->options->layer, .kind = FOCI_SHAPE_POINT, .remedy = "name one with {layer} NAME"};
    bool ok = foci_point_table_read(&points, file, plan->options->crs, plan->options->xy, &layer, err) &&
              take_points(stops, capacity, file, &points, plan, err);
    foci_point_table_free(&points);
    return ok;
}

/* ---- all files ---- */

static bool none_of_these_days(const reading_plan *plan, foci_error *err) {
    return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "no stop is dated %s%s%s%s; the stops' dates run from %s to %s",
                     *plan->from ? "from " : "", plan->from, *plan->to ? (*plan->from ? " to " : "up to ") : "",
                     plan->to, plan->first, plan->last);
}

/* Counts and all that the unit calls percent end at 100. */
void foci_stops_set_limits(foci_stops *stops, const foci_stops_options *options) {
    const bool percent = stops->kind == FOCI_READING_COUNT || foci_column_says_percent(stops->unit);
    stops->least = stops->most = 0;
    if (stops->kind == FOCI_READING_VALUE && options->least < options->most) {
        stops->least = options->least;
        stops->most = options->most;
    } else if (percent) {
        stops->most = 100;
    }
}

const char *foci_reading_word(foci_reading_kind kind) {
    return kind == FOCI_READING_COUNT ? "incidence" : "severity";
}

/* Of these files, or of the one file whose points were read before. */
static bool make(foci_stops *out, const char *const *files, size_t file_count, foci_point_table *points,
                 const foci_stops_options *options, foci_error *err) {
    foci_stops stops = {0};
    reading_plan plan = {.options = options};
    size_t capacity = 0;
    bool ok = false;
    if (!plan_kind(&plan, err) || !plan_dates(&plan, err))
        return false;
    if (file_count == 0)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "no stops are given; name a file of scouting stops");
    stops.kind = plan.counts ? FOCI_READING_COUNT : FOCI_READING_VALUE;
    stops.rating = options->rating;
    stops.unit = foci_copy_text(options->unit    ? options->unit
                                : plan.counts    ? FOCI_STOPS_COUNTS_UNIT
                                : options->value ? options->value
                                                 : FOCI_INDEX_UNIT,
                                err);
    if (!stops.unit)
        goto done;
    foci_stops_set_limits(&stops, options);
    if (!foci_by_scale_begin(&stops, options, err))
        goto done;
    stops.inputs = foci_new_array(file_count, sizeof *stops.inputs, err);
    if (!stops.inputs)
        goto done;
    for (size_t i = 0; i < file_count; i++)
        if (!(points ? take_points(&stops, &capacity, files[i], points, &plan, err)
                     : read_file(&stops, &capacity, files[i], &plan, err)))
            goto done;
    if (stops.count == 0) {
        none_of_these_days(&plan, err);
        goto done;
    }
    *out = stops;
    stops = (foci_stops){0};
    ok = true;
done:
    foci_stops_free(&stops);
    return ok;
}

bool foci_stops_read(foci_stops *out, const char *const *files, size_t file_count, const foci_stops_options *options,
                     foci_error *err) {
    return make(out, files, file_count, NULL, options, err);
}

bool foci_stops_take(foci_stops *out, const char *file, foci_point_table *points, const foci_stops_options *options,
                     foci_error *err) {
    return make(out, &file, 1, points, options, err);
}

void foci_stops_free(foci_stops *stops) {
    for (size_t i = 0; stops->inputs && i < stops->input_count; i++) {
        free(stops->inputs[i].file);
        free(stops->inputs[i].layer);
        free(stops->inputs[i].crs);
        foci_notes_free(&stops->inputs[i].notes);
    }
    for (size_t i = 0; i < stops->count; i++) {
        free(stops->items[i].name);
        free(stops->items[i].rater);
    }
    free(stops->inputs);
    free(stops->items);
    free(stops->unit);
    foci_ordinal_free(&stops->scale);
    *stops = (foci_stops){0};
}

foci_stops_options foci_stops_options_make(void) {
    return (foci_stops_options){0};
}
