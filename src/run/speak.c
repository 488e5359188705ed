#include "run/speak.h"

#include <stdio.h>
#include <string.h>

bool foci_speak_of(foci_error *err, const foci_error *inner, const char *temporary, const char *final) {
    char source[sizeof inner->source + 1024];
    size_t length = strlen(temporary);
    if (strncmp(inner->source, temporary, length) == 0)
        snprintf(source, sizeof source, "%.1000s%s", final, inner->source + length);
    else
        snprintf(source, sizeof source, "%s", inner->source);
    return foci_fail(err, inner->status, source, inner->row, "%s", inner->text);
}
