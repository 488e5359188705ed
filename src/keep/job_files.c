#include "keep/job_files.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

#include "base/path.h"
#include "fieldfoci/ordinal.h"
#include "fieldfoci/profile.h"

#define PROFILE "disease" /* a file, or the name of a built-in profile */
#define SCALE "scale-of"  /* likewise */

const char *const foci_job_file_members[] = {FOCI_JOB_STOPS, "field", PROFILE, SCALE,
                                             "earlier",      "photo", "marks", NULL};

bool foci_job_names_files(const char *member) {
    for (const char *const *name = foci_job_file_members; *name; name++)
        if (strcmp(*name, member) == 0)
            return true;
    return false;
}

bool foci_job_is_built_in(const char *profile) {
    const char *name = NULL;
    for (size_t i = 0; (name = foci_profile_name(i)) != NULL; i++)
        if (strcmp(name, profile) == 0)
            return true;
    return false;
}

bool foci_job_is_scale(const char *scale) {
    const char *name = NULL;
    for (size_t i = 0; (name = foci_ordinal_name(i)) != NULL; i++)
        if (strcmp(name, scale) == 0)
            return true;
    return strcmp(scale, "none") == 0;
}

/* What is built in has a name, not a place. */
static bool is_a_file(const char *member, const char *text) {
    return foci_job_names_files(member) && !(strcmp(member, PROFILE) == 0 && foci_job_is_built_in(text)) &&
           !(strcmp(member, SCALE) == 0 && foci_job_is_scale(text));
}

bool foci_job_put_file(foci_json *job, const char *member, const char *path, foci_job_naming name, const char *folder,
                       foci_error *err) {
    char *named = name(folder, path, err);
    bool ok = named && foci_json_put_text(job, member, named, err);
    free(named);
    return ok;
}

bool foci_job_add_file(foci_json *array, const char *path, foci_job_naming name, const char *folder, foci_error *err) {
    char *named = name(folder, path, err);
    bool ok = named && foci_json_add_text(array, named, err);
    free(named);
    return ok;
}

static bool move_stops(foci_json *job, const foci_json *stops, const char *folder, foci_error *err) {
    foci_json *moved = foci_json_array(err);
    bool ok = moved != NULL;
    for (size_t i = 0; ok && i < foci_json_size(stops); i++) {
        const char *path = foci_json_text(foci_json_at(stops, i));
        ok = !path || foci_job_add_file(moved, path, foci_path_beside, folder, err);
    }
    if (ok)
        return foci_json_put(job, FOCI_JOB_STOPS, moved, err);
    foci_json_free(moved);
    return false;
}

char *foci_job_anywhere(const foci_json *job, const char *folder, foci_error *err) {
    char real[PATH_MAX];
    foci_json *moved = NULL;
    char *text = foci_json_print(job, err);
    bool ok = text && foci_json_parse(&moved, text, "job", err);
    const char *base = realpath(folder, real) ? real : folder;
    const char *name = NULL;
    free(text);
    text = NULL;
    while (ok && (name = foci_json_key_after(job, name)) != NULL) {
        const foci_json *value = foci_json_get(job, name);
        const char *path = foci_json_text(value);
        if (strcmp(name, FOCI_JOB_STOPS) == 0)
            ok = move_stops(moved, value, base, err);
        else if (path && is_a_file(name, path))
            ok = foci_job_put_file(moved, name, path, foci_path_beside, base, err);
    }
    if (ok)
        text = foci_json_print(moved, err);
    foci_json_free(moved);
    return text;
}
