/* While a long call runs: whom it tells that it waits. */
#ifndef FIELDFOCI_RUNNING_H
#define FIELDFOCI_RUNNING_H

#include "fieldfoci/error.h"

/* Hears a sentence of a call that is not done yet. */
typedef struct {
    void (*say)(void *context, const char *text);
    void *context;
} foci_teller;

#endif
