#include <math.h>

#include "commands.h"

static void print_fact(const char *label, const foci_fact *fact) {
    if (*fact->text)
        console_put("%-18s %s [%s]\n", label, fact->text, fact->source);
}

static void print_facts(const char *label, const foci_fact *facts, size_t count) {
    for (size_t i = 0; i < count; i++)
        print_fact(i ? "" : label, &facts[i]);
}

/* Numbered: they are in walking order. */
static void print_steps(const foci_profile *profile) {
    for (size_t i = 0; i < profile->look_for_count; i++)
        console_put("%-18s %zu. %s [%s]\n", i ? "" : "look for", i + 1, profile->look_for[i].text,
                    profile->look_for[i].source);
}

/* "percent of plants infected, 1 to 10 (dug; columns infected, checked)" */
static void print_reading(const foci_profile *profile) {
    const bool counts = *profile->hits_column, named = counts || *profile->value_column;
    console_put("%-18s %s", "reading", profile->unit);
    if (profile->least < profile->most)
        console_put(", from %g (nothing found) to %g", profile->least, profile->most);
    if (*profile->rated)
        console_put(" (%s)", profile->rated);
    if (named)
        console_put("; usual column%s: %s%s%s", counts ? "s" : "",
                    counts ? profile->hits_column : profile->value_column, counts ? ", " : "",
                    counts ? profile->checked_column : "");
    console_put("\n");
}

/* "the 1 to 9 rust scale of peanut [source]", and "  2: sparse pustules: 1 to 5 percent" */
static bool print_scale(const foci_profile *profile, foci_error *err) {
    foci_ordinal scale = {0};
    if (!*profile->scale)
        return true;
    if (!foci_ordinal_read(&scale, profile->scale, err))
        return false;
    console_put("%-18s %s (%s) [%s]\n", "scale", scale.title, scale.name, scale.source);
    for (size_t i = 0; i < scale.count; i++) {
        const foci_step *step = &scale.steps[i];
        console_put("%-18s %g: %s; read as %s percent (%s to %s)\n", "", step->score, step->text,
                    foci_number_plain(step->percent, 3).text, foci_number_plain(step->low, 3).text,
                    foci_number_plain(step->high, 3).text);
    }
    foci_ordinal_free(&scale);
    return true;
}

static void print_signs(const foci_profile *profile) {
    const char *lives_in = foci_habitat_name(profile->lives_in);
    console_put("%-18s %s\n", "lives in", lives_in ? lives_in : "not known: no disease is named");
    print_fact("where it lives", &profile->habitat);
    print_fact("shows first", &profile->seen);
    print_fact("in the season", &profile->when);
    print_steps(profile);
    print_fact(profile->dig_first ? "dig first: yes" : "dig first: no", &profile->dig);
    print_fact("how sure", &profile->diagnosis);
}

static bool print_profile(const foci_profile *profile, foci_error *err) {
    console_put("%s\n\n", profile->title);
    console_put("%-18s %s\n", "crop", profile->crop);
    console_put("%-18s %s\n", "organism", profile->cause);
    print_signs(profile);
    print_reading(profile);
    if (!print_scale(profile, err))
        return false;
    print_fact(profile->laboratory ? "laboratory: yes" : "laboratory: no", &profile->laboratory_why);
    if (isnan(profile->threshold))
        print_fact("threshold: none", &profile->threshold_why);
    else
        console_put("%-18s %g: %s [%s]\n", "threshold", profile->threshold, profile->threshold_why.text,
                    profile->threshold_why.source);
    print_fact("too late", &profile->too_late);
    if (*profile->next_season)
        console_put("%-18s %s\n", "next season", profile->next_season);
    print_fact("margin", &profile->margin);
    print_fact("aggregation", &profile->aggregation);
    print_facts("looks alike", profile->look_alikes, profile->look_alike_count);
    print_facts("cautions", profile->cautions, profile->caution_count);
    return true;
}

static int list(void) {
    foci_error err = {0};
    for (size_t i = 0; foci_profile_name(i); i++) {
        foci_profile profile = {0};
        if (!foci_profile_read(&profile, foci_profile_name(i), &err))
            return console_fail(&err);
        console_put("%-47s %s\n", profile.name, profile.cause);
        foci_profile_free(&profile);
    }
    return EXIT_DONE;
}

int command_profiles(const foci_settings *settings) {
    foci_error err = {0};
    foci_profile profile = {0};
    int status = EXIT_DONE;
    if (settings->input_count == 0)
        return list();
    if (settings->input_count > 1) {
        foci_fail(&err, FOCI_BAD_SETTING, settings->inputs[1], 0, "one profile at a time");
        return console_fail(&err);
    }
    if (!foci_profile_read(&profile, settings->inputs[0], &err))
        return console_fail(&err);
    if (settings->json)
        status = console_print(foci_profile_summary(&profile, &err), &err);
    else if (!print_profile(&profile, &err))
        status = console_fail(&err);
    foci_profile_free(&profile);
    return status;
}
