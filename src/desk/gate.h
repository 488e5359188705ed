/* Who may come in: a key that is void after one visit, then a cookie; the right Host and, where something is changed,
 * the right Origin (other pages in the same browser cannot forge these two). */
#ifndef FOCI_DESK_GATE_H
#define FOCI_DESK_GATE_H

#include <stdbool.h>

#include "fieldfoci/error.h"

enum { DESK_KEY_SIZE = 33, DESK_KEYS_MOST = 16 };

typedef struct {
    unsigned port;
    char session[DESK_KEY_SIZE];              /* in the cookie */
    char keys[DESK_KEYS_MOST][DESK_KEY_SIZE]; /* each opens one window, "" where it is used up */
} desk_gate;

/* Fresh secrets from the system. */
bool desk_gate_make(desk_gate *gate, unsigned port, foci_error *err) FOCI_MUST_CHECK;

/* One more key, as 32 hexadecimal digits; the oldest gives way where there are too many. */
bool desk_gate_new_key(desk_gate *gate, char key[DESK_KEY_SIZE], foci_error *err) FOCI_MUST_CHECK;

/* Whether `key` (may be NULL) opens a window; it is void from then on. */
bool desk_gate_use_key(desk_gate *gate, const char *key);

/* The Set-Cookie line; its name holds the port, since cookies do not know ports. */
void desk_gate_cookie(const desk_gate *gate, char *line, size_t size);

/* Whether a request may be served: 0, else the status to refuse it with. `host`, `origin`, `site` (Sec-Fetch-Site) and
 * `cookies` as sent, or NULL; `changes`: it is no GET. */
unsigned desk_gate_host(const desk_gate *gate, const char *host, const char *origin, const char *site, bool changes);
bool desk_gate_knows(const desk_gate *gate, const char *cookies);

#endif
