/* The door to the HTTP server: the only file that knows the library behind it. One thread serves all, in
 * desk_http_wait; no handler may wait for anything. */
#ifndef FOCI_DESK_HTTP_H
#define FOCI_DESK_HTTP_H

#include <signal.h>

#include "desk/answer.h"

/* One request while it is served. */
typedef struct desk_request desk_request;

enum { DESK_PARTS_MOST = 3, DESK_PART_SIZE = 256 };

/* Where a request's body goes, set when its head is judged. */
typedef struct {
    size_t most; /* bytes; more is refused with 413 */
    int file;    /* an open file that takes it; -1: into memory */
} desk_body;

struct desk_request {
    void *connection;  /* the library's */
    void *owner;       /* what desk_http_start was given */
    const void *route; /* of whoever judges it */
    char method[8];
    char parts[DESK_PARTS_MOST][DESK_PART_SIZE]; /* what stood in the path's open places, decoded */
    desk_body body;
    char *bytes;         /* the body in memory, terminated; NULL where it is empty or went to a file */
    size_t size;         /* its bytes, wherever */
    size_t room;         /* of bytes */
    bool too_much;       /* more than body.most came */
    bool failed;         /* its file could not be written */
    char temporary[128]; /* of the file it goes to */
    bool answered;       /* when its head was judged */
};

typedef struct {
    void *owner;
    /* The head is there: true, with `request->body` set, takes the request; false refuses it with *answer. `path` is
     * decoded. */
    bool (*judge)(desk_request *request, const char *path, desk_answer *answer);
    /* All of it is there, too_much and failed told. */
    desk_answer (*serve)(desk_request *request);
    /* It is over, served or broken off: what was begun for it goes. */
    void (*end)(desk_request *request);
} desk_http_calls;

typedef struct desk_http desk_http;

/* Listens at 127.0.0.1:*port; 0: at any that is free, which is put there. NULL with `err`. `calls` is borrowed. */
desk_http *desk_http_start(unsigned *port, const desk_http_calls *calls, foci_error *err);

/* Serves what is there to do, without waiting. False where it cannot go on. */
bool desk_http_serve(desk_http *http);

/* Waits for the next thing to happen, a signal among it that is open in `while_waiting`, or `seconds`. */
bool desk_http_wait(desk_http *http, const sigset_t *while_waiting, double seconds);

void desk_http_stop(desk_http *http);

/* A header of the request; an argument of the query behind its path; NULL where it has none. Borrowed. */
const char *desk_request_header(const desk_request *request, const char *name);
const char *desk_request_argument(const desk_request *request, const char *name);

#endif
