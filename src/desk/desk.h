/* The desk: the same job without a command line, as a page on the user's own machine. */
#ifndef FOCI_DESK_DESK_H
#define FOCI_DESK_DESK_H

#include <stdbool.h>

#include "fieldfoci/error.h"

typedef struct {
    const char *folder; /* NULL: fieldfoci in the user's home */
    unsigned port;      /* 0: any that is free */
    bool no_browser;
    /* Hears the address with its key, once it can be opened. */
    void (*tell)(void *context, const char *address);
    void *context;
} desk_options;

/* Serves 127.0.0.1 until the page, SIGINT or SIGTERM ends it; what was running is ended with it. */
bool desk_run(const desk_options *options, foci_error *err) FOCI_MUST_CHECK;

#endif
