/* JSON, in and out: the only door to the JSON library. */
#ifndef FOCI_DATA_JSON_FILE_H
#define FOCI_DATA_JSON_FILE_H

#include "fieldfoci/error.h"

typedef struct foci_json foci_json; /* a value: object, array, text, number, true/false or null */

/* ---- building: a container takes what is put into it; on failure false, and the part is freed all the same ---- */
foci_json *foci_json_object(foci_error *err) FOCI_MUST_CHECK;
foci_json *foci_json_array(foci_error *err) FOCI_MUST_CHECK;
bool foci_json_put(foci_json *object, const char *key, foci_json *part, foci_error *err) FOCI_MUST_CHECK;
bool foci_json_put_text(foci_json *object, const char *key, const char *text,
                        foci_error *err) FOCI_MUST_CHECK; /* NULL: null */
bool foci_json_put_number(foci_json *object, const char *key, double number,
                          foci_error *err) FOCI_MUST_CHECK; /* NaN, inf: null */
bool foci_json_put_whole(foci_json *object, const char *key, long long number, foci_error *err) FOCI_MUST_CHECK;
bool foci_json_put_bool(foci_json *object, const char *key, bool yes, foci_error *err) FOCI_MUST_CHECK;
bool foci_json_put_null(foci_json *object, const char *key, foci_error *err) FOCI_MUST_CHECK;
bool foci_json_add(foci_json *array, foci_json *part, foci_error *err) FOCI_MUST_CHECK;
bool foci_json_add_text(foci_json *array, const char *text, foci_error *err) FOCI_MUST_CHECK;
bool foci_json_add_number(foci_json *array, double number, foci_error *err) FOCI_MUST_CHECK;
void foci_json_free(foci_json *value);

/* Indented text, numbers with 17 significant digits at most, keys in the order they were put; owned by the caller. */
char *foci_json_print(const foci_json *value, foci_error *err) FOCI_MUST_CHECK;

/* ---- reading: what is handed out belongs to its parent ---- */
/* Strict JSON; the error names `source`, and the line where it is wrong. Duplicate keys are refused. */
bool foci_json_parse(foci_json **out, const char *text, const char *source, foci_error *err) FOCI_MUST_CHECK;
/* Of a file of `most` bytes (FOCI_MOST_OF_...). */
bool foci_json_read(foci_json **out, const char *file, long most, foci_error *err) FOCI_MUST_CHECK;
const foci_json *foci_json_get(const foci_json *object, const char *key); /* NULL where absent or no object */
size_t foci_json_size(const foci_json *container);
const foci_json *foci_json_at(const foci_json *array, size_t index);
const char *foci_json_key_after(const foci_json *object, const char *key); /* in the file's order; NULL: the first */
const char *foci_json_text(const foci_json *value);                        /* NULL where it is no text */
bool foci_json_number(const foci_json *value, double *number);             /* false where it is no number */
bool foci_json_bool(const foci_json *value, bool *yes);
bool foci_json_is_null(const foci_json *value);
bool foci_json_is_object(const foci_json *value);
bool foci_json_is_array(const foci_json *value);

#endif
