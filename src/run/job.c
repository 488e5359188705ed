#include "run/job.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static bool put_row(foci_json *job, const foci_settings *settings, const foci_setting *row, foci_error *err) {
    const void *place = (const char *)settings + row->where;
    switch (row->kind) {
    case FOCI_SETTING_FLAG:
        return foci_json_put_bool(job, row->name, *(const bool *)place, err);
    case FOCI_SETTING_TEXT:
    case FOCI_SETTING_FILE:
    case FOCI_SETTING_DATE:
    case FOCI_SETTING_CHOICE:
        return !*(char *const *)place || foci_json_put_text(job, row->name, *(char *const *)place, err);
    default:
        return isnan(*(const double *)place) || foci_json_put_number(job, row->name, *(const double *)place, err);
    }
}

foci_json *foci_job_make(const foci_settings *settings, foci_error *err) {
    foci_json *job = foci_json_object(err);
    for (const foci_setting *row = foci_setting_table; job && row->name; row++)
        if (row->in_job && !put_row(job, settings, row, err)) {
            foci_json_free(job);
            job = NULL;
        }
    return job;
}

static bool take(foci_settings *settings, const char *name, const foci_json *value, unsigned command, const char *file,
                 foci_error *err) {
    char digits[40];
    const char *text = foci_json_text(value);
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
    foci_error inner = {0};
    if (foci_settings_set(settings, name, text, command, &inner))
        return true;
    if (inner.status == FOCI_NO_MEMORY)
        return foci_fail(err, inner.status, NULL, 0, "%s", inner.text);
    return foci_fail(err, FOCI_BAD_INPUT, file, 0, "job option '%s': %s", name, inner.text);
}

bool foci_job_take(foci_settings *settings, const foci_json *job, const char *file, unsigned command, foci_error *err) {
    const char *name = NULL;
    for (size_t i = 0; (name = foci_json_key(job, i)) != NULL; i++)
        if (!foci_settings_is_given(settings, name) &&
            !take(settings, name, foci_json_get(job, name), command, file, err))
            return false;
    return true;
}

bool foci_job_read(foci_settings *settings, const char *file, unsigned command, foci_error *err) {
    foci_json *root = NULL;
    bool ok = foci_json_read(&root, file, err);
    const foci_json *job = ok ? foci_json_get(root, "job") : NULL;
    if (ok && !(job && foci_json_is_object(job)))
        ok = foci_fail(err, FOCI_BAD_INPUT, file, 0, "has no 'job' part; name the survey.json of a survey folder");
    ok = ok && foci_job_take(settings, job, file, command, err);
    foci_json_free(root);
    return ok;
}
