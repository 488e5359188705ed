#include "commands.h"

static void print_stops(const foci_stops *stops) {
    bool heading = false;
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        if (stop->used)
            continue;
        if (!heading)
            console_put("\n%-12s %-6s %s\n", "not used", "row", "why");
        heading = true;
        console_put("%-12s %-6ld %s\n", stop->name, stop->row, stop->why);
    }
}

static void print_findings(const foci_findings *findings) {
    if (findings->count)
        console_put("\nfindings\n");
    for (size_t i = 0; i < findings->count; i++)
        console_put("  %s: %s\n", findings->items[i].severity == FOCI_WARNING ? "warning" : "note",
                    findings->items[i].text);
}

static void print_result(const foci_survey *round) {
    char text[FOCI_WORDS_SIZE];
    for (size_t i = 0; i < round->stops.input_count; i++)
        console_put("%s: %zu rows of layer %s\n", round->stops.inputs[i].file, round->stops.inputs[i].rows,
                    round->stops.inputs[i].layer);
    foci_words_area(text, round->field.area_ha, foci_paper_measures(round->paper));
    console_put("field %s: %s, worked in %s\n", round->field.name, text, round->work_crs);
    console_put("%zu stops would be used of %zu", round->readings.count, round->stops.count);
    if (round->readings.count) {
        foci_words_length(text, round->readings.spacing, foci_paper_measures(round->paper));
        console_put(", median distance to the nearest %s\n", text);
        console_put("%s, %s: least %s, median %s, mean %s, most %s, ", foci_reading_word(round->stops.kind),
                    round->stops.unit, foci_number_plain(round->readings.spread.min, 4).text,
                    foci_number_plain(round->readings.spread.median, 4).text,
                    foci_number_plain(round->readings.spread.mean, 4).text,
                    foci_number_plain(round->readings.spread.max, 4).text);
        if (round->readings.none != 0)
            console_put("%zu with nothing found (%s)", round->readings.spread.zeros,
                        foci_number_plain(round->readings.none, 6).text);
        else
            console_put("%zu zero", round->readings.spread.zeros);
    }
    console_put("\n");
    print_stops(&round->stops);
    print_findings(&round->findings);
}

int command_check(const foci_settings *settings) {
    foci_error err = {0}, unfit = {0};
    foci_survey survey = {0};
    int status = EXIT_DONE;
    if (!settings->survey.boundary) {
        foci_fail(
            &err, FOCI_BAD_SETTING, "{field}", 0,
            "the field's boundary is needed; draw it in a free map page or on a phone and save it as GeoJSON or KML");
        return console_fail(&err);
    }
    if (!console_read(&survey, settings, &err))
        return console_fail(&err);
    const bool fit = foci_survey_check(&survey, &unfit);
    if (settings->json)
        status = console_print(foci_survey_check_summary(&survey, &unfit, &err), &err);
    else if (unfit.status != FOCI_NO_MEMORY)
        print_result(&survey);
    if (!fit)
        status = console_fail(&unfit);
    foci_survey_free(&survey);
    return status;
}
