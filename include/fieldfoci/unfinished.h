/* What is to be done about unfinished files where a process is stopped. */
#ifndef FIELDFOCI_UNFINISHED_H
#define FIELDFOCI_UNFINISHED_H

#include "fieldfoci/error.h"

/* Removes what this process is writing and has not put in its place; for a program's signal handler, which may call it
 * (async-signal-safe). The process then ends. */
FOCI_API void foci_abandon_unfinished(void);

#endif
