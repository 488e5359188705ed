#include "desk/gate.h"

#include <stdio.h>
#include <string.h>
#include <sys/random.h>

static bool draw(char key[DESK_KEY_SIZE], foci_error *err) {
    unsigned char bytes[(DESK_KEY_SIZE - 1) / 2];
    if (getrandom(bytes, sizeof bytes, 0) != (ssize_t)sizeof bytes)
        return foci_fail(err, FOCI_NO_FILE, NULL, 0, "the system gives no random numbers for a key");
    for (size_t i = 0; i < sizeof bytes; i++)
        snprintf(key + 2 * i, 3, "%02x", bytes[i]);
    return true;
}

bool desk_gate_make(desk_gate *gate, unsigned port, foci_error *err) {
    *gate = (desk_gate){.port = port};
    return draw(gate->session, err);
}

bool desk_gate_new_key(desk_gate *gate, char key[DESK_KEY_SIZE], foci_error *err) {
    if (!draw(key, err))
        return false;
    memmove(gate->keys[1], gate->keys[0], sizeof gate->keys - sizeof gate->keys[0]);
    memcpy(gate->keys[0], key, DESK_KEY_SIZE);
    return true;
}

/* In a time that does not depend on where they differ. */
static bool same(const char *a, size_t length, const char secret[DESK_KEY_SIZE]) {
    unsigned char differs = 0;
    if (length != DESK_KEY_SIZE - 1 || *secret == '\0')
        return false;
    for (size_t i = 0; i < length; i++)
        differs |= (unsigned char)(a[i] ^ secret[i]);
    return differs == 0;
}

bool desk_gate_use_key(desk_gate *gate, const char *key) {
    for (size_t i = 0; key && i < DESK_KEYS_MOST; i++)
        if (same(key, strlen(key), gate->keys[i])) {
            memset(gate->keys[i], 0, DESK_KEY_SIZE);
            return true;
        }
    return false;
}

static int cookie_name(const desk_gate *gate, char *name, size_t size) {
    return snprintf(name, size, "fieldfoci-%u=", gate->port);
}

void desk_gate_cookie(const desk_gate *gate, char *line, size_t size) {
    char name[32];
    cookie_name(gate, name, sizeof name);
    snprintf(line, size, "%s%s; Path=/; HttpOnly; SameSite=Strict", name, gate->session);
}

bool desk_gate_knows(const desk_gate *gate, const char *cookies) {
    char name[32];
    const size_t length = (size_t)cookie_name(gate, name, sizeof name);
    for (const char *at = cookies; at && *at;) {
        at += strspn(at, " ;");
        const size_t whole = strcspn(at, ";");
        if (whole > length && strncmp(at, name, length) == 0 && same(at + length, whole - length, gate->session))
            return true;
        at += whole;
    }
    return false;
}

unsigned desk_gate_host(const desk_gate *gate, const char *host, const char *origin, const char *site, bool changes) {
    static const char *const names[] = {"127.0.0.1", "localhost"};
    char wanted[64], from[80];
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        snprintf(wanted, sizeof wanted, "%s:%u", names[i], gate->port);
        snprintf(from, sizeof from, "http://%s", wanted);
        if (!host || strcmp(host, wanted) != 0)
            continue;
        if (origin ? strcmp(origin, from) != 0 : changes)
            return 403;
        if (site && strcmp(site, "same-origin") != 0 && (changes || strcmp(site, "none") != 0))
            return 403;
        return 0;
    }
    return 421;
}
