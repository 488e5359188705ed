#include "commands.h"

static void print_zone(const foci_task_zone *zone, const foci_task_unit *unit, foci_measures first) {
    char text[FOCI_TASK_ZONE_TEXT];
    foci_task_zone_text(text, zone, unit, first);
    console_put("%-5s %s\n", foci_zone_name(zone->code), text);
}

static void print_result(const foci_task *task, const char *folder) {
    console_put("%s for %s\n", task->product, task->field);
    for (int code = FOCI_ZONE_END - 1; code >= 0; code--)
        print_zone(&task->zones[code], task->unit, task->measures);
    console_put("written: %s (read its README.txt first; check the zones on the controller's screen before driving)\n",
                folder);
}

static int fail_usage(const char *option, const char *text) {
    foci_error err = {0};
    foci_fail(&err, FOCI_BAD_SETTING, option, 0, "%s", text);
    return console_fail(&err);
}

int command_task(const foci_settings *settings) {
    foci_error err = {0};
    foci_task task = {0};
    int status = EXIT_DONE;
    if (settings->input_count != 1)
        return fail_usage("SURVEY", "name one survey folder, as the command map writes it");
    if (!settings->out)
        return fail_usage("{out}", "where should the files go? name a folder that does not exist yet");
    foci_task_options options = settings->task;
    options.survey = settings->inputs[0];
    options.even_so = settings->survey.even_so;
    if (!foci_task_make(&task, &options, &err) || !foci_task_write(&task, settings->out, settings->overwrite, &err)) {
        status = console_fail(&err);
        goto done;
    }
    console_sentences(settings->quiet, "note", &task.notes);
    console_sentences(settings->quiet, "even so", &task.even_so);
    if (!settings->quiet)
        print_result(&task, settings->out);
done:
    foci_task_free(&task);
    return status;
}
