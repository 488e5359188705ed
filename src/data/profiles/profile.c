#include "fieldfoci/profile.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/memory.h"
#include "base/plain_file.h"
#include "base/text.h"
#include "data/files/json_file.h"
#include "data/profiles/built_in_profiles.h"

/* ---- one reader per kind of member: each knows where the member goes and what is wrong with it ---- */

/* `label` names the member in messages: "seen.source". */
typedef bool (*member_reader)(void *place, const foci_json *value, const char *file, const char *label,
                              foci_error *err);

static bool wrong(const char *file, const char *label, const char *what, foci_error *err) {
    return foci_fail(err, FOCI_BAD_INPUT, file, 0, "member \"%s\" %s", label, what);
}

static bool read_text(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    const char *text = foci_json_text(value);
    if (!text)
        return wrong(file, label, "must be a text", err);
    if (text[strspn(text, " \t\r\n")] == '\0')
        return wrong(file, label, "is empty; fill it in", err);
    if (foci_text_noncharacter(text))
        return wrong(file, label, "holds a code that is no letter (such as U+FFFE); take it out", err);
    *(char **)place = foci_copy_text(text, err);
    return *(char **)place != NULL;
}

/* null: the disease has none, such as a usual column of this kind. */
static bool read_text_or_none(void *place, const foci_json *value, const char *file, const char *label,
                              foci_error *err) {
    if (!foci_json_is_null(value))
        return read_text(place, value, file, label, err);
    *(char **)place = foci_copy_text("", err);
    return *(char **)place != NULL;
}

static bool read_name(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    const char *letters = "abcdefghijklmnopqrstuvwxyz0123456789-";
    const char *text = foci_json_text(value);
    if (text && *text && text[strspn(text, letters)])
        return wrong(file, label, "may hold small letters, digits and hyphens only", err);
    return read_text(place, value, file, label, err);
}

static const char *const rated_words[] = {"above-ground", "dug", NULL};

static bool read_rated(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    const char *text = foci_json_text(value);
    for (const char *const *word = rated_words; text && *word; word++)
        if (strcmp(text, *word) == 0)
            return read_text(place, value, file, label, err);
    return wrong(file, label, "must be \"above-ground\" or \"dug\"", err);
}

static const char *const habitat_names[] = {
    [FOCI_LIVES_SOIL] = "soil",
    [FOCI_LIVES_RESIDUE] = "residue",
    [FOCI_LIVES_WIND] = "wind",
    [FOCI_LIVES_VECTOR] = "vector",
};

static bool read_habitat(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    const char *text = foci_json_text(value);
    for (size_t i = 0; text && i < sizeof habitat_names / sizeof *habitat_names; i++)
        if (strcmp(text, habitat_names[i]) == 0) {
            *(foci_habitat *)place = (foci_habitat)i;
            return true;
        }
    return wrong(file, label, "must be \"soil\", \"residue\", \"wind\" or \"vector\"", err);
}

static bool read_yes(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    return foci_json_bool(value, place) || wrong(file, label, "must be true or false", err);
}

static bool read_threshold(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    double number = NAN;
    if (!foci_json_is_null(value) && (!foci_json_number(value, &number) || number <= 0))
        return wrong(file, label, "must be a number above 0, or null where none is published", err);
    *(double *)place = number;
    return true;
}

/* null: what the unit has, 0 to 100 percent or 0 and up. */
static bool read_limits(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    foci_profile *profile = place;
    if (foci_json_is_null(value))
        return true;
    if (foci_json_size(value) != 2 || !foci_json_number(foci_json_at(value, 0), &profile->least) ||
        !foci_json_number(foci_json_at(value, 1), &profile->most) || profile->least >= profile->most)
        return wrong(file, label, "must be two numbers, least first, as in [1, 10], or null", err);
    return true;
}

/* ---- objects: every member must be there, and no other ---- */

typedef struct {
    const char *name;
    size_t where;
    member_reader read;
} member;

static bool known_members_only(const foci_json *object, const member *members, const char *file, const char *label,
                               foci_error *err) {
    const char *names[32] = {0};
    for (size_t i = 0; members[i].name; i++)
        names[i] = members[i].name;
    const char *key = NULL;
    while ((key = foci_json_key_after(object, key)) != NULL) {
        bool known = false;
        for (size_t m = 0; names[m] && !known; m++)
            known = strcmp(key, names[m]) == 0;
        if (known)
            continue;
        const char *nearest = foci_text_nearest(key, names);
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, "unknown member \"%s%.60s\"; %s%s%s", label, key,
                         nearest ? "did you mean \"" : "take it out", nearest ? nearest : "", nearest ? "\"?" : "");
    }
    return true;
}

/* `label` stands before the members' names in messages: "" or "seen.". */
static bool read_members(void *place, const foci_json *object, const member *members, const char *file,
                         const char *label, foci_error *err) {
    if (!known_members_only(object, members, file, label, err))
        return false;
    for (const member *m = members; m->name; m++) {
        char full[128];
        const foci_json *value = foci_json_get(object, m->name);
        snprintf(full, sizeof full, "%s%s", label, m->name);
        if (!value)
            return wrong(file, full, "is missing; add it", err);
        if (!m->read((char *)place + m->where, value, file, full, err))
            return false;
    }
    return true;
}

static const member fact_members[] = {
    {"text", offsetof(foci_fact, text), read_text},
    {"source", offsetof(foci_fact, source), read_text},
    {0},
};

static bool read_fact(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    char inner[128];
    if (!foci_json_is_object(value))
        return wrong(file, label, "must be an object with \"text\" and \"source\"", err);
    snprintf(inner, sizeof inner, "%s.", label);
    return read_members(place, value, fact_members, file, inner, err);
}

/* null: nothing to say. */
static bool read_fact_or_none(void *place, const foci_json *value, const char *file, const char *label,
                              foci_error *err) {
    foci_fact *fact = place;
    if (!foci_json_is_null(value))
        return read_fact(place, value, file, label, err);
    return (fact->text = foci_copy_text("", err)) && (fact->source = foci_copy_text("", err));
}

static bool read_facts(foci_fact **facts, size_t *count, const foci_json *value, const char *file, const char *label,
                       foci_error *err) {
    if (!foci_json_is_array(value))
        return wrong(file, label, "must be an array of facts", err);
    size_t size = foci_json_size(value);
    if (size == 0)
        return wrong(file, label, "is empty; fill it in", err);
    *facts = foci_new_array(size, sizeof **facts, err);
    if (!*facts)
        return false;
    *count = size; /* all zero so far: safe to free */
    for (size_t i = 0; i < size; i++) {
        char one[128];
        snprintf(one, sizeof one, "%s[%zu]", label, i);
        if (!read_fact(&(*facts)[i], foci_json_at(value, i), file, one, err))
            return false;
    }
    return true;
}

static bool read_look_alikes(void *place, const foci_json *value, const char *file, const char *label,
                             foci_error *err) {
    foci_profile *profile = place;
    return read_facts(&profile->look_alikes, &profile->look_alike_count, value, file, label, err);
}

static bool read_cautions(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    foci_profile *profile = place;
    return read_facts(&profile->cautions, &profile->caution_count, value, file, label, err);
}

#define AT(member_name) offsetof(foci_profile, member_name)

static const member too_late_members[] = {
    {"text", AT(too_late.text), read_text},
    {"source", AT(too_late.source), read_text},
    {"at_symptoms", AT(too_late_in_season), read_yes},
    {"next_season", AT(next_season), read_text_or_none},
    {0},
};

static bool read_too_late(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    foci_profile *profile = place;
    if (foci_json_is_null(value))
        return read_fact_or_none(&profile->too_late, value, file, label, err) &&
               (profile->next_season = foci_copy_text("", err));
    if (!foci_json_is_object(value))
        return wrong(file, label, "must be an object, or null where nothing is known", err);
    if (!read_members(place, value, too_late_members, file, "too_late_in_season.", err))
        return false;
    if (profile->too_late_in_season && !*profile->next_season)
        return wrong(file, label, "needs \"next_season\" where \"at_symptoms\" is true: what can still be done", err);
    return true;
}

static const member profile_members[] = {
    {"name", AT(name), read_name},
    {"title", AT(title), read_text},
    {"crop", AT(crop), read_text},
    {"cause", AT(cause), read_text},
    {"lives_in", AT(lives_in), read_habitat},
    {"habitat", AT(habitat), read_fact},
    {"seen", AT(seen), read_fact},
    {"unit", AT(unit), read_text},
    {"limits", 0, read_limits},
    {"value_column", AT(value_column), read_text_or_none},
    {"hits_column", AT(hits_column), read_text_or_none},
    {"checked_column", AT(checked_column), read_text_or_none},
    {"rated", AT(rated), read_rated},
    {"laboratory", AT(laboratory), read_yes},
    {"laboratory_why", AT(laboratory_why), read_fact},
    {"threshold", AT(threshold), read_threshold},
    {"threshold_why", AT(threshold_why), read_fact},
    {"too_late_in_season", 0, read_too_late},
    {"margin", AT(margin), read_fact_or_none},
    {"look_alikes", 0, read_look_alikes},
    {"cautions", 0, read_cautions},
    {0},
};

static bool read_profile(foci_profile *out, const foci_json *json, const char *file, foci_error *err) {
    foci_profile profile = {0};
    bool ok = false;
    if (!foci_json_is_object(json)) {
        foci_fail(err, FOCI_BAD_INPUT, file, 0, "is no disease profile; it must be one JSON object");
        goto done;
    }
    if (!read_members(&profile, json, profile_members, file, "", err))
        goto done;
    bool hits = profile.hits_column && *profile.hits_column;
    bool checked = profile.checked_column && *profile.checked_column;
    if (hits != checked) {
        wrong(file, hits ? "checked_column" : "hits_column", "must be given where the other of the two is", err);
        goto done;
    }
    *out = profile;
    profile = (foci_profile){0};
    ok = true;
done:
    foci_profile_free(&profile);
    return ok;
}

/* ---- by name or file ---- */

static bool no_such_profile(const char *name, foci_error *err) {
    const char *names[256] = {0};
    foci_text list = {0};
    for (size_t i = 0; foci_built_in_profiles[i].name && i < 255; i++) {
        names[i] = foci_built_in_profiles[i].name;
        if (!foci_text_add(&list, err, "%s%s", i ? ", " : "", names[i]))
            goto done;
    }
    const char *nearest = foci_text_nearest(name, names);
    foci_fail(err, FOCI_BAD_SETTING, "{disease}", 0,
              "no profile and no file '%.80s'; %s%s%sthe built-in profiles are: %s", name,
              nearest ? "did you mean " : "", nearest ? nearest : "", nearest ? "? " : "",
              list.text ? list.text : "none");
done:
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
    bool ok = read_profile(out, json, name_or_file, err);
    foci_json_free(json);
    return ok;
}

static void fact_free(foci_fact *fact) {
    free(fact->text);
    free(fact->source);
}

static void facts_free(foci_fact *facts, size_t count) {
    for (size_t i = 0; i < count; i++)
        fact_free(&facts[i]);
    free(facts);
}

void foci_profile_free(foci_profile *profile) {
    free(profile->name);
    free(profile->title);
    free(profile->crop);
    free(profile->cause);
    fact_free(&profile->habitat);
    fact_free(&profile->seen);
    free(profile->unit);
    free(profile->value_column);
    free(profile->hits_column);
    free(profile->checked_column);
    free(profile->rated);
    fact_free(&profile->laboratory_why);
    fact_free(&profile->threshold_why);
    fact_free(&profile->too_late);
    free(profile->next_season);
    fact_free(&profile->margin);
    facts_free(profile->look_alikes, profile->look_alike_count);
    facts_free(profile->cautions, profile->caution_count);
    *profile = (foci_profile){0};
}

const char *foci_profile_name(size_t index) {
    for (size_t i = 0; foci_built_in_profiles[i].name; i++)
        if (i == index)
            return foci_built_in_profiles[i].name;
    return NULL;
}

const char *foci_habitat_name(foci_habitat lives_in) {
    return (size_t)lives_in < sizeof habitat_names / sizeof *habitat_names ? habitat_names[lives_in] : "unknown";
}
