/* What the surface says at the user's own places, and at each stop left out in turn. */
#include "fieldfoci/steps.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/deliver.h"
#include "base/memory.h"
#include "data/stops/point_table.h"
#include "data/places/projection.h"
#include "keep/summary_parts.h"

#define RESULTS 3 /* estimate, variance, chance */

typedef struct {
    double *estimate, *variance, *chance; /* the last two NULL where there are none */
} answers;

static void answers_free(answers *given) {
    free(given->estimate);
    free(given->variance);
    free(given->chance);
    *given = (answers){0};
}

static bool answers_make(answers *given, const foci_survey *round, const foci_point *places, size_t count,
                         const foci_execution *how, foci_error *err) {
    const foci_surface_model *model = &round->model;
    given->estimate = foci_new_array(count, sizeof *given->estimate, err);
    if (!given->estimate)
        return false;
    if (model->method->gives_variance && !(given->variance = foci_new_array(count, sizeof *given->variance, err)))
        return false;
    if (given->variance && !isnan(round->threshold) &&
        !(given->chance = foci_new_array(count, sizeof *given->chance, err)))
        return false;
    const foci_prediction out = {.estimate = given->estimate, .variance = given->variance, .chance = given->chance};
    return foci_surface_at(model, places, count, &out, how, err);
}

/* Places in the work system: untouched where they are in it already. */
static bool project_places(foci_point **out, const foci_point_table *table, const char *work_crs, const char *file,
                           foci_error *err) {
    size_t count = table->table.row_count;
    foci_projection *projection = NULL;
    foci_point *places = foci_new_array(count, sizeof *places, err);
    bool ok = false;
    if (!places)
        return false;
    if (foci_crs_same(table->crs, work_crs)) {
        memcpy(places, table->own, count * sizeof *places);
    } else {
        memcpy(places, table->lonlat, count * sizeof *places);
        if (!foci_projection_open(&projection, "EPSG:4326", work_crs, err))
            goto done;
        foci_projection_forward(projection, places, count);
    }
    for (size_t i = 0; i < count; i++)
        if (!isfinite(places[i].x) || !isfinite(places[i].y)) {
            foci_fail(err, FOCI_BAD_INPUT, file, foci_table_row(&table->table, i),
                      "this place has no usable coordinates; correct the row");
            goto done;
        }
    *out = places;
    places = NULL;
    ok = true;
done:
    foci_projection_close(projection);
    free(places);
    return ok;
}

/* A text column whose every entry is a number as a program would print it is written as numbers ("007" stays text). */
static foci_column_type written_type(const foci_table *table, size_t column) {
    char digits[40];
    if (table->types[column] != FOCI_COLUMN_TEXT)
        return table->types[column];
    for (size_t row = 0; row < table->row_count; row++) {
        const foci_cell *cell = &table->cells[row * table->column_count + column];
        if (!cell->text)
            continue;
        snprintf(digits, sizeof digits, "%.15g", cell->number);
        if (!cell->is_number || strcmp(digits, cell->text) != 0)
            return FOCI_COLUMN_TEXT;
    }
    return FOCI_COLUMN_NUMBER;
}

typedef struct {
    size_t count;
    foci_column *columns;
    const char **texts;
    double *numbers;
} row_buffer;

static void row_buffer_free(row_buffer *buffer) {
    free(buffer->columns);
    free(buffer->texts);
    free(buffer->numbers);
    *buffer = (row_buffer){0};
}

static bool row_buffer_make(row_buffer *buffer, size_t most, foci_error *err) {
    buffer->columns = foci_new_array(most, sizeof *buffer->columns, err);
    if (!buffer->columns)
        return false;
    buffer->texts = foci_new_array(most, sizeof *buffer->texts, err);
    if (!buffer->texts)
        return false;
    buffer->numbers = foci_new_array(most, sizeof *buffer->numbers, err);
    return buffer->numbers != NULL;
}

static void add_column(row_buffer *buffer, const char *name, foci_column_type type) {
    buffer->columns[buffer->count++] = (foci_column){name, type};
}

/* Places and what the surface says at them. */
typedef struct {
    const char *file; /* of the places */
    const foci_table *table;
    const foci_point *lonlat;
    const answers *given;
} answered;

static bool write_places(const void *content, const char *path, foci_error *err) {
    const answered *places = content;
    const foci_table *table = places->table;
    const answers *given = places->given;
    static const char *const names[RESULTS] = {"estimate", "variance", "chance"};
    const double *results[RESULTS] = {given->estimate, given->variance, given->chance};
    row_buffer buffer = {0};
    foci_vector_writer *writer = NULL;
    bool ok = false;
    if (!row_buffer_make(&buffer, table->column_count + RESULTS, err))
        goto done;
    for (size_t c = 0; c < table->column_count; c++)
        add_column(&buffer, table->columns[c], written_type(table, c));
    for (size_t r = 0; r < RESULTS; r++) {
        if (results[r] && foci_table_column(table, names[r]) >= 0) {
            foci_fail(err, FOCI_BAD_INPUT, places->file, 0, "has a column '%s' of its own; rename it", names[r]);
            goto done;
        }
        if (results[r])
            add_column(&buffer, names[r], FOCI_COLUMN_NUMBER);
    }
    if (!foci_vector_writer_open(&writer, path, err) ||
        !foci_vector_writer_layer(writer, "estimates", FOCI_SHAPE_POINT, buffer.columns, buffer.count, err))
        goto done;
    for (size_t row = 0; row < table->row_count; row++) {
        size_t at = 0;
        for (size_t c = 0; c < table->column_count; c++, at++) {
            buffer.texts[at] = table->cells[row * table->column_count + c].text;
            buffer.numbers[at] = table->cells[row * table->column_count + c].number;
        }
        for (size_t r = 0; r < RESULTS; r++)
            if (results[r])
                buffer.numbers[at++] = results[r][row];
        if (!foci_vector_writer_add(writer, buffer.texts, buffer.numbers, &places->lonlat[row], NULL, err))
            goto done;
    }
    ok = foci_vector_writer_close(writer, err);
    writer = NULL;
done:
    foci_vector_writer_drop(writer);
    row_buffer_free(&buffer);
    return ok;
}

bool foci_survey_estimate_at(foci_survey *survey, const char *at, const char *file, bool overwrite, size_t *places,
                             const foci_execution *how, foci_error *err) {
    const foci_stops_options *read = &survey->used.stops;
    foci_point_table table = {0};
    foci_point *work = NULL;
    answers given = {0};
    bool ok = false;
    if (!foci_survey_is_at(survey, FOCI_STAGE_FITTED, err) || !foci_deliver_may_write(file, overwrite, err) ||
        !foci_point_table_read(&table, at, read->crs, read->xy, NULL, err) ||
        !foci_findings_add_notes(&survey->findings, at, &table.table.notes, err) ||
        !project_places(&work, &table, survey->work_crs, at, err) ||
        !answers_make(&given, survey, work, table.table.row_count, how, err))
        goto done;
    const answered content = {at, &table.table, table.lonlat, &given};
    ok = foci_deliver_written(file, overwrite, write_places, &content, err);
    *places = table.table.row_count;
done:
    answers_free(&given);
    free(work);
    foci_point_table_free(&table);
    return ok;
}

/* Each stop left out in turn. */
typedef struct {
    const foci_survey *round;
    const foci_cross_validation *check;
} left_out;

static bool write_left_out(const void *content, const char *path, foci_error *err) {
    const foci_survey *round = ((const left_out *)content)->round;
    const foci_cross_validation *check = ((const left_out *)content)->check;
    static const foci_column columns[] = {
        {"stop", FOCI_COLUMN_TEXT},       {"reading", FOCI_COLUMN_NUMBER}, {"estimate", FOCI_COLUMN_NUMBER},
        {"variance", FOCI_COLUMN_NUMBER}, {"error", FOCI_COLUMN_NUMBER},   {"z", FOCI_COLUMN_NUMBER},
    };
    enum { COLUMNS = sizeof columns / sizeof *columns };
    foci_vector_writer *writer = NULL;
    if (!foci_vector_writer_open(&writer, path, err))
        return false;
    bool ok = foci_vector_writer_layer(writer, "left_out", FOCI_SHAPE_POINT, columns, COLUMNS, err);
    for (size_t i = 0; ok && i < check->n; i++) {
        const foci_stop *stop = &round->stops.items[round->readings.stops[i]];
        double reading = round->readings.values[i];
        double variance = check->variance ? check->variance[i] : NAN;
        double error = reading - check->estimate[i];
        const char *texts[COLUMNS] = {stop->name};
        const double numbers[COLUMNS] = {NAN,      reading, check->estimate[i],
                                         variance, error,   variance > 0 ? error / sqrt(variance) : NAN};
        ok = foci_vector_writer_add(writer, texts, numbers, &stop->lonlat, NULL, err);
    }
    if (ok)
        return foci_vector_writer_close(writer, err);
    foci_vector_writer_drop(writer);
    return false;
}

static char *cross_validation_text(const foci_cross_validation *check, foci_error *err) {
    foci_json *object = foci_json_object(err);
    char *text = NULL;
    if (object && foci_summary_fill_cross_validation(object, check, err))
        text = foci_json_print(object, err);
    foci_json_free(object);
    return text;
}

bool foci_survey_estimate_leave_one_out(const foci_survey *survey, const char *file, bool overwrite, char **summary,
                                        const foci_execution *how, foci_error *err) {
    const foci_survey *round = survey;
    foci_cross_validation check = {0};
    char *text = NULL;
    bool ok = false;
    if (!foci_survey_is_at(survey, FOCI_STAGE_FITTED, err) || !foci_deliver_may_write(file, overwrite, err) ||
        !foci_cross_validation_make(&check, &round->model, &round->readings, how, err))
        goto done;
    text = summary ? cross_validation_text(&check, err) : NULL;
    if (summary && !text)
        goto done;
    const left_out content = {round, &check};
    ok = foci_deliver_written(file, overwrite, write_left_out, &content, err);
    if (ok && summary) {
        *summary = text;
        text = NULL;
    }
done:
    free(text);
    foci_cross_validation_free(&check);
    return ok;
}
