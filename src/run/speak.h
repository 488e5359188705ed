/* Messages speak of what the user named, not of the temporary name beside it. */
#ifndef FOCI_RUN_SPEAK_H
#define FOCI_RUN_SPEAK_H

#include "fieldfoci/error.h"

/* Passes `inner` on to `err`, with `temporary` at the start of its source replaced by `final`. Always false. */
bool foci_speak_of(foci_error *err, const foci_error *inner, const char *temporary, const char *final);

#endif
