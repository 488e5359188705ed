#include "data/files/json_file.h"

#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/plain_file.h"
#include "base/text.h"
#include "fieldfoci/words.h"

/* A foci_json is the library's value under a name of ours. */
static json_t *inner(const foci_json *value) {
    return (json_t *)value;
}

static foci_json *outer(json_t *value, foci_error *err) {
    if (!value)
        foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory for a JSON value");
    return (foci_json *)value;
}

/* ---- building ---- */

foci_json *foci_json_object(foci_error *err) {
    return outer(json_object(), err);
}

foci_json *foci_json_array(foci_error *err) {
    return outer(json_array(), err);
}

bool foci_json_put(foci_json *object, const char *key, foci_json *part, foci_error *err) {
    if (!part)
        return false;
    if (json_object_set_new(inner(object), key, inner(part)))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "'%s' cannot be a key in JSON: it is not UTF-8", key);
    return true;
}

bool foci_json_add(foci_json *array, foci_json *part, foci_error *err) {
    if (!part)
        return false;
    if (json_array_append_new(inner(array), inner(part)))
        return foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory for a JSON array");
    return true;
}

static foci_json *new_text(const char *text, foci_error *err) {
    if (!text)
        return outer(json_null(), err);
    json_t *value = json_string(text);
    if (!value)
        foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "'%s' cannot be written as JSON: it is not UTF-8", text);
    return (foci_json *)value;
}

static foci_json *new_number(double number, foci_error *err) {
    return outer(isfinite(number) ? json_real(number) : json_null(), err);
}

bool foci_json_put_text(foci_json *object, const char *key, const char *text, foci_error *err) {
    return foci_json_put(object, key, new_text(text, err), err);
}

bool foci_json_put_number(foci_json *object, const char *key, double number, foci_error *err) {
    return foci_json_put(object, key, new_number(number, err), err);
}

bool foci_json_put_whole(foci_json *object, const char *key, long long number, foci_error *err) {
    return foci_json_put(object, key, outer(json_integer(number), err), err);
}

bool foci_json_put_bool(foci_json *object, const char *key, bool yes, foci_error *err) {
    return foci_json_put(object, key, outer(json_boolean(yes), err), err);
}

bool foci_json_put_null(foci_json *object, const char *key, foci_error *err) {
    return foci_json_put(object, key, outer(json_null(), err), err);
}

bool foci_json_add_text(foci_json *array, const char *text, foci_error *err) {
    return foci_json_add(array, new_text(text, err), err);
}

bool foci_json_add_number(foci_json *array, double number, foci_error *err) {
    return foci_json_add(array, new_number(number, err), err);
}

void foci_json_free(foci_json *value) {
    json_decref(inner(value));
}

typedef struct {
    foci_text text;
    bool failed; /* kept: the library goes on where a key could not be printed */
    foci_error *err;
} printing;

/* Characters that command a terminal are escaped beyond those that JSON asks for: the text says the same. */
static bool add_character(printing *to, uint32_t code, const char *at, size_t size) {
    if (code >= 0x7F && foci_text_commands(code))
        return foci_text_add(&to->text, to->err, "\\u%04x", (unsigned)code);
    return foci_text_add(&to->text, to->err, "%.*s", (int)size, at);
}

static int print_piece(const char *piece, size_t length, void *data) {
    printing *to = data;
    for (size_t done = 0, size = 0; done < length && !to->failed; done += size) {
        uint32_t code = 0;
        for (size = 0; done + size < length && (unsigned char)piece[done + size] < 0x7F;)
            size++;
        if (size == 0) { /* the library prints UTF-8 only, and no character in two pieces */
            size = foci_text_character(&code, piece + done);
            size += size == 0;
        }
        to->failed = !add_character(to, code, piece + done, size);
    }
    return to->failed ? -1 : 0;
}

char *foci_json_print(const foci_json *value, foci_error *err) {
    printing to = {.err = err};
    if (json_dump_callback(inner(value), print_piece, &to,
                           JSON_INDENT(2) | JSON_REAL_PRECISION(17) | JSON_ENCODE_ANY)) {
        foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory to print JSON");
        foci_text_free(&to.text);
        return NULL;
    }
    return to.text.text;
}

/* ---- reading ---- */

static bool parse_bytes(foci_json **out, const char *bytes, size_t size, const char *source, foci_error *err) {
    static const char mark[] = "\xEF\xBB\xBF"; /* a byte order mark, which some editors put first */
    if (size >= 3 && memcmp(bytes, mark, 3) == 0) {
        bytes += 3;
        size -= 3;
    }
    json_error_t why = {0};
    json_t *value = json_loadb(bytes, size, JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &why);
    if (!value) {
        foci_words_one_line(why.text);
        bool memory = json_error_code(&why) == json_error_out_of_memory;
        return foci_fail(err, memory ? FOCI_NO_MEMORY : FOCI_BAD_INPUT, source, why.line > 0 ? why.line : 0,
                         "not valid JSON: %s", why.text);
    }
    *out = (foci_json *)value;
    return true;
}

bool foci_json_parse(foci_json **out, const char *text, const char *source, foci_error *err) {
    return parse_bytes(out, text, strlen(text), source, err);
}

bool foci_json_read(foci_json **out, const char *file, long most, foci_error *err) {
    size_t size = 0;
    char *bytes = foci_file_read(file, most, &size, err);
    bool ok = bytes && parse_bytes(out, bytes, size, file, err);
    free(bytes);
    return ok;
}

const foci_json *foci_json_get(const foci_json *object, const char *key) {
    return (const foci_json *)json_object_get(inner(object), key);
}

size_t foci_json_size(const foci_json *container) {
    return json_is_array(inner(container)) ? json_array_size(inner(container)) : json_object_size(inner(container));
}

const foci_json *foci_json_at(const foci_json *array, size_t index) {
    return (const foci_json *)json_array_get(inner(array), index);
}

const char *foci_json_key_after(const foci_json *object, const char *key) {
    void *entry = key ? json_object_iter_next(inner(object), json_object_iter_at(inner(object), key))
                      : json_object_iter(inner(object));
    return entry ? json_object_iter_key(entry) : NULL;
}

const char *foci_json_text(const foci_json *value) {
    return json_string_value(inner(value));
}

bool foci_json_number(const foci_json *value, double *number) {
    if (!json_is_number(inner(value)))
        return false;
    *number = json_number_value(inner(value));
    return true;
}

bool foci_json_bool(const foci_json *value, bool *yes) {
    if (!json_is_boolean(inner(value)))
        return false;
    *yes = json_is_true(inner(value));
    return true;
}

bool foci_json_is_null(const foci_json *value) {
    return json_is_null(inner(value));
}

bool foci_json_is_object(const foci_json *value) {
    return json_is_object(inner(value));
}

bool foci_json_is_array(const foci_json *value) {
    return json_is_array(inner(value));
}
