#include <string.h>

#include "desk/rooms.h"

static int digit(char c) {
    if (c >= '0' && c <= '9')
        return c - '0';
    c = (char)(c | 0x20);
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

/* In place (WHATWG URL, "application/x-www-form-urlencoded parsing"); false for a zero byte, which ends a C text. */
static bool decode(char *text) {
    char *to = text;
    for (const char *at = text; *at; at++) {
        if (*at == '%' && digit(at[1]) >= 0 && digit(at[2]) >= 0) {
            *to = (char)(16 * digit(at[1]) + digit(at[2]));
            at += 2;
            if (*to == '\0')
                return false;
        } else {
            *to = *at == '+' ? ' ' : *at;
        }
        to++;
    }
    *to = '\0';
    return true;
}

bool desk_form_next(char **at, char **name, char **value) {
    char *pair = *at;
    if (!pair || !*pair)
        return false;
    char *end = strchr(pair, '&');
    if (end)
        *end = '\0';
    *at = end ? end + 1 : NULL;
    char *equals = strchr(pair, '=');
    *name = pair;
    *value = NULL;
    if (equals) {
        *equals = '\0';
        if (decode(pair) && decode(equals + 1))
            *value = equals + 1;
    }
    return true;
}
