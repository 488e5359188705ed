#include <stdio.h>

#include "commands.h"
#include "desk/desk.h"

static void say_address(void *context, const char *address) {
    const bool *quiet = context;
    console_put("%s\n", address);
    (void)fflush(stdout);
    console_say(*quiet, "note", "open this address in a browser on this machine; Ctrl-C ends the desk");
}

int command_desk(const foci_settings *settings) {
    foci_error err = {0};
    bool quiet = settings->quiet;
    if (settings->input_count > 1) {
        foci_fail(&err, FOCI_BAD_SETTING, settings->inputs[1], 0, "one folder at a time");
        return console_fail(&err);
    }
    const desk_options options = {.folder = settings->input_count ? settings->inputs[0] : NULL,
                                  .port = settings->port == FOCI_OPEN ? 0 : (unsigned)settings->port,
                                  .no_browser = settings->no_browser,
                                  .tell = say_address,
                                  .context = &quiet};
    return desk_run(&options, &err) ? EXIT_DONE : console_fail(&err);
}
