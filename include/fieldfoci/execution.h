/* How a long call is run: on how many threads, who hears how far it is, who may stop it. No result depends on it. */
#ifndef FIELDFOCI_EXECUTION_H
#define FIELDFOCI_EXECUTION_H

#include "fieldfoci/error.h"

/* `tell` hears how much is done, 0 to 1 and never less than before, from the thread that made the call; where it says
 * false the call ends with FOCI_STOPPED and leaves its result untouched. NULL: silent. `from` and `share` are set by
 * foci_execution_part; zeros: all of it. `enter` hears what is being worked on from now on, a word of static life:
 * "model", "pattern", "surface", "cross-check", "zones"; NULL: nobody does. */
typedef struct {
    bool (*tell)(void *context, double done);
    void *context;
    double from, share;
    void (*enter)(void *context, const char *phase);
} foci_progress;

/* Hears a sentence of a call that is not done yet, such as what it waits for. */
typedef struct {
    void (*say)(void *context, const char *text);
    void *context;
} foci_teller;

/* Every long call takes one; NULL is {0}: all cores, silent. Borrowed for the call alone. */
typedef struct {
    int threads; /* 0: all cores */
    foci_progress progress;
    foci_teller teller;
} foci_execution;

/* For a phase that is the part `from` to `to` (0 to 1) of the whole that `how` speaks of; NULL stays {0}. */
FOCI_API foci_execution foci_execution_part(const foci_execution *how, double from, double to);

/* Says that `done` (0 to 1) of how's part is done. FOCI_STOPPED where it is told to stop. */
FOCI_API bool foci_execution_tell(const foci_execution *how, double done, foci_error *err) FOCI_MUST_CHECK;

/* Says what is being worked on from now on. */
FOCI_API void foci_execution_enter(const foci_execution *how, const char *phase);

/* Says `text` to how's teller, if there is one. */
FOCI_API void foci_execution_say(const foci_execution *how, const char *text);

#endif
