/* What a survey leaves: its folder on disk, and its summaries. */
#include "fieldfoci/steps.h"

#include <stdlib.h>

#include "base/memory.h"
#include "fieldfoci/export.h"
#include "keep/folder.h"
#include "run/settings/job.h"
#include "keep/survey_summary.h"

#define SUMMARY "survey.json"
#define OURS_MOST 32

typedef struct {
    const foci_survey *survey;
    const char *folder; /* where it is going to be */
} writing;

static bool write_files(const void *content, const char *folder, foci_error *err) {
    const foci_survey *survey = ((const writing *)content)->survey;
    for (const foci_export *row = foci_export_table; row->file; row++) {
        if (!row->applies(survey))
            continue;
        char *path = foci_format_text(err, "%s/%s", folder, row->file);
        bool ok = path && row->write(survey, path, err);
        free(path);
        if (!ok)
            return false;
    }
    return true;
}

char *foci_survey_summary(const foci_survey *survey, const char *folder, foci_error *err) {
    if (!foci_survey_is_at(survey, FOCI_STAGE_DECIDED, err))
        return NULL;
    return foci_survey_json(survey, foci_job_make(&survey->used, survey->input_count, survey->inputs, folder, err),
                            err);
}

static char *summarise(const void *content, foci_error *err) {
    const writing *to = content;
    return foci_survey_summary(to->survey, to->folder, err);
}

bool foci_survey_write(const foci_survey *survey, const char *folder, bool overwrite, foci_error *err) {
    const char *files[OURS_MOST] = {SUMMARY};
    size_t count = 1;
    for (const foci_export *row = foci_export_table; row->file && count + 1 < OURS_MOST; row++)
        files[count++] = row->file;
    const foci_folder_kind kind = {.mark = SUMMARY, .files = files, .write_files = write_files, .summarise = summarise};
    const writing to = {survey, folder};
    return foci_survey_is_at(survey, FOCI_STAGE_DECIDED, err) && foci_folder_write(&kind, &to, folder, overwrite, err);
}

char *foci_survey_check_summary(const foci_survey *survey, const foci_error *unfit, foci_error *err) {
    foci_json *job = foci_job_make(&survey->used, survey->input_count, survey->inputs, NULL, err);
    char *text = job ? foci_check_summary(survey, job, unfit, err) : NULL;
    foci_json_free(job);
    return text;
}
