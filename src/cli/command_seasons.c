#include <math.h>

#include "commands.h"

static int fail_usage(const char *option, const char *text) {
    foci_error err = {0};
    foci_fail(&err, FOCI_BAD_SETTING, option, 0, "%s", text);
    return console_fail(&err);
}

static foci_measures measures_of(const foci_seasons *seasons) {
    return foci_paper_measures(seasons->rounds[seasons->count - 1].paper);
}

static void print_area(const foci_estimate *area, foci_measures first) {
    char text[FOCI_WORDS_SIZE];
    foci_words_area_range(text, area->value, area->low, area->high, first);
    console_put("%s", text);
}

static void print_seasons(const foci_seasons *seasons) {
    for (size_t s = 0; s < seasons->count; s++) {
        const foci_survey *round = &seasons->rounds[s];
        console_put("%s: %zu stops, threshold %s, hot ", foci_seasons_label(seasons, s), round->readings.count,
                    foci_number_plain(round->threshold, 6).text);
        print_area(&seasons->persistence.hot[s], measures_of(seasons));
        if (!isnan(seasons->persistence.hot[s].value))
            console_put(", expected with the chance counted everywhere");
        console_put("\n");
    }
}

static void print_classes(const foci_seasons *seasons) {
    char text[FOCI_WORDS_SIZE];
    if (seasons->persistence.compared < 2)
        return;
    for (int code = FOCI_CLASS_ALWAYS; code >= 0; code--) {
        if (code == FOCI_CLASS_OFTEN && seasons->persistence.compared == 2)
            continue; /* takes three seasons */
        console_put("%-7s ", foci_seasons_class_word(seasons, (foci_class)code));
        print_area(&seasons->persistence.classes[code], measures_of(seasons));
        console_put("\n");
    }
    foci_words_area(text, seasons->places.unsure_ha, measures_of(seasons));
    console_put("%-7s %s of the map\n", foci_class_name(FOCI_CLASS_UNSURE), text);
}

static int report(const foci_seasons *seasons, const foci_settings *settings) {
    foci_error err = {0};
    if (settings->json)
        return console_print(foci_seasons_summary(seasons, &err), &err);
    if (settings->quiet)
        return EXIT_DONE;
    print_seasons(seasons);
    print_classes(seasons);
    for (size_t i = 0; i < seasons->sentences.count; i++)
        console_put("%s\n", seasons->sentences.items[i]);
    console_put("written: %s (look at persistence.png first)\n", settings->out);
    return EXIT_DONE;
}

int command_seasons(const foci_settings *settings) {
    foci_error err = {0};
    foci_seasons seasons = {0};
    if (!settings->out)
        return fail_usage("{out}", "where should the comparison go? name a folder that does not exist yet");
    const foci_execution how = console_execution(settings);
    bool made = foci_seasons_compare(&seasons, settings, &how, &err);
    console_execution_end(&how);
    if (!made || !foci_seasons_write(&seasons, settings->out, settings->overwrite, &err)) {
        foci_seasons_free(&seasons);
        return console_fail(&err);
    }
    console_sentences(settings->quiet, "warning", &seasons.warnings);
    console_sentences(settings->quiet, "even so", &seasons.even_so);
    int status = report(&seasons, settings);
    foci_seasons_free(&seasons);
    return status;
}
