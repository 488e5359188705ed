#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "commands.h"

enum { SHOWN = 5 }; /* stops at either end */

/* ---- what was read ---- */

/* "8 of 20", and "0 of 20 (up to 16 %)" where nothing was found; a score as it is. */
static void reading_words(char *text, size_t size, const foci_stop *stop) {
    double low = 0, high = 0;
    if (isnan(stop->value))
        snprintf(text, size, "%s", stop->blank_text[0] ? stop->blank_text : "blank");
    else if (isnan(stop->hits))
        snprintf(text, size, "%s", foci_number_plain(stop->value, 6).text);
    else if (stop->hits > 0 || !(stop->checked > 0))
        snprintf(text, size, "%.6g of %.6g", stop->hits, stop->checked);
    else {
        foci_share_interval(stop->hits, stop->checked, &low, &high);
        snprintf(text, size, "0 of %.6g (up to %.2g %%)", stop->checked, high);
    }
}

/* How many bytes a name takes that is `width` letters wide. */
static int bytes_for(const char *name, int width) {
    for (const char *at = name; *at; at++)
        width += ((unsigned char)*at & 0xC0) == 0x80; /* goes on with a letter (UTF-8) */
    return width;
}

static void print_stop(const foci_stop *stop) {
    char reading[64];
    reading_words(reading, sizeof reading, stop);
    const char *rater = stop->rater ? stop->rater : "";
    const bool more = *rater || !stop->used;
    console_put("  %-*s %-5ld %10.5f %11.5f  %-10s  %-*s%s%s%s%s\n", bytes_for(stop->name, 12), stop->name, stop->row,
                stop->lonlat.y, stop->lonlat.x, stop->date, more ? 22 : 0, reading, *rater ? "  " : "", rater,
                stop->used ? "" : "  not used: ", stop->why);
}

static void print_heading(const char *title) {
    console_put("\n%s\n", title);
    console_put("  %-12s %-5s %10s %11s  %-10s  %s\n", "stop", "row", "latitude", "longitude", "date", "reading");
}

static void print_stops(const foci_stops *stops) {
    print_heading("all stops, as they were read");
    for (size_t i = 0; i < stops->count; i++)
        print_stop(&stops->items[i]);
}

/* ---- the first look ---- */

static bool print_end(const char *title, const foci_stops *stops, bool lowest_first, foci_error *err) {
    size_t *order = NULL, count = 0;
    if (!foci_stops_ranked(&order, &count, stops, lowest_first, err))
        return false;
    if (count > 0)
        print_heading(title);
    for (size_t i = 0; i < count && i < SHOWN; i++)
        print_stop(&stops->items[order[i]]);
    free(order);
    return true;
}

static void print_groups(const char *title, const foci_reading_groups *groups) {
    if (groups->count)
        console_put("\n%s\n", title);
    for (size_t i = 0; i < groups->count; i++) {
        const foci_reading_group *group = &groups->items[i];
        const char *name = *group->name ? group->name : "not said";
        console_put("  %-*s %zu stop%s, mean %s", bytes_for(name, 12), name, group->stops, group->stops == 1 ? "" : "s",
                    foci_number_plain(group->mean, 4).text);
        if (!isnan(group->hits))
            console_put(" (%.0f of %.0f in all)", group->hits, group->checked);
        console_put("\n");
    }
}

static bool print_first_look(const foci_stops *stops, foci_error *err) {
    foci_reading_groups days = {0}, raters = {0};
    const bool ok = print_end("highest (check the entry, and look there again)", stops, false, err) &&
                    print_end("lowest", stops, true, err) && foci_reading_groups_by_day(&days, stops, err) &&
                    foci_reading_groups_by_rater(&raters, stops, err);
    if (ok) {
        print_groups("by day", &days);
        print_groups("by rater", &raters);
    }
    foci_reading_groups_free(&days);
    foci_reading_groups_free(&raters);
    return ok;
}

/* ---- the whole ---- */

static void print_findings(const foci_findings *findings) {
    if (findings->count)
        console_put("\nfindings\n");
    for (size_t i = 0; i < findings->count; i++)
        console_put("  %s: %s\n", findings->items[i].severity == FOCI_WARNING ? "warning" : "note",
                    findings->items[i].text);
}

static void print_spread(const foci_survey *round) {
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
}

static bool print_result(const foci_survey *survey, foci_error *err) {
    print_spread(survey);
    print_stops(&survey->stops);
    if (!print_first_look(&survey->stops, err))
        return false;
    print_findings(&survey->findings);
    return true;
}

/* The summary or the tables, and the picture where one is asked for and there is anything to draw. */
static int report(const foci_survey *survey, const foci_settings *settings, const foci_error *unfit) {
    foci_error err = {0};
    int status = EXIT_DONE;
    if (settings->out && unfit->status == FOCI_OK &&
        !foci_survey_draw_dots(survey, settings->out, settings->overwrite, &err))
        return console_fail(&err);
    if (settings->json)
        status = console_print(foci_survey_check_summary(survey, unfit, &err), &err);
    else if (unfit->status != FOCI_NO_MEMORY && !print_result(survey, &err))
        status = console_fail(&err);
    if (settings->out && unfit->status == FOCI_OK && !settings->json && !settings->quiet)
        console_put("\nwritten: %s\n", settings->out);
    return status;
}

int command_check(const foci_settings *settings) {
    foci_error err = {0}, unfit = {0};
    foci_survey survey = {0};
    if (!settings->survey.boundary) {
        foci_fail(
            &err, FOCI_BAD_SETTING, "{field}", 0,
            "the field's boundary is needed; draw it in a free map page or on a phone and save it as GeoJSON or KML");
        return console_fail(&err);
    }
    if (!console_read(&survey, settings, &err))
        return console_fail(&err);
    const bool fit = foci_survey_check(&survey, &unfit);
    int status = report(&survey, settings, &unfit);
    if (!fit)
        status = console_fail(&unfit);
    foci_survey_free(&survey);
    return status;
}
