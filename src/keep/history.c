#include "fieldfoci/history.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "keep/history_entries.h"
#include "keep/job_files.h"
#include "keep/survey_folder.h"

enum { COLUMNS_MOST = 24 };

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
    if (!has_row(database, FOCI_LAYER_FIELD, survey->field_id, &there, err))
        return false;
    return there || foci_database_add(database, &foci_history_tables[FOCI_LAYER_FIELD], texts, numbers, NULL,
                                      &survey->layers[FOCI_LAYER_FIELD].shapes[0].area, err);
}

static bool add_survey(foci_database *database, const foci_survey_folder *survey, const foci_history_options *notes,
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
        {"stop_rows", NULL, (double)survey->layers[FOCI_LAYER_STOPS].row_count},
        {"zone_rows", NULL, (double)survey->layers[FOCI_LAYER_ZONES].row_count},
        {"dig_rows", NULL, (double)survey->layers[FOCI_LAYER_DIGS].row_count},
    };
    const foci_database_table *table = &foci_history_tables[FOCI_LAYER_SURVEYS];
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

/* Rows that a survey has without being recorded were left by a version that could leave them: they go first. */
static bool add_all(foci_database *database, const foci_survey_folder *survey, const foci_history_options *notes,
                    foci_error *err) {
    char *job = foci_job_anywhere(foci_json_get(survey->root, "job"), survey->path, err);
    bool ok = job && foci_history_take_out(database, survey->sha256, err) && add_field(database, survey, err) &&
              add_survey(database, survey, notes, job, err);
    free(job);
    if (!ok)
        return false;
    for (size_t table = FOCI_LAYER_STOPS; table <= FOCI_LAYER_DIGS; table++)
        for (size_t row = 0; row < survey->layers[table].row_count; row++)
            if (!add_row(database, &foci_history_tables[table], &survey->layers[table], row, survey->sha256, err))
                return false;
    return true;
}

static bool add_notes(foci_database *database, const foci_survey_folder *survey, const foci_history_options *notes,
                      foci_error *err) {
    const foci_database_table *table = &foci_history_tables[FOCI_LAYER_SURVEYS];
    return (!notes->crop || foci_database_set(database, table, survey->sha256, "crop", notes->crop, err)) &&
           (!notes->laboratory ||
            foci_database_set(database, table, survey->sha256, "laboratory", notes->laboratory, err));
}

/* ---- a season that is there already, mapped otherwise ---- */

typedef struct {
    const foci_survey_folder *survey;
    const char *history; /* as it may be shown */
    const foci_history_options *options;
    foci_history_outcome outcome;
} recording;

static const char *text_of(const foci_table *table, size_t row, const char *column) {
    const char *text = table->cells[row * table->column_count + (size_t)foci_table_column(table, column)].text;
    return text ? text : "";
}

/* The row of the same field, season and disease; `*found` counts them. */
static size_t find_season(size_t *found, const foci_table *rows, const foci_survey_folder *survey) {
    size_t last = 0;
    *found = 0;
    for (size_t row = 0; row < rows->row_count; row++)
        if (foci_text_same(text_of(rows, row, "field"), foci_survey_folder_text(survey, "field", "name")) &&
            foci_text_same(text_of(rows, row, "disease"), foci_survey_folder_text(survey, "disease", "name"))) {
            last = row;
            ++*found;
        }
    return last;
}

static bool refuse(const recording *asked, const char *season, const char *sha256, size_t found, foci_error *err) {
    if (found > 1)
        return foci_fail(err, FOCI_BAD_INPUT, asked->history, 0,
                         "holds %zu surveys of season '%.60s' of this field and disease; take all but one out first: "
                         "fieldfoci history %.100s {remove} LETTERS, with the letters in brackets that it lists",
                         found, season, asked->history);
    return foci_fail(err, FOCI_BAD_INPUT, asked->history, 0,
                     "holds season '%.60s' of this field already, mapped otherwise [%.12s]; give {replace} to put this "
                     "survey in its place, or map it with another {season}",
                     season, sha256);
}

/* The notes are of the season, not of its map: they stay. */
static bool replace(foci_database *database, recording *asked, const foci_table *rows, size_t row, foci_error *err) {
    const char *crop = text_of(rows, row, "crop"), *laboratory = text_of(rows, row, "laboratory");
    const foci_history_options kept = {.crop = asked->options->crop ? asked->options->crop
                                               : *crop              ? crop
                                                                    : NULL,
                                       .laboratory = asked->options->laboratory ? asked->options->laboratory
                                                     : *laboratory              ? laboratory
                                                                                : NULL};
    asked->outcome = FOCI_HISTORY_REPLACED;
    return foci_history_take_out(database, text_of(rows, row, "sha256"), err) &&
           add_all(database, asked->survey, &kept, err);
}

static bool add_season(foci_database *database, recording *asked, foci_error *err) {
    const char *season = foci_survey_folder_text(asked->survey, "season", NULL);
    foci_table rows = {0};
    size_t found = 0, row = 0;
    if (*season) {
        if (!foci_database_find(&rows, database, &foci_history_tables[FOCI_LAYER_SURVEYS], "season", season, err))
            return false;
        row = find_season(&found, &rows, asked->survey);
    } else if (asked->options->replace) {
        return foci_fail(err, FOCI_BAD_INPUT, asked->history, 0,
                         "cannot tell which survey to replace: this one has no season; map it with {season} TEXT");
    }
    asked->outcome = FOCI_HISTORY_ADDED;
    bool ok = found == 0 ? add_all(database, asked->survey, asked->options, err)
              : found == 1 && asked->options->replace
                  ? replace(database, asked, &rows, row, err)
                  : refuse(asked, season, text_of(&rows, row, "sha256"), found, err);
    foci_table_free(&rows);
    return ok;
}

/* On a server recorders of one field wait for each other: each writes the field's row first, unchanged. Those of a file
 * wait anyhow. */
static bool wait_for_others(foci_database *database, const recording *asked, foci_error *err) {
    return !foci_database_is_connection(asked->history) ||
           foci_database_set(database, &foci_history_tables[FOCI_LAYER_FIELD], asked->survey->field_id, "name",
                             foci_survey_folder_text(asked->survey, "field", "name"), err);
}

/* The entry is there, but a version that could lose rows lost some. */
static bool mend(foci_database *database, recording *asked, foci_error *err) {
    foci_table rows = {0};
    if (!foci_database_find(&rows, database, &foci_history_tables[FOCI_LAYER_SURVEYS], "sha256", asked->survey->sha256,
                            err))
        return false;
    bool ok = replace(database, asked, &rows, 0, err);
    asked->outcome = FOCI_HISTORY_MENDED;
    foci_table_free(&rows);
    return ok;
}

static bool add_or_mend(foci_database *database, recording *asked, bool there, foci_error *err) {
    bool whole = false;
    if (!(there ? mend(database, asked, err) : add_season(database, asked, err)) ||
        !foci_history_is_whole(&whole, database, asked->survey->sha256, asked->survey, err))
        return false;
    return whole || foci_fail(err, FOCI_NO_FILE, asked->history, 0,
                              "did not take in all of the survey's rows, so it was left as it was; try again");
}

static bool record_once(foci_database *database, void *context, foci_error *err) {
    recording *asked = context;
    const foci_survey_folder *survey = asked->survey;
    bool there = false, whole = false;
    if (!wait_for_others(database, asked, err) || !has_row(database, FOCI_LAYER_SURVEYS, survey->sha256, &there, err) ||
        (there && !foci_history_is_whole(&whole, database, survey->sha256, survey, err)))
        return false;
    return whole ? add_notes(database, survey, asked->options, err) : add_or_mend(database, asked, there, err);
}

foci_history_options foci_history_options_make(void) {
    return (foci_history_options){0};
}

bool foci_history_record(const char *survey_folder, const char *history, const foci_history_options *options,
                         foci_history_outcome *outcome, const foci_execution *how, foci_error *err) {
    foci_survey_folder survey = {0};
    if (!foci_survey_folder_read(&survey, survey_folder, err))
        return false;
    char *shown = foci_copy_masked(history, err);
    /* Where an attempt whose end was not heard is found to have done it, its outcome stays. */
    recording asked = {.survey = &survey, .history = shown, .options = options, .outcome = FOCI_HISTORY_WAS_THERE};
    bool ok = shown && foci_history_change_with(history, record_once, &asked, how, err);
    if (ok)
        *outcome = asked.outcome;
    free(shown);
    foci_survey_folder_free(&survey);
    return ok;
}
