#include "data/files/built_in.h"

#include <string.h>
#include <unistd.h>

#include "base/plain_file.h"
#include "base/text.h"

/* The names that hold what was typed, else the nearest one; all of them would be longer than a line. */
static bool suggest(foci_text *list, const foci_built_in *table, const char *typed, foci_error *err) {
    const char *names[256] = {0};
    size_t count = 0;
    for (; table[count].name && count < 255; count++) {
        names[count] = table[count].name;
        if (strlen(typed) > 2 && strstr(names[count], typed) &&
            !foci_text_add(list, err, "%s%s", list->text ? ", " : "", names[count]))
            return false;
    }
    const char *nearest = list->text ? NULL : foci_text_nearest(typed, names);
    return !nearest || foci_text_add(list, err, "%s", nearest);
}

static bool none_such(const foci_built_in *table, const foci_built_in_words *words, const char *name, foci_error *err) {
    foci_text list = {0};
    if (suggest(&list, table, name, err))
        foci_fail(err, FOCI_BAD_SETTING, words->setting, 0, "no %s and no file '%.80s'; %s%.300s%s%s", words->noun,
                  name, list.text ? "did you mean " : "", list.text ? list.text : "", list.text ? "? " : "",
                  words->listed);
    foci_text_free(&list);
    return false;
}

bool foci_built_in_read(foci_json **out, const foci_built_in *table, const foci_built_in_words *words,
                        const char *name_or_file, foci_error *err) {
    const foci_built_in *row = table;
    while (row->name && strcmp(row->name, name_or_file) != 0)
        row++;
    if (row->name)
        return foci_json_parse(out, row->json, row->name, err);
    if (access(name_or_file, F_OK) != 0)
        return none_such(table, words, name_or_file, err);
    return foci_json_read(out, name_or_file, FOCI_MOST_OF_PROFILE, err);
}

const char *foci_built_in_name(const foci_built_in *table, size_t index) {
    for (size_t i = 0; table[i].name; i++)
        if (i == index)
            return table[i].name;
    return NULL;
}
