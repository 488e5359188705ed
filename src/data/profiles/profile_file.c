/* The members of a profile's file, one reader per kind. */
#include "data/profiles/profile_file.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "fieldfoci/ordinal.h"
#include "fieldfoci/rating.h"

/* ---- one reader per kind of member: each knows where the member goes and what is wrong with it ---- */

/* `label` names the member in messages: "seen.source". */
typedef bool (*member_reader)(void *place, const foci_json *value, const char *file, const char *label,
                              foci_error *err);

static bool wrong(const char *file, const char *label, const char *what, foci_error *err) {
    return foci_fail(err, FOCI_BAD_INPUT, file, 0, "member \"%s\" %s", label, what);
}

/* Only what may be left out comes here as NULL. */
static bool is_none(const foci_json *value) {
    return !value || foci_json_is_null(value);
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

/* null: readings are amounts. A scale of the user's own goes with each survey, by an option. */
static bool read_scale(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    const char *text = foci_json_text(value), *name = NULL;
    for (size_t i = 0; text && (name = foci_ordinal_name(i)) != NULL && strcmp(name, text) != 0;)
        i++;
    if (!is_none(value) && !name)
        return wrong(file, label, "must name a built-in scale, as in \"rust-1-9\", or be null", err);
    *(char **)place = foci_copy_text(name ? name : "", err);
    return *(char **)place != NULL;
}

/* null: as each survey says. */
static bool read_rated(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    const char *text = foci_json_text(value);
    if (!foci_json_is_null(value) && !(text && foci_rating_find(text)))
        return wrong(file, label, "must be \"above-ground\" or \"dug\", or null where each survey says", err);
    *(char **)place = foci_copy_text(text ? text : "", err);
    return *(char **)place != NULL;
}

/* null: a profile of no one disease. */
static bool read_habitat(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    const char *text = foci_json_text(value);
    size_t i = foci_json_is_null(value) ? FOCI_LIVES_UNKNOWN : 0;
    while (text && i < FOCI_LIVES_UNKNOWN && strcmp(text, foci_habitat_name((foci_habitat)i)) != 0)
        i++;
    if ((!text && i == 0) || (text && i == FOCI_LIVES_UNKNOWN))
        return wrong(file, label,
                     "must be \"soil\", \"residue\", \"wind\" or \"vector\", or null where no disease is meant", err);
    *(foci_habitat *)place = (foci_habitat)i;
    return true;
}

static bool read_yes(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    return foci_json_bool(value, place) || wrong(file, label, "must be true or false", err);
}

static bool read_above_zero(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
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
    bool may_be_absent; /* where nothing is known: the same as null */
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
        if (!value && !m->may_be_absent)
            return wrong(file, full, "is missing; add it", err);
        if (!m->read((char *)place + m->where, value, file, full, err))
            return false;
    }
    return true;
}

static const member fact_members[] = {
    {"text", offsetof(foci_fact, text), read_text, false},
    {"source", offsetof(foci_fact, source), read_text, false},
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
    if (!is_none(value))
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

/* null: nothing to say. */
static bool read_look_for(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    foci_profile *profile = place;
    return is_none(value) || read_facts(&profile->look_for, &profile->look_for_count, value, file, label, err);
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

static const member dig_members[] = {
    {"first", AT(dig_first), read_yes, false},
    {"text", AT(dig.text), read_text, false},
    {"source", AT(dig.source), read_text, false},
    {0},
};

/* null: nothing to say. */
static bool read_dig(void *place, const foci_json *value, const char *file, const char *label, foci_error *err) {
    foci_profile *profile = place;
    if (is_none(value))
        return read_fact_or_none(&profile->dig, value, file, label, err);
    if (!foci_json_is_object(value))
        return wrong(file, label, "must be an object with \"first\", \"text\" and \"source\", or null", err);
    return read_members(place, value, dig_members, file, "dig.", err);
}

static const member too_late_members[] = {
    {"text", AT(too_late.text), read_text, false},
    {"source", AT(too_late.source), read_text, false},
    {"at_symptoms", AT(too_late_in_season), read_yes, false},
    {"next_season", AT(next_season), read_text_or_none, false},
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

static const member aggregation_members[] = {
    {"theta", AT(theta), read_above_zero, false},
    {"text", AT(aggregation.text), read_text, false},
    {"source", AT(aggregation.source), read_text, false},
    {0},
};

/* null: nothing is known. */
static bool read_aggregation(void *place, const foci_json *value, const char *file, const char *label,
                             foci_error *err) {
    foci_profile *profile = place;
    profile->theta = NAN;
    if (is_none(value))
        return read_fact_or_none(&profile->aggregation, value, file, label, err);
    if (!foci_json_is_object(value))
        return wrong(file, label, "must be an object with \"theta\", \"text\" and \"source\", or null", err);
    return read_members(place, value, aggregation_members, file, "aggregation.", err);
}

static const member profile_members[] = {
    {"name", AT(name), read_name, false},
    {"title", AT(title), read_text, false},
    {"crop", AT(crop), read_text, false},
    {"cause", AT(cause), read_text, false},
    {"lives_in", AT(lives_in), read_habitat, false},
    {"habitat", AT(habitat), read_fact, false},
    {"seen", AT(seen), read_fact, false},
    {"when", AT(when), read_fact_or_none, true},
    {"look_for", 0, read_look_for, true},
    {"dig", 0, read_dig, true},
    {"diagnosis", AT(diagnosis), read_fact_or_none, true},
    {"unit", AT(unit), read_text, false},
    {"limits", 0, read_limits, false},
    {"scale", AT(scale), read_scale, true},
    {"value_column", AT(value_column), read_text_or_none, false},
    {"hits_column", AT(hits_column), read_text_or_none, false},
    {"checked_column", AT(checked_column), read_text_or_none, false},
    {"rated", AT(rated), read_rated, false},
    {"laboratory", AT(laboratory), read_yes, false},
    {"laboratory_why", AT(laboratory_why), read_fact, false},
    {"threshold", AT(threshold), read_above_zero, false},
    {"threshold_why", AT(threshold_why), read_fact, false},
    {"too_late_in_season", 0, read_too_late, false},
    {"margin", AT(margin), read_fact_or_none, false},
    {"aggregation", 0, read_aggregation, true},
    {"look_alikes", 0, read_look_alikes, false},
    {"cautions", 0, read_cautions, false},
    {0},
};

bool foci_profile_of_json(foci_profile *out, const foci_json *json, const char *file, foci_error *err) {
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
    if (profile.scale && *profile.scale && (hits || profile.least < profile.most)) {
        wrong(file, hits ? "hits_column" : "limits", "must be null where \"scale\" is given: it says what is read",
              err);
        goto done;
    }
    *out = profile;
    profile = (foci_profile){0};
    ok = true;
done:
    foci_profile_free(&profile);
    return ok;
}
