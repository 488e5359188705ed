/* What a request is answered with, and how its JSON is written. */
#ifndef FOCI_DESK_ANSWER_H
#define FOCI_DESK_ANSWER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "fieldfoci/error.h"

/* One answer; owned by whoever made it until it is sent. */
typedef struct {
    unsigned status;    /* of HTTP */
    const char *type;   /* of the content; static */
    const char *fixed;  /* static text to send, or NULL */
    char *text;         /* else an owned text, or NULL */
    size_t size;        /* of fixed or text */
    int file;           /* else an open file, -1 where there is none */
    size_t file_size;   /* its bytes */
    char cookie[128];   /* Set-Cookie, "" for none */
    char tag[64];       /* ETag, "" for none */
    char save_as[128];  /* a plain name that a browser saves it under, "" where it shows it */
    const char *policy; /* Content-Security-Policy, NULL: that of the desk's own pages; static */
} desk_answer;

desk_answer desk_answer_make(void);
void desk_answer_free(desk_answer *answer);

/* A status and one sentence for the reader, as JSON. */
desk_answer desk_answer_say(unsigned status, const char *text);

/* What the library refused: its key, file, row and text. */
desk_answer desk_answer_error(const foci_error *err);

/* Static text. */
desk_answer desk_answer_fixed(const char *type, const char *text, size_t size);

/* Takes over an open file; 500 where its size cannot be told. */
desk_answer desk_answer_file(const char *type, int file);

/* JSON into memory: begin, write to `out`, end. It must not be moved meanwhile. */
typedef struct {
    FILE *out; /* NULL where there is no memory */
    char *text;
    size_t size;
} desk_writer;

void desk_writer_begin(desk_writer *writer);
desk_answer desk_writer_end(desk_writer *writer, unsigned status);

/* "text" with its quotes, JSON's escapes, and U+FFFD for what is no UTF-8 (RFC 8259, section 7). */
void desk_put_text(FILE *out, const char *text);

/* The same of `size` bytes. */
void desk_put_bytes(FILE *out, const char *bytes, size_t size);

#endif
