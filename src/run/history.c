#include "fieldfoci/history.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/fingerprint.h"
#include "data/json_file.h"
#include "run/history_tables.h"

enum { TRIES = 8, COLUMNS_MOST = 24 };

/* ---- a survey folder, read ---- */

typedef struct {
    foci_json *root;
    foci_table layers[FOCI_HISTORY_DIGS + 1]; /* as the history's tables; surveys stay empty */
    char *job;
    char sha256[65], field_id[65];
} recording;

static void free_recording(recording *record) {
    foci_json_free(record->root);
    for (size_t i = 0; i < sizeof record->layers / sizeof *record->layers; i++)
        foci_table_free(&record->layers[i]);
    free(record->job);
    *record = (recording){0};
}

static const char *text_at(const foci_json *root, const char *key, const char *below) {
    const foci_json *value = foci_json_get(root, key);
    const char *text = foci_json_text(below ? foci_json_get(value, below) : value);
    return text ? text : "";
}

static double number_at(const foci_json *root, const char *key, const char *below) {
    double number = NAN;
    return foci_json_number(foci_json_get(foci_json_get(root, key), below), &number) ? number : NAN;
}

static bool read_summary(recording *record, const char *folder, foci_error *err) {
    char *file = foci_format_text(err, "%s/survey.json", folder);
    bool ok = false;
    if (!file)
        return false;
    if (access(file, F_OK) != 0)
        foci_fail(err, FOCI_NO_FILE, folder, 0,
                  "is no survey folder: it holds no survey.json; name a folder that the command map wrote");
    else
        ok = foci_json_read(&record->root, file, err);
    if (ok && (strcmp(text_at(record->root, "program", "name"), "fieldfoci") != 0 ||
               !foci_json_is_object(foci_json_get(record->root, "job")) ||
               foci_json_size(foci_json_get(record->root, "inputs")) == 0))
        ok = foci_fail(err, FOCI_BAD_INPUT, file, 0, "is no survey's summary, as the command map writes it");
    free(file);
    return ok;
}

/* A survey may have no zones or digs; the layer is then empty, which the reader would refuse. */
static bool expects(const foci_json *root, size_t table) {
    if (table == FOCI_HISTORY_ZONES)
        return !foci_json_text(foci_json_get(root, "no_zones_why"));
    if (table == FOCI_HISTORY_DIGS)
        return foci_json_size(foci_json_get(root, "digs")) > 0;
    return table != FOCI_HISTORY_SURVEYS;
}

static bool read_layers(recording *record, const char *folder, foci_error *err) {
    static const char *const names[] = {"field", NULL, "stops", "zones", "digs"};
    bool ok = true;
    char *file = foci_format_text(err, "%s/survey.gpkg", folder);
    if (!file)
        return false;
    for (size_t i = 0; ok && i < sizeof names / sizeof *names; i++)
        ok = !expects(record->root, i) || foci_table_read_layer(&record->layers[i], file, names[i], err);
    if (ok && record->layers[FOCI_HISTORY_FIELDS].shapes[0].kind != FOCI_SHAPE_AREA)
        ok = foci_fail(err, FOCI_BAD_INPUT, file, 0, "its layer 'field' holds no polygon");
    free(file);
    return ok;
}

/* ---- what a survey is, by content ---- */

/* Where the same file lies does not make another survey. */
static bool names_a_file(const char *option) {
    return strcmp(option, "field") == 0;
}

static bool add_job(foci_text *text, const foci_json *job, foci_error *err) {
    for (size_t i = 0; i < foci_json_size(job); i++) {
        const char *option = foci_json_key(job, i);
        char *value = names_a_file(option) ? NULL : foci_json_print(foci_json_get(job, option), err);
        bool ok = names_a_file(option) || (value && foci_text_add(text, err, "%s %s\n", option, value));
        free(value);
        if (!ok)
            return false;
    }
    return true;
}

static bool name_survey(recording *record, foci_error *err) {
    foci_text text = {0};
    const foci_json *inputs = foci_json_get(record->root, "inputs");
    bool ok = foci_text_add(&text, err, "season %s\n", text_at(record->root, "season", NULL));
    for (size_t i = 0; ok && i < foci_json_size(inputs); i++)
        ok = foci_text_add(&text, err, "input %s\n", text_at(foci_json_at(inputs, i), "sha256", NULL));
    ok = ok && add_job(&text, foci_json_get(record->root, "job"), err);
    if (ok)
        foci_fingerprint_text(record->sha256, text.text);
    foci_text_free(&text);
    return ok;
}

static bool add_polygon(foci_text *text, const foci_polygon *polygon, foci_error *err) {
    for (size_t r = 0; r < polygon->count; r++)
        for (size_t i = 0; i < polygon->rings[r].count; i++)
            if (!foci_text_add(text, err, "%zu %.17g %.17g\n", r, polygon->rings[r].points[i].x,
                               polygon->rings[r].points[i].y))
                return false;
    return true;
}

static bool name_field(recording *record, foci_error *err) {
    foci_text text = {0};
    const foci_multipolygon *area = &record->layers[FOCI_HISTORY_FIELDS].shapes[0].area;
    bool ok = foci_text_add(&text, err, "%s\n", text_at(record->root, "field", "name"));
    for (size_t p = 0; ok && p < area->count; p++)
        ok = foci_text_add(&text, err, "polygon\n") && add_polygon(&text, &area->polygons[p], err);
    if (ok)
        foci_fingerprint_text(record->field_id, text.text);
    foci_text_free(&text);
    return ok;
}

static bool read_recording(recording *record, const char *folder, foci_error *err) {
    if (!read_summary(record, folder, err) || !read_layers(record, folder, err) || !name_survey(record, err) ||
        !name_field(record, err))
        return false;
    record->job = foci_json_print(foci_json_get(record->root, "job"), err);
    return record->job != NULL;
}

/* ---- into the history ---- */

static bool has_row(foci_database *database, size_t table, const char *key, bool *has, foci_error *err) {
    foci_table found = {0};
    const foci_database_table *in = &foci_history_tables[table];
    if (!foci_database_find(&found, database, in, in->key, key, err))
        return false;
    *has = found.row_count > 0;
    foci_table_free(&found);
    return true;
}

static bool add_field(foci_database *database, const recording *record, foci_error *err) {
    bool there = false;
    const char *texts[] = {record->field_id, text_at(record->root, "field", "name"), NULL};
    const double numbers[] = {NAN, NAN, number_at(record->root, "field", "area_ha")};
    if (!has_row(database, FOCI_HISTORY_FIELDS, record->field_id, &there, err))
        return false;
    return there || foci_database_add(database, &foci_history_tables[FOCI_HISTORY_FIELDS], texts, numbers, NULL,
                                      &record->layers[FOCI_HISTORY_FIELDS].shapes[0].area, err);
}

static bool add_survey(foci_database *database, const recording *record, const foci_history_notes *notes,
                       foci_error *err) {
    const foci_json *root = record->root;
    const struct {
        const char *column, *text;
        double number;
    } cells[] = {
        {"sha256", record->sha256, NAN},
        {"field", text_at(root, "field", "name"), NAN},
        {"field_id", record->field_id, NAN},
        {"season", text_at(root, "season", NULL), NAN},
        {"first_date", text_at(root, "first_date", NULL), NAN},
        {"last_date", text_at(root, "last_date", NULL), NAN},
        {"disease", text_at(root, "disease", "name"), NAN},
        {"kind", text_at(root, "reading", "kind"), NAN},
        {"unit", text_at(root, "reading", "unit"), NAN},
        {"threshold", NULL, number_at(root, "reading", "threshold")},
        {"rated", text_at(root, "reading", "rated"), NAN},
        {"crop", notes->crop, NAN},
        {"laboratory", notes->laboratory, NAN},
        {"stops", NULL, number_at(root, "stops", "used")},
        {"area_ha", NULL, number_at(root, "field", "area_ha")},
        {"job", record->job, NAN},
        {"made", text_at(root, "made", NULL), NAN},
    };
    const foci_database_table *table = &foci_history_tables[FOCI_HISTORY_SURVEYS];
    const char *texts[COLUMNS_MOST] = {0};
    double numbers[COLUMNS_MOST] = {0};
    for (size_t i = 0; i < table->column_count; i++)
        for (size_t c = 0; c < sizeof cells / sizeof *cells; c++)
            if (strcmp(table->columns[i].name, cells[c].column) == 0) {
                texts[i] = cells[c].text;
                numbers[i] = cells[c].number;
            }
    return foci_database_add(database, table, texts, numbers, NULL, NULL, err);
}

/* Columns of the same name are copied; two are the history's own. */
static bool add_row(foci_database *database, const foci_database_table *to, const foci_table *from, size_t row,
                    const char *survey, foci_error *err) {
    const char *texts[COLUMNS_MOST] = {0};
    double numbers[COLUMNS_MOST] = {0};
    for (size_t i = 0; i < to->column_count; i++) {
        long column = foci_table_column(from, to->columns[i].name);
        const foci_cell *cell = column < 0 ? NULL : &from->cells[row * from->column_count + (size_t)column];
        texts[i] = cell ? cell->text : NULL;
        numbers[i] = cell ? cell->number : NAN;
        if (strcmp(to->columns[i].name, "survey") == 0)
            texts[i] = survey;
        else if (strcmp(to->columns[i].name, "number") == 0)
            numbers[i] = (double)(row + 1);
    }
    const foci_shape *shape = &from->shapes[row];
    return foci_database_add(database, to, texts, numbers, shape->kind == FOCI_SHAPE_POINT ? &shape->point : NULL,
                             shape->kind == FOCI_SHAPE_AREA ? &shape->area : NULL, err);
}

static bool add_all(foci_database *database, const recording *record, const foci_history_notes *notes,
                    foci_error *err) {
    if (!add_field(database, record, err) || !add_survey(database, record, notes, err))
        return false;
    for (size_t table = FOCI_HISTORY_STOPS; table <= FOCI_HISTORY_DIGS; table++)
        for (size_t row = 0; row < record->layers[table].row_count; row++)
            if (!add_row(database, &foci_history_tables[table], &record->layers[table], row, record->sha256, err))
                return false;
    return true;
}

static bool add_notes(foci_database *database, const recording *record, const foci_history_notes *notes,
                      foci_error *err) {
    const foci_database_table *table = &foci_history_tables[FOCI_HISTORY_SURVEYS];
    return (!notes->crop || foci_database_set(database, table, record->sha256, "crop", notes->crop, err)) &&
           (!notes->laboratory ||
            foci_database_set(database, table, record->sha256, "laboratory", notes->laboratory, err));
}

static bool record_once(const recording *record, const char *history, const foci_history_notes *notes, bool *already,
                        foci_error *err) {
    foci_database *database = NULL;
    bool there = false;
    if (!foci_database_change(&database, history, foci_history_tables, err))
        return false;
    if (!has_row(database, FOCI_HISTORY_SURVEYS, record->sha256, &there, err) ||
        !(there ? add_notes : add_all)(database, record, notes, err)) {
        foci_database_close(database);
        return false;
    }
    *already = there;
    return foci_database_commit(database, err);
}

bool foci_history_record(const char *survey_folder, const char *history, const foci_history_notes *notes, bool *already,
                         foci_error *err) {
    recording record = {0};
    bool ok = read_recording(&record, survey_folder, err), there = false;
    int tries = foci_database_is_connection(history) ? TRIES : 1;
    foci_error last = {0};
    if (!ok)
        goto done;
    ok = false;
    for (int attempt = 0; attempt < tries && !ok && (attempt == 0 || last.status == FOCI_NO_FILE); attempt++) {
        /* collided with another recorder: whoever comes second finds the other's rows at the next attempt */
        if (attempt > 0)
            nanosleep(&(struct timespec){.tv_nsec = 20000000L * attempt}, NULL);
        last = (foci_error){0};
        ok = record_once(&record, history, notes, &there, &last);
    }
    if (ok)
        *already = there;
    else
        foci_fail(err, last.status, last.source, last.row, "%s", last.text);
done:
    free_recording(&record);
    return ok;
}
