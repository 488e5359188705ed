#include <math.h>

#include "commands.h"

static void print_fact(const char *label, const foci_fact *fact) {
    console_put("%-18s %s [%s]\n", label, fact->text, fact->source);
}

static void print_profile(const foci_profile *profile) {
    console_put("%s\n\n", profile->title);
    console_put("%-18s %s\n", "crop", profile->crop);
    console_put("%-18s %s\n", "organism", profile->cause);
    console_put("%-18s %s\n", "lives in", foci_habitat_name(profile->lives_in));
    print_fact("where it lives", &profile->habitat);
    print_fact("shows first", &profile->seen);
    console_put("%-18s %s (%s)\n", "reading", profile->unit, profile->rated);
    print_fact(profile->laboratory ? "laboratory: yes" : "laboratory: no", &profile->laboratory_why);
    if (isnan(profile->threshold))
        print_fact("threshold: none", &profile->threshold_why);
    else
        console_put("%-18s %g: %s [%s]\n", "threshold", profile->threshold, profile->threshold_why.text,
                    profile->threshold_why.source);
    if (*profile->too_late.text)
        print_fact("too late", &profile->too_late);
    if (*profile->next_season)
        console_put("%-18s %s\n", "next season", profile->next_season);
    if (*profile->margin.text)
        print_fact("margin", &profile->margin);
    for (size_t i = 0; i < profile->look_alike_count; i++)
        print_fact(i ? "" : "looks alike", &profile->look_alikes[i]);
    for (size_t i = 0; i < profile->caution_count; i++)
        print_fact(i ? "" : "cautions", &profile->cautions[i]);
}

static int list(void) {
    foci_error err = {0};
    for (size_t i = 0; foci_profile_name(i); i++) {
        foci_profile profile = {0};
        if (!foci_profile_read(&profile, foci_profile_name(i), &err))
            return console_fail(&err);
        console_put("%-40s %s\n", profile.name, profile.cause);
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
    else
        print_profile(&profile);
    foci_profile_free(&profile);
    return status;
}
