#include "data/files/crs_text.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/plain_file.h"
#include "base/text.h"

/* ---- one text ---- */

/* Words of PROJ strings and of WKT that are followed by a file's name. `PROJ4_GRIDS` and `nadgrids` may say "@null",
 * no grid, as the usual definition of Web Mercator does. */
static const char *const file_words[] = {"init=", "grids=", "file=", "model=", "catalog=", "PROJ4_GRIDS", NULL};

static bool names_file(const char *behind) {
    behind += strspn(behind, "=\"', \t\r\n");
    return strncmp(behind, "@null", 5) != 0 || (behind[5] && !strchr(" \"'\t\r\n", behind[5]));
}

static bool has_file_word(const char *text) {
    for (const char *const *word = file_words; *word; word++)
        for (const char *at = text; (at = strcasestr(at, *word)) != NULL; at += strlen(*word))
            if (names_file(at + strlen(*word)))
                return true;
    return strcasestr(text, "PARAMETERFILE") != NULL;
}

static bool is_foreign_address(const char *text) {
    const char *mark = strstr(text, "://");
    if (!mark)
        return false;
    const char *host = mark + 3;
    return strncasecmp(host, "www.opengis.net/", 16) != 0 && strncasecmp(host, "opengis.net/", 12) != 0;
}

bool foci_crs_text_leads_away(const char *text) {
    text += strspn(text, " \t\r\n");
    if (*text == '/' || *text == '.' || *text == '{' || *text == '@' || *text == '~')
        return true;
    return has_file_word(text) || (!strchr(text, '[') && is_foreign_address(text));
}

bool foci_crs_text_check(const char *text, const char *file, foci_error *err) {
    if (!foci_crs_text_leads_away(text))
        return true;
    return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                     "its reference system leads to another file or address, which is not opened; save the file in "
                     "longitude and latitude (WGS84)");
}

/* ---- GeoJSON ---- */

enum { KEY_ROOM = 8 };

typedef struct {
    FILE *stream;
    const char *file;
    size_t depth, within; /* brackets that are open; of the innermost value of a member "crs", 0: none */
    foci_text value;      /* a string inside such a value */
    char key[KEY_ROOM];   /* the beginning of a string outside */
    size_t length;
} geojson;

static int next_letter(geojson *json) {
    int letter = getc(json->stream);
    while (letter == ' ' || letter == '\t' || letter == '\n' || letter == '\r')
        letter = getc(json->stream);
    return letter;
}

static bool not_json(const geojson *json, foci_error *err) {
    return foci_fail(err, FOCI_BAD_INPUT, json->file, 0, "is not valid JSON; save it anew as GeoJSON (RFC 7946)");
}

/* The letter behind a backslash; letters beyond ASCII make no difference here. */
static int escaped_letter(geojson *json) {
    char digits[5] = "";
    int letter = getc(json->stream);
    if (letter != 'u')
        return letter == 'n' || letter == 'r' || letter == 't' ? ' ' : letter;
    for (int i = 0; i < 4; i++) {
        letter = getc(json->stream);
        if (letter == EOF || !isxdigit(letter))
            return EOF;
        digits[i] = (char)letter;
    }
    long code = strtol(digits, NULL, 16);
    return code > 0 && code < 128 ? (int)code : '?';
}

/* The opening quote mark is read; so is the closing one afterwards. */
static bool read_string(geojson *json, foci_error *err) {
    int letter = EOF;
    json->length = 0;
    json->value.length = 0;
    while ((letter = getc(json->stream)) != '"') {
        if (letter == '\\')
            letter = escaped_letter(json);
        if (letter == EOF)
            return not_json(json, err);
        if (json->length < KEY_ROOM)
            json->key[json->length] = (char)letter;
        json->length++;
        if (json->within && !foci_text_add(&json->value, err, "%c", letter))
            return false;
    }
    return !json->within || json->length == 0 || foci_crs_text_check(json->value.text, json->file, err);
}

static bool is_crs(const geojson *json) {
    return json->length == 3 && strncasecmp(json->key, "crs", 3) == 0;
}

/* What follows a string: a member's value where it is a key. */
static bool read_member(geojson *json, foci_error *err) {
    int letter = next_letter(json);
    const bool begins = letter == ':' && is_crs(json) && !json->within;
    if (!begins) {
        ungetc(letter, json->stream);
        return true;
    }
    json->within = json->depth + 1;
    letter = next_letter(json);
    if (letter == '"') {
        bool ok = read_string(json, err);
        json->within = 0;
        return ok;
    }
    ungetc(letter, json->stream);
    if (letter != '{' && letter != '[')
        json->within = 0;
    return true;
}

static bool read_letter(geojson *json, int letter, foci_error *err) {
    switch (letter) {
    case '"':
        return read_string(json, err) && read_member(json, err);
    case '{':
    case '[':
        json->depth++;
        return true;
    case '}':
    case ']':
        if (json->depth == 0)
            return not_json(json, err);
        if (json->within == json->depth)
            json->within = 0;
        json->depth--;
        return true;
    default:
        return isalnum(letter) || (letter && strchr(",:+-. \t\r\n\x1E", letter)) || not_json(json, err);
    }
}

bool foci_crs_text_check_geojson(const char *file, foci_error *err) {
    geojson json = {.stream = foci_file_open(file, FOCI_MOST_OF_TABLE, err), .file = file};
    if (!json.stream)
        return false;
    int letter = getc(json.stream);
    bool ok = true;
    for (const char *mark = "\xEF\xBB\xBF"; *mark && letter == (unsigned char)*mark; mark++)
        letter = getc(json.stream);
    for (; ok && letter != EOF; letter = getc(json.stream))
        ok = read_letter(&json, letter, err);
    fclose(json.stream);
    foci_text_free(&json.value);
    return ok;
}
