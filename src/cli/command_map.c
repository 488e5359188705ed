#include <math.h>
#include <stdio.h>

#include "commands.h"

static foci_measures measures_of(const foci_survey *round) {
    return foci_paper_measures(round->paper);
}

static void print_area(double hectares, foci_measures first) {
    char text[FOCI_WORDS_SIZE];
    foci_words_area(text, hectares, first);
    console_put("%s", text);
}

static void print_result(const foci_survey *survey) {
    const foci_survey *round = survey;
    console_put("%zu stops on ", round->readings.count);
    print_area(round->field.area_ha, measures_of(round));
    console_put("; %s, %s: ", foci_reading_word(round->stops.kind), round->stops.unit);
    if (round->surface.estimate)
        console_put("mean %s, highest %s\n", foci_number_plain(round->surface.mean, 3).text,
                    foci_number_plain(round->surface.max, 3).text);
    else
        console_put("mean of the stops %s (%s to %s)\n", foci_number_plain(round->pattern.field.mean.value, 3).text,
                    foci_number_plain(round->pattern.field.mean.low, 3).text,
                    foci_number_plain(round->pattern.field.mean.high, 3).text);
    if (round->earlier.words)
        console_put("%s\n", round->earlier.words);
    if (!round->has_zones) {
        console_put("%s\n", round->no_zones_why);
        return;
    }
    console_put("%zu hotspot%s\n", round->hotspots.count, round->hotspots.count == 1 ? "" : "s");
    for (size_t i = 0; i < round->hotspots.count; i++) {
        const foci_hotspot *spot = &round->hotspots.items[i];
        console_put("  %d: ", spot->id);
        print_area(spot->area_ha, measures_of(round));
        console_put(" at %.5f, %.5f; mean %s, peak %s", spot->centre.y, spot->centre.x,
                    foci_number_plain(spot->mean, 3).text, foci_number_plain(spot->peak, 3).text);
        if (!isnan(spot->chance))
            console_put(", chance %.2f", spot->chance);
        console_put("\n");
    }
    for (int code = FOCI_ZONE_END - 1; code >= 0; code--) {
        const foci_zone *zone = &round->zones.items[code];
        console_put("%-5s ", foci_zone_name((foci_zone_code)code));
        print_area(zone->area_ha, measures_of(round));
        console_put("\n");
    }
    if (round->surface.chance) {
        console_put("expected over the threshold, the chance counted everywhere: ");
        print_area(round->surface.over * round->field.area_ha, measures_of(round));
        console_put("\n");
    }
}

static void print_plan(const foci_survey *round) {
    const foci_zones_lanes *lanes = &round->zones.lanes;
    char text[FOCI_WORDS_SIZE];
    if (lanes->lanes > 0) {
        console_put("lanes: %zu runs, %zu switches; ", lanes->runs, lanes->switches);
        print_area(lanes->treated_ha, measures_of(round));
        console_put(" treated where cells alone would treat ");
        print_area(lanes->wanted_ha, measures_of(round));
        console_put(", missing ");
        print_area(lanes->missed_ha, measures_of(round));
        console_put(" and adding ");
        print_area(lanes->extra_ha, measures_of(round));
        console_put("\n");
    }
    if (round->has_economics)
        console_put("expected net: zones %.2f, whole field %.2f, nothing 0\n", round->economics.zones.net,
                    round->economics.whole.net);
    if (round->digs.count == 0)
        return;
    foci_words_length(text, round->digs.walk, measures_of(round));
    console_put("dig-checks, a walk of %s:\n", text);
    for (size_t i = 0; i < round->digs.count; i++) {
        const foci_dig_point *dig = &round->digs.items[i];
        console_put("  %-12s %.5f, %.5f", dig->name, dig->lonlat.y, dig->lonlat.x);
        if (!isnan(dig->chance))
            console_put("  chance %.2f", dig->chance);
        console_put("\n");
    }
}

/* Where neighbors of a hit are to be protected and no margin was asked for. */
static void print_margin(bool quiet, const foci_survey *round, const foci_settings *settings) {
    char text[1024];
    if (!round->has_profile || !*round->profile.margin.text || settings->survey.zones.margin > 0 ||
        !(round->zones.items[FOCI_ZONE_TREAT].area_ha > 0))
        return;
    snprintf(text, sizeof text, "no margin was added round the treat zones (--margin 15ft adds one of 15 ft): %s",
             round->profile.margin.text);
    console_say(quiet, "note", text);
}

static int report(const foci_survey *survey, const foci_settings *settings) {
    foci_error err = {0};
    if (settings->json)
        return console_print(foci_survey_summary(survey, settings->out, &err), &err);
    if (!settings->quiet) {
        print_result(survey);
        print_plan(survey);
        console_put("written: %s (look at map.png first)\n", settings->out);
    }
    return EXIT_DONE;
}

int command_map(const foci_settings *settings) {
    foci_error err = {0};
    foci_survey survey = {0};
    int status = EXIT_FAILED;
    if (!settings->out) {
        foci_fail(&err, FOCI_BAD_SETTING, "{out}", 0,
                  "where should the survey folder go? name a folder that does not exist yet");
        return console_fail(&err);
    }
    const foci_execution how = console_execution(settings);
    bool made = foci_survey_options_check(&settings->survey, &err) && console_read(&survey, settings, &err) &&
                foci_survey_check(&survey, &err) && foci_survey_map(&survey, &how, &err);
    console_execution_end(&how);
    if (!made || !foci_survey_write(&survey, settings->out, settings->overwrite, &err)) {
        status = console_fail(&err);
        goto done;
    }
    console_warnings(settings->quiet, &survey);
    console_sentences(settings->quiet, "even so", &survey.even_so);
    print_margin(settings->quiet, &survey, settings);
    status = report(&survey, settings);
done:
    foci_survey_free(&survey);
    return status;
}
