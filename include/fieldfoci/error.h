/* What went wrong, and where: the caller owns the record, the first failure wins, nothing is printed. */
#ifndef FIELDFOCI_ERROR_H
#define FIELDFOCI_ERROR_H

#include <stdbool.h>
#include <stddef.h>

#if defined(__GNUC__)
#define FOCI_API __attribute__((visibility("default")))
#define FOCI_MUST_CHECK __attribute__((warn_unused_result))
#define FOCI_PRINTF(string, first) __attribute__((format(printf, string, first)))
#else
#define FOCI_API
#define FOCI_MUST_CHECK
#define FOCI_PRINTF(string, first)
#endif

/* A whole number that is left open, where 0 is one that could be meant. */
#define FOCI_OPEN ((size_t)-1)

typedef enum {
    FOCI_OK = 0,
    FOCI_BAD_INPUT,   /* the user's file says something impossible */
    FOCI_BAD_SETTING, /* an option is missing, unknown or out of range: the command line is wrong */
    FOCI_NO_FILE,     /* a file could not be opened, read or written */
    FOCI_NO_FIT,      /* the numbers allow no answer (singular, not converged) */
    FOCI_NO_MEMORY,   /* an allocation failed */
    FOCI_STOPPED,     /* the caller asked to stop */
    FOCI_TOO_EARLY,   /* a step was called before one that it needs; the text names that */
    FOCI_STATUS_END
} foci_status;

typedef struct {
    foci_status status;
    char key[32];     /* name of the setting that the message is about, "trend"; "" if none */
    char source[256]; /* else the file, "" if none */
    long row;         /* 1-based row in source, 0 if none */
    char text[512];   /* one line, no full stop: what is wrong; what to do; a setting stands as {trend} */
} foci_error;

/* Records the first failure (later ones are ignored), passwords in it masked (secrets.h). Always false, so: return
 * foci_fail(err, ...). `err` is never NULL; the caller zeroes it. `source`: a file, or a setting as "{trend}"; may be
 * NULL. */
FOCI_API bool foci_fail(foci_error *err, foci_status status, const char *source, long row, const char *format, ...)
    FOCI_PRINTF(5, 6);

/* The same of a record that was kept apart. */
FOCI_API bool foci_fail_again(foci_error *err, const foci_error *kept);

/* A sentence for a status, never NULL. */
FOCI_API const char *foci_status_text(foci_status status);

/* Writes "source:row: text" (the parts that are there) into `line`, always terminated; settings by their bare names. */
FOCI_API void foci_error_line(const foci_error *err, char *line, size_t size);

/* The same with `mark` before each setting's name: "--" where they are options. */
FOCI_API void foci_error_line_marked(const foci_error *err, const char *mark, char *line, size_t size);

/* The text alone, likewise. */
FOCI_API void foci_error_text(const foci_error *err, const char *mark, char *text, size_t size);

#endif
