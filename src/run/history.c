#include "fieldfoci/history.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "run/history_tables.h"
#include "run/survey_folder.h"

enum { TRIES = 8, COLUMNS_MOST = 24 };

static bool has_row(foci_database *database, size_t table, const char *key, bool *has, foci_error *err) {
    foci_table found = {0};
    const foci_database_table *in = &foci_history_tables[table];
    if (!foci_database_find(&found, database, in, in->key, key, err))
        return false;
    *has = found.row_count > 0;
    foci_table_free(&found);
    return true;
}

static bool add_field(foci_database *database, const foci_survey_folder *survey, foci_error *err) {
    bool there = false;
    const char *texts[] = {survey->field_id, foci_survey_folder_text(survey, "field", "name"), NULL};
    const double numbers[] = {NAN, NAN, foci_survey_folder_number(survey, "field", "area_ha")};
    if (!has_row(database, FOCI_HISTORY_FIELDS, survey->field_id, &there, err))
        return false;
    return there || foci_database_add(database, &foci_history_tables[FOCI_HISTORY_FIELDS], texts, numbers, NULL,
                                      &survey->layers[FOCI_HISTORY_FIELDS].shapes[0].area, err);
}

static bool add_survey(foci_database *database, const foci_survey_folder *survey, const foci_history_notes *notes,
                       const char *job, foci_error *err) {
    const struct {
        const char *column, *text;
        double number;
    } cells[] = {
        {"sha256", survey->sha256, NAN},
        {"field", foci_survey_folder_text(survey, "field", "name"), NAN},
        {"field_id", survey->field_id, NAN},
        {"season", foci_survey_folder_text(survey, "season", NULL), NAN},
        {"first_date", foci_survey_folder_text(survey, "first_date", NULL), NAN},
        {"last_date", foci_survey_folder_text(survey, "last_date", NULL), NAN},
        {"disease", foci_survey_folder_text(survey, "disease", "name"), NAN},
        {"kind", foci_survey_folder_text(survey, "reading", "kind"), NAN},
        {"unit", foci_survey_folder_text(survey, "reading", "unit"), NAN},
        {"threshold", NULL, foci_survey_folder_number(survey, "reading", "threshold")},
        {"rated", foci_survey_folder_text(survey, "reading", "rated"), NAN},
        {"crop", notes->crop, NAN},
        {"laboratory", notes->laboratory, NAN},
        {"stops", NULL, foci_survey_folder_number(survey, "stops", "used")},
        {"area_ha", NULL, foci_survey_folder_number(survey, "field", "area_ha")},
        {"job", job, NAN},
        {"made", foci_survey_folder_text(survey, "made", NULL), NAN},
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

static bool add_all(foci_database *database, const foci_survey_folder *survey, const foci_history_notes *notes,
                    foci_error *err) {
    char *job = foci_json_print(foci_json_get(survey->root, "job"), err);
    bool ok = job && add_field(database, survey, err) && add_survey(database, survey, notes, job, err);
    free(job);
    if (!ok)
        return false;
    for (size_t table = FOCI_HISTORY_STOPS; table <= FOCI_HISTORY_DIGS; table++)
        for (size_t row = 0; row < survey->layers[table].row_count; row++)
            if (!add_row(database, &foci_history_tables[table], &survey->layers[table], row, survey->sha256, err))
                return false;
    return true;
}

static bool add_notes(foci_database *database, const foci_survey_folder *survey, const foci_history_notes *notes,
                      foci_error *err) {
    const foci_database_table *table = &foci_history_tables[FOCI_HISTORY_SURVEYS];
    return (!notes->crop || foci_database_set(database, table, survey->sha256, "crop", notes->crop, err)) &&
           (!notes->laboratory ||
            foci_database_set(database, table, survey->sha256, "laboratory", notes->laboratory, err));
}

static bool record_once(const foci_survey_folder *survey, const char *history, const foci_history_notes *notes,
                        bool *already, foci_error *err) {
    foci_database *database = NULL;
    bool there = false;
    if (!foci_database_change(&database, history, foci_history_tables, err))
        return false;
    if (!has_row(database, FOCI_HISTORY_SURVEYS, survey->sha256, &there, err) ||
        !(there ? add_notes : add_all)(database, survey, notes, err)) {
        foci_database_close(database);
        return false;
    }
    *already = there;
    return foci_database_commit(database, err);
}

bool foci_history_record(const char *survey_folder, const char *history, const foci_history_notes *notes, bool *already,
                         foci_error *err) {
    foci_survey_folder survey = {0};
    bool ok = foci_survey_folder_read(&survey, survey_folder, err), there = false;
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
        ok = record_once(&survey, history, notes, &there, &last);
    }
    if (ok)
        *already = there;
    else
        foci_fail(err, last.status, last.source, last.row, "%s", last.text);
done:
    foci_survey_folder_free(&survey);
    return ok;
}
