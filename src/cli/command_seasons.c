#include <math.h>
#include <stdio.h>

#include "commands.h"

static int fail_usage(const char *option, const char *text) {
    foci_error err = {0};
    foci_fail(&err, FOCI_BAD_SETTING, option, 0, "%s", text);
    return console_fail(&err);
}

static void print_area(const foci_expected_area *area) {
    if (isnan(area->expected))
        fputs("not compared", stdout);
    else
        printf("%.2f ha (%.2f to %.2f)", area->expected, area->low, area->high);
}

static void print_seasons(const foci_seasons *seasons) {
    for (size_t s = 0; s < seasons->count; s++) {
        const foci_round *round = &seasons->rounds[s];
        printf("%s: %zu stops, threshold %g, hot ", foci_seasons_label(seasons, s), round->readings.count,
               round->threshold);
        print_area(&seasons->persistence.hot[s]);
        if (!isnan(seasons->persistence.hot[s].expected))
            fputs(", expected with the chance counted everywhere", stdout);
        putchar('\n');
    }
}

static void print_classes(const foci_seasons *seasons) {
    if (seasons->persistence.compared < 2)
        return;
    for (int code = FOCI_CLASS_ALWAYS; code >= 0; code--) {
        if (code == FOCI_CLASS_OFTEN && seasons->persistence.compared == 2)
            continue; /* takes three seasons */
        printf("%-6s ", foci_class_name((foci_class)code));
        print_area(&seasons->persistence.classes[code]);
        putchar('\n');
    }
    printf("%-6s %.2f ha of the map\n", foci_class_name(FOCI_CLASS_UNSURE), seasons->places.unsure_ha);
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
        puts(seasons->sentences.items[i]);
    printf("written: %s (look at persistence.png first)\n", settings->out);
    return EXIT_DONE;
}

int command_seasons(const foci_settings *settings) {
    foci_error err = {0};
    foci_seasons seasons = {0};
    if (!settings->out)
        return fail_usage("--out", "where should the comparison go? name a folder that does not exist yet");
    foci_progress progress = console_progress(settings->quiet);
    bool made = foci_seasons_compare(&seasons, settings, &progress, &err);
    console_progress_end(&progress);
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
