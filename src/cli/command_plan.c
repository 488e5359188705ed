#include "commands.h"

static int report(const foci_plan *plan, const foci_settings *settings) {
    foci_error err = {0};
    if (settings->json)
        return console_print(foci_plan_summary(plan, &err), &err);
    for (size_t i = 0; !settings->quiet && i < plan->facts.count; i++)
        console_put("%s\n", plan->facts.items[i]);
    if (!settings->quiet)
        console_put("written: %s\n", settings->out);
    return EXIT_DONE;
}

int command_plan(const foci_settings *settings) {
    foci_error err = {0};
    foci_plan plan = {0};
    if (!settings->out) {
        foci_fail(&err, FOCI_BAD_SETTING, "{out}", 0,
                  "where should the plan go? name a file that ends with .csv, .geojson, .gpx or .pdf");
        return console_fail(&err);
    }
    const foci_execution how = console_execution(settings);
    const bool made = foci_plan_make(&plan, settings, &how, &err);
    console_execution_end(&how);
    int status = EXIT_FAILED;
    if (!made || !foci_plan_write(&plan, settings->out, settings->overwrite, &err)) {
        status = console_fail(&err);
    } else {
        console_sentences(settings->quiet, "note", &plan.messages);
        console_sentences(settings->quiet, "warning", &plan.warnings);
        status = report(&plan, settings);
    }
    foci_plan_free(&plan);
    return status;
}
