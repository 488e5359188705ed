#include "fieldfoci/error.h"

#include <stdarg.h>
#include <stdio.h>

#include "fieldfoci/secrets.h"

static const char *const status_texts[] = {
    [FOCI_OK] = "done",
    [FOCI_BAD_INPUT] = "the input is not usable",
    [FOCI_BAD_SETTING] = "an option is not usable",
    [FOCI_NO_FILE] = "a file could not be read or written",
    [FOCI_NO_FIT] = "the numbers allow no answer",
    [FOCI_NO_MEMORY] = "not enough memory",
    [FOCI_STOPPED] = "stopped",
    [FOCI_TOO_EARLY] = "a step is missing",
};
_Static_assert(sizeof status_texts / sizeof *status_texts == FOCI_STATUS_END, "every status has a text");

bool foci_fail(foci_error *err, foci_status status, const char *source, long row, const char *format, ...) {
    if (err->status != FOCI_OK)
        return false;
    err->status = status;
    err->row = row;
    foci_secrets_mask(err->source, sizeof err->source, source ? source : "");
    char text[4096]; /* more than `err` holds: what is cut off must have been masked before */
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    foci_secrets_mask(err->text, sizeof err->text, text);
    return false;
}

const char *foci_status_text(foci_status status) {
    return (unsigned)status < FOCI_STATUS_END ? status_texts[status] : "unknown status";
}

void foci_error_line(const foci_error *err, char *line, size_t size) {
    if (err->source[0] && err->row > 0)
        snprintf(line, size, "%s:%ld: %s", err->source, err->row, err->text);
    else if (err->source[0])
        snprintf(line, size, "%s: %s", err->source, err->text);
    else
        snprintf(line, size, "%s", err->text);
}
