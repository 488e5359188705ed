#include "fieldfoci/error.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

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

#define LETTERS "abcdefghijklmnopqrstuvwxyz-"

/* How long the setting's mark {name} is that begins here; 0 where none does. */
static size_t mark_length(const char *text) {
    const size_t length = *text == '{' ? strspn(text + 1, LETTERS) : 0;
    return length > 0 && length < sizeof((foci_error *)0)->key && text[length + 1] == '}' ? length + 2 : 0;
}

bool foci_fail(foci_error *err, foci_status status, const char *source, long row, const char *format, ...) {
    if (err->status != FOCI_OK)
        return false;
    err->status = status;
    err->row = row;
    const size_t key = source ? mark_length(source) : 0;
    if (key && !source[key])
        snprintf(err->key, sizeof err->key, "%.*s", (int)key - 2, source + 1);
    else
        foci_secrets_mask(err->source, sizeof err->source, source ? source : "");
    char text[4096]; /* more than `err` holds: what is cut off must have been masked before */
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    foci_secrets_mask(err->text, sizeof err->text, text);
    return false;
}

bool foci_fail_again(foci_error *err, const foci_error *kept) {
    if (err->status == FOCI_OK)
        *err = *kept;
    return false;
}

const char *foci_status_text(foci_status status) {
    return (unsigned)status < FOCI_STATUS_END ? status_texts[status] : "unknown status";
}

void foci_error_text(const foci_error *err, const char *mark, char *text, size_t size) {
    size_t used = 0;
    if (size > 0)
        text[0] = '\0';
    for (const char *at = err->text; *at && used + 1 < size;) {
        const size_t length = mark_length(at);
        if (length)
            snprintf(text + used, size - used, "%s%.*s", mark, (int)length - 2, at + 1);
        else
            snprintf(text + used, size - used, "%c", *at);
        used += strlen(text + used);
        at += length ? length : 1;
    }
}

void foci_error_line_marked(const foci_error *err, const char *mark, char *line, size_t size) {
    char text[2 * sizeof err->text];
    foci_error_text(err, mark, text, sizeof text);
    if (err->key[0])
        snprintf(line, size, "%s%s: %s", mark, err->key, text);
    else if (err->source[0] && err->row > 0)
        snprintf(line, size, "%s:%ld: %s", err->source, err->row, text);
    else if (err->source[0])
        snprintf(line, size, "%s: %s", err->source, text);
    else
        snprintf(line, size, "%s", text);
}

void foci_error_line(const foci_error *err, char *line, size_t size) {
    foci_error_line_marked(err, "", line, size);
}
