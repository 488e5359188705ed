#include "fieldfoci/profile.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/plain_file.h"
#include "base/text.h"
#include "data/profiles/built_in_profiles.h"
#include "data/profiles/profile_file.h"

/* The names that hold what was typed, else the nearest one; all of them would be longer than a line. */
static bool suggest(foci_text *list, const char *typed, foci_error *err) {
    const char *names[256] = {0};
    size_t count = 0;
    for (; foci_built_in_profiles[count].name && count < 255; count++) {
        names[count] = foci_built_in_profiles[count].name;
        if (strlen(typed) > 2 && strstr(names[count], typed) &&
            !foci_text_add(list, err, "%s%s", list->text ? ", " : "", names[count]))
            return false;
    }
    const char *nearest = list->text ? NULL : foci_text_nearest(typed, names);
    return !nearest || foci_text_add(list, err, "%s", nearest);
}

static bool no_such_profile(const char *name, foci_error *err) {
    foci_text list = {0};
    if (suggest(&list, name, err))
        foci_fail(err, FOCI_BAD_SETTING, "{disease}", 0,
                  "no profile and no file '%.80s'; %s%.300s%sfieldfoci profiles lists those that are built in", name,
                  list.text ? "did you mean " : "", list.text ? list.text : "", list.text ? "? " : "");
    foci_text_free(&list);
    return false;
}

bool foci_profile_read(foci_profile *out, const char *name_or_file, foci_error *err) {
    foci_json *json = NULL;
    const foci_built_in_profile *built_in = foci_built_in_profiles;
    while (built_in->name && strcmp(built_in->name, name_or_file) != 0)
        built_in++;
    if (built_in->name) {
        if (!foci_json_parse(&json, built_in->json, built_in->name, err))
            return false;
    } else {
        if (access(name_or_file, F_OK) != 0)
            return no_such_profile(name_or_file, err);
        if (!foci_json_read(&json, name_or_file, FOCI_MOST_OF_PROFILE, err))
            return false;
    }
    bool ok = foci_profile_of_json(out, json, name_or_file, err);
    foci_json_free(json);
    return ok;
}

const char *foci_profile_name(size_t index) {
    for (size_t i = 0; foci_built_in_profiles[i].name; i++)
        if (i == index)
            return foci_built_in_profiles[i].name;
    return NULL;
}
