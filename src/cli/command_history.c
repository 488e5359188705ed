#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"

static void print_when(const foci_history_entry *entry) {
    console_put("  %s", *entry->season ? entry->season : "no season");
    if (*entry->first_date && strcmp(entry->first_date, entry->last_date) != 0)
        console_put(", %s to %s", entry->first_date, entry->last_date);
    else if (*entry->first_date)
        console_put(", %s", entry->first_date);
}

static void print_entry(const foci_history_entry *entry) {
    print_when(entry);
    console_put(": %s, %.0f stops, %s", *entry->disease ? entry->disease : "no disease named", entry->stops,
                entry->unit);
    if (!isnan(entry->threshold))
        console_put(", threshold %s", foci_number_plain(entry->threshold, 6).text);
    if (*entry->rated)
        console_put(", rated %s", entry->rated);
    if (*entry->crop)
        console_put("; crop: %s", entry->crop);
    if (*entry->laboratory)
        console_put("; laboratory: %s", entry->laboratory);
    console_put(" [%.12s]\n", entry->sha256);
}

static void print_entries(const foci_history_entries *entries) {
    for (size_t i = 0; i < entries->count; i++) {
        const foci_history_entry *entry = &entries->items[i];
        char area[FOCI_WORDS_SIZE];
        foci_words_area(area, entry->area_ha, foci_paper_measures(NULL));
        if (i == 0 || strcmp(entry->field, entries->items[i - 1].field) != 0)
            console_put("%s, %s\n", *entry->field ? entry->field : "field without a name", area);
        print_entry(entry);
    }
    if (entries->count == 0)
        console_put("no survey is recorded yet\n");
}

static int remove_one(const foci_settings *settings) {
    foci_error err = {0};
    char *removed = NULL;
    const foci_execution how = {.teller = console_teller(settings->quiet)};
    if (!foci_history_remove(&removed, settings->inputs[0], settings->remove, settings->survey.field.name, &how, &err))
        return console_fail(&err);
    char text[1024];
    snprintf(text, sizeof text, "taken out of %s: %s", settings->inputs[0], removed);
    console_say(settings->quiet, "note", text);
    free(removed);
    return EXIT_DONE;
}

int command_history(const foci_settings *settings) {
    foci_error err = {0};
    foci_history_entries entries = {0};
    int status = EXIT_DONE;
    const foci_execution how = {.teller = console_teller(settings->quiet)};
    if (settings->input_count != 1) {
        foci_fail(&err, FOCI_BAD_SETTING, "HISTORY", 0, "name one history, as the command record keeps it");
        return console_fail(&err);
    }
    if (settings->remove)
        return remove_one(settings);
    if (!foci_history_list(&entries, settings->inputs[0], settings->survey.field.name, &how, &err))
        status = console_fail(&err);
    else if (settings->json)
        status = console_print(foci_history_summary(&entries, &err), &err);
    else
        print_entries(&entries);
    foci_history_entries_free(&entries);
    return status;
}
