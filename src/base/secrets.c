#include "fieldfoci/secrets.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

typedef struct {
    char *text;
    size_t size, length;
} output;

static void put(output *out, const char *text, size_t length) {
    for (size_t i = 0; i < length && out->length + 1 < out->size; i++)
        out->text[out->length++] = text[i];
}

static void put_mask(output *out) {
    put(out, "***", 3);
}

/* How many letters a key and its equals sign take where `text` begins with one; 0 where it does not. */
static size_t key_length(const char *text) {
    static const char *const keys[] = {"password", "passwd", "sslpassword", "pwd", NULL};
    for (const char *const *key = keys; *key; key++) {
        size_t length = strlen(*key);
        if (strncasecmp(text, *key, length) != 0)
            continue;
        length += strspn(text + length, " \t");
        if (text[length] == '=')
            return length + 1 + strspn(text + length + 1, " \t");
    }
    return 0;
}

/* A value in quotes or braces ends with them, a bare one at a blank; a backslash takes the next letter along, as in the
 * connection strings of PostgreSQL. Where a value does not end, all that follows is one. */
static size_t value_length(const char *text) {
    const char *ends = *text == '\'' ? "'" : *text == '"' ? "\"" : *text == '{' ? "}" : " \t\r\n";
    const bool closed = ends[1] == '\0';
    size_t length = closed;
    while (text[length] && !strchr(ends, text[length]))
        length += 1 + (text[length] == '\\' && text[length + 1]);
    if (length == 4 && strncmp(text, "***:", 4) == 0) /* masked before, and a message goes on */
        return 3;
    return length + (closed && text[length]);
}

/* After "://": where the password of user:password@ begins and ends. The last @ counts: an unescaped one may be part of
 * the password. */
static bool find_password(const char *text, size_t *start, size_t *end) {
    const size_t length = strcspn(text, " \t\r\n");
    for (*end = length; *end > 0 && text[*end] != '@'; --*end)
        ;
    *start = strcspn(text, ":") + 1;
    return text[*end] == '@' && *start < *end;
}

void foci_secrets_mask(char *out, size_t size, const char *text) {
    output masked = {out, size, 0};
    if (size == 0)
        return;
    for (size_t i = 0; text[i];) {
        const bool word = i == 0 || !(isalnum((unsigned char)text[i - 1]) || text[i - 1] == '_');
        const size_t key = word ? key_length(text + i) : 0;
        size_t start = 0, end = 0;
        if (key > 0) {
            const size_t value = value_length(text + i + key);
            put(&masked, text + i, key);
            if (value > 0)
                put_mask(&masked);
            i += key + value;
        } else if (strncmp(text + i, "://", 3) == 0 && find_password(text + i + 3, &start, &end)) {
            put(&masked, text + i, 3 + start);
            put_mask(&masked);
            i += 3 + end;
        } else {
            put(&masked, text + i++, 1);
        }
    }
    out[masked.length] = '\0';
}
