/* The survey folder on disk. */
#include "fieldfoci/survey.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/deliver.h"
#include "base/memory.h"
#include "data/json_file.h"
#include "fieldfoci/export.h"
#include "run/speak.h"

#define SUMMARY "survey.json"
#define OURS_MOST 32

static bool is_ours(const char *summary) {
    foci_error err = {0};
    foci_json *root = NULL;
    bool ours = false;
    if (foci_json_read(&root, summary, &err)) {
        const char *name = foci_json_text(foci_json_get(foci_json_get(root, "program"), "name"));
        ours = name && strcmp(name, "fieldfoci") == 0;
    }
    foci_json_free(root);
    return ours;
}

static bool write_exports(const foci_round *round, const char *folder, foci_error *err) {
    for (const foci_export *row = foci_export_table; row->file; row++) {
        if (!row->applies(round))
            continue;
        char *path = foci_format_text(err, "%s/%s", folder, row->file);
        bool ok = path && row->write(round, path, err);
        free(path);
        if (!ok)
            return false;
    }
    return true;
}

static bool write_summary(const foci_survey *survey, const char *folder, foci_error *err) {
    char *path = foci_format_text(err, "%s/" SUMMARY, folder);
    char *text = path ? foci_survey_summary(survey, err) : NULL;
    bool ok = text && foci_deliver_bytes(path, text, strlen(text), false, err);
    free(text);
    free(path);
    return ok;
}

bool foci_survey_write(const foci_survey *survey, const char *folder, bool overwrite, foci_error *err) {
    const char *ours[OURS_MOST] = {SUMMARY};
    size_t count = 1;
    for (const foci_export *row = foci_export_table; row->file && count + 1 < OURS_MOST; row++)
        ours[count++] = row->file;
    foci_error inner = {0};
    bool ok = false;
    char *temporary = NULL;
    if (!foci_deliver_may_write(folder, overwrite, err))
        return false;
    temporary = foci_deliver_beside(folder, err);
    if (!temporary)
        return false;
    if (mkdir(temporary, 0777) != 0) {
        foci_fail(err, FOCI_NO_FILE, folder, 0, "cannot be made: %s; choose another --out", strerror(errno));
        goto done;
    }
    if (!write_exports(&survey->round, temporary, &inner) || !write_summary(survey, temporary, &inner)) {
        foci_speak_of(err, &inner, temporary, folder);
        foci_deliver_remove(temporary);
        goto done;
    }
    ok = foci_deliver_folder(temporary, folder, overwrite, SUMMARY, is_ours, ours, err);
done:
    free(temporary);
    return ok;
}
