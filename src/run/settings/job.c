#include "run/settings/job.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/plain_file.h"
#include "base/path.h"
#include "data/files/crs_text.h"
#include "data/files/database.h"
#include "keep/job_files.h"
#include "run/settings/kinds.h"
#include "run/settings/survey_options.h"

static bool is_file(const foci_setting *row, const char *text) {
    return row->kind->names_file && row->kind->names_file(text);
}

/* ---- writing ---- */

static char *as_given(const char *folder, const char *path, foci_error *err) {
    (void)folder;
    return foci_copy_text(path, err);
}

static bool put_stops(foci_json *job, size_t count, char *const *files, foci_job_naming name, const char *folder,
                      foci_error *err) {
    foci_json *stops = foci_json_array(err);
    bool ok = stops != NULL;
    for (size_t i = 0; ok && i < count; i++)
        ok = foci_job_add_file(stops, files[i], name, folder, err);
    if (ok)
        return foci_json_put(job, FOCI_JOB_STOPS, stops, err);
    foci_json_free(stops);
    return false;
}

static bool put_row(foci_json *job, const void *place, const foci_setting *row, foci_job_naming name,
                    const char *folder, foci_error *err) {
    const foci_kind *kind = row->kind;
    char *text = NULL;
    if (kind->is_flag)
        return foci_json_put_bool(job, row->name, *(const bool *)place, err);
    if (kind->as_number) {
        const double number = kind->as_number(place, row);
        return isnan(number) || foci_json_put_number(job, row->name, number, err);
    }
    bool ok = kind->print(&text, place, row, err) &&
              (!text || (is_file(row, text) ? foci_job_put_file(job, row->name, text, name, folder, err)
                                            : foci_json_put_text(job, row->name, text, err)));
    free(text);
    return ok;
}

foci_json *foci_job_make(const foci_survey_options *used, size_t count, char *const *files, const char *folder,
                         foci_error *err) {
    const foci_job_naming name = folder ? foci_path_from : as_given;
    foci_json *job = foci_json_object(err);
    bool ok = job && put_stops(job, count, files, name, folder, err);
    for (const foci_setting *row = foci_setting_table; ok && row->name; row++)
        ok = !row->in_job || put_row(job, foci_survey_options_at(used, row), row, name, folder, err);
    if (ok)
        return job;
    foci_json_free(job);
    return NULL;
}

/* ---- telling ---- */

static bool tell(foci_job_words *job, const char *name, const char *value, foci_error *err) {
    return foci_sentences_add(&job->names, err, "%s", name) && foci_sentences_add(&job->values, err, "%s", value);
}

static bool tell_row(foci_job_words *job, const void *place, const foci_setting *row, foci_error *err) {
    char *text = NULL;
    if (row->kind->is_flag)
        return !*(const bool *)place || tell(job, row->name, "yes", err);
    const bool ok = row->kind->print(&text, place, row, err) &&
                    (!text || tell(job, row->name, is_file(row, text) ? foci_path_name(text) : text, err));
    free(text);
    return ok;
}

bool foci_job_tell(foci_job_words *out, const foci_survey_options *used, unsigned command, size_t count,
                   char *const *files, foci_error *err) {
    foci_job_words job = {0};
    bool ok = true;
    for (size_t i = 0; ok && i < count; i++)
        ok = tell(&job, FOCI_JOB_STOPS, foci_path_name(files[i]), err);
    for (const foci_setting *row = foci_setting_table; ok && row->name; row++)
        ok = !row->in_job || !(row->commands & command) || tell_row(&job, foci_survey_options_at(used, row), row, err);
    if (ok)
        *out = job;
    else
        foci_job_words_free(&job);
    return ok;
}

/* ---- reading ---- */

static bool take_value(foci_settings *settings, const char *name, const foci_json *value, const char *file,
                       const char *folder, unsigned command, foci_error *err) {
    char digits[40];
    const char *text = foci_json_text(value);
    const foci_setting *row = foci_setting_find(name, command);
    char *found = NULL;
    double number = 0;
    bool yes = false;
    if (foci_json_bool(value, &yes)) {
        if (!yes)
            return true;
    } else if (foci_json_number(value, &number)) {
        snprintf(digits, sizeof digits, "%.17g", number);
        text = digits;
    } else if (!text) {
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, "job option '%s' is neither text, number nor true or false",
                         name);
    }
    if (text && row && row->kind == &foci_kinds[FOCI_KIND_SYSTEM] && !foci_crs_text_check(text, file, err))
        return false;
    if (text && folder && row && is_file(row, text) && !(found = foci_path_beside(folder, text, err)))
        return false;
    foci_error inner = {0};
    bool ok = foci_settings_set(settings, name, found ? found : text, command, &inner);
    free(found);
    if (ok)
        return true;
    if (inner.status == FOCI_NO_MEMORY)
        return foci_fail(err, inner.status, NULL, 0, "%s", inner.text);
    return foci_fail(err, FOCI_BAD_INPUT, file, 0, "job option '%s': %s", name, inner.text);
}

/* Options that may be repeated can be lists. */
static bool take_values(foci_settings *settings, const char *name, const foci_json *value, const char *file,
                        const char *folder, unsigned command, foci_error *err) {
    if (!foci_json_is_array(value))
        return take_value(settings, name, value, file, folder, command, err);
    bool ok = true;
    for (size_t i = 0; ok && i < foci_json_size(value); i++)
        ok = take_value(settings, name, foci_json_at(value, i), file, folder, command, err);
    return ok;
}

/* The member that holds what stands on a command line without an option; "" where nothing does. */
static const char *inputs_of(unsigned command) {
    if (command == FOCI_FOR_PLAN)
        return ""; /* its stops are a number */
    if (command == FOCI_FOR_HISTORY)
        return "history";
    return command & (FOCI_FOR_TASK | FOCI_FOR_RECORD | FOCI_FOR_SEASONS) ? "surveys" : FOCI_JOB_STOPS;
}

static bool take_input(foci_settings *settings, const char *path, const char *folder, foci_error *err) {
    char *found =
        folder && !foci_database_is_connection(path) ? foci_path_beside(folder, path, err) : foci_copy_text(path, err);
    bool ok = found && foci_settings_add_input(settings, found, err);
    free(found);
    return ok;
}

static bool take_inputs(foci_settings *settings, const char *name, const foci_json *inputs, const char *file,
                        const char *folder, foci_error *err) {
    bool ok = true;
    if (foci_json_text(inputs))
        return take_input(settings, foci_json_text(inputs), folder, err);
    for (size_t i = 0; ok && i < foci_json_size(inputs); i++) {
        const char *path = foci_json_text(foci_json_at(inputs, i));
        ok = path ? take_input(settings, path, folder, err)
                  : foci_fail(err, FOCI_BAD_INPUT, file, 0, "job option '%s' is no list of files", name);
    }
    return ok;
}

bool foci_job_take(foci_settings *settings, const foci_json *job, const char *file, const char *folder,
                   unsigned command, foci_error *err) {
    const bool inputs_given = settings->input_count > 0;
    const char *name = NULL;
    while ((name = foci_json_key_after(job, name)) != NULL) {
        const foci_json *value = foci_json_get(job, name);
        if (strcmp(name, inputs_of(command)) == 0) {
            if (!inputs_given && !take_inputs(settings, name, value, file, folder, err))
                return false;
        } else if (command == FOCI_FOR_CHECK && !foci_setting_find(name, command) &&
                   foci_setting_find(name, FOCI_FOR_MAP)) {
            continue; /* a check is made of a map's job: what only the map asks for is not its business */
        } else if (!foci_settings_is_given(settings, name) &&
                   !take_values(settings, name, value, file, folder, command, err)) {
            return false;
        }
    }
    return true;
}

bool foci_job_read(foci_settings *settings, const char *file, unsigned command, foci_error *err) {
    foci_json *root = NULL;
    char *folder = foci_path_folder(file, err);
    bool ok = folder && foci_json_read(&root, file, FOCI_MOST_OF_SUMMARY, err);
    const foci_json *job = ok ? foci_json_get(root, "job") : NULL;
    if (ok && !(job && foci_json_is_object(job)))
        ok = foci_fail(err, FOCI_BAD_INPUT, file, 0,
                       "has no 'job' part; it must hold an object of options under \"job\", as the "
                       "survey.json of a survey folder does");
    ok = ok && foci_job_take(settings, job, file, folder, command, err);
    foci_json_free(root);
    free(folder);
    return ok;
}
