/* While a long call runs: whom it tells that it waits, and what is to be done when it is stopped. */
#ifndef FIELDFOCI_RUNNING_H
#define FIELDFOCI_RUNNING_H

#include "fieldfoci/error.h"

/* Hears a sentence of a call that is not done yet. */
typedef struct {
    void (*say)(void *context, const char *text);
    void *context;
} foci_teller;

/* Removes what this process is writing and has not put in its place; for a program's signal handler, which may call it
 * (async-signal-safe). The process then ends. */
FOCI_API void foci_abandon_unfinished(void);

#endif
