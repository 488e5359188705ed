#include "base/text.h"

#include <string.h>

#include "base/memory.h"
#include "fieldfoci/words.h"

static const char *escape_of(unsigned char letter) {
    switch (letter) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    default:
        return letter < 0x20 || letter == 0x7F ? " " : NULL;
    }
}

size_t foci_text_character(uint32_t *code, const char *at) {
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    const unsigned char *bytes = (const unsigned char *)at, lead = *bytes;
    const size_t length = lead < 0x80 ? 1 : lead >> 5 == 6 ? 2 : lead >> 4 == 14 ? 3 : lead >> 3 == 30 ? 4 : 0;
    *code = length < 2 ? lead : lead & (0x7FU >> length);
    for (size_t i = 1; i < length; i++) {
        if (bytes[i] >> 6 != 2)
            return 0;
        *code = *code << 6 | (bytes[i] & 0x3FU);
    }
    const bool surrogate = *code >= 0xD800 && *code <= 0xDFFF, beyond = *code < least[length] || *code > 0x10FFFF;
    return surrogate || beyond ? 0 : length;
}

/* Marks of direction and what turns it (UAX #9), and the ends of lines and paragraphs. The isolates U+2068 and U+2069
 * stay: they end with the line, and names are set apart with them. */
static bool turns_the_line(uint32_t code) {
    return code == 0x061C || code == 0x200E || code == 0x200F || (code >= 0x2028 && code <= 0x202E) || code == 0x2066 ||
           code == 0x2067;
}

bool foci_text_commands(uint32_t code) {
    return code < 0x20 || (code >= 0x7F && code < 0xA0) || turns_the_line(code);
}

void foci_words_one_line(char *text) {
    char *to = text;
    for (size_t size = 0; *text; text += size) {
        uint32_t code = 0;
        size = foci_text_character(&code, text);
        if (size > 0 && !foci_text_commands(code)) {
            memmove(to, text, size);
            to += size;
        } else {
            *to++ = size > 0 ? ' ' : '?';
            size += size == 0;
        }
    }
    *to = '\0';
}

/* Hebrew to Arabic Extended, their presentation forms, the right-to-left planes, and marks of direction (UAX #9). */
static bool turns_direction(uint32_t code) {
    static const struct {
        uint32_t first, last;
    } ranges[] = {{0x0590, 0x08FF}, {0x200E, 0x200F}, {0x202A, 0x202E},   {0x2066, 0x2069},
                  {0xFB1D, 0xFDFF}, {0xFE70, 0xFEFF}, {0x10800, 0x10FFF}, {0x1E800, 0x1EFFF}};
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++)
        if (code >= ranges[i].first && code <= ranges[i].last)
            return true;
    return false;
}

bool foci_text_add_name(foci_text *text, const char *name, foci_error *err) {
    const size_t before = text->length;
    bool turns = false;
    for (size_t i = 0, size = 0; name[i] && !turns; i += size > 0 ? size : 1) {
        uint32_t code = 0;
        size = foci_text_character(&code, name + i);
        turns = size > 0 && turns_direction(code);
    }
    if (!foci_text_add(text, err, turns ? "\u2068%s\u2069" : "%s", name))
        return false;
    foci_words_one_line(text->text + before);
    text->length = before + strlen(text->text + before);
    return true;
}

static bool is_noncharacter(uint32_t code) {
    return (code & 0xFFFE) == 0xFFFE || (code >= 0xFDD0 && code <= 0xFDEF);
}

uint32_t foci_text_noncharacter(const char *text) {
    uint32_t code = 0;
    for (size_t length = 0; *text; text += length > 0 ? length : 1) {
        length = foci_text_character(&code, text);
        if (length > 0 && is_noncharacter(code))
            return code;
    }
    return 0;
}

/* How many bytes the character takes that begins here; 0 where it is none that HTML and XML may hold (RFC 3629; C1
 * controls and noncharacters left out). */
static size_t character_length(const char *at) {
    uint32_t code = 0;
    const size_t length = foci_text_character(&code, at);
    return (code >= 0x80 && code < 0xA0) || is_noncharacter(code) ? 0 : length;
}

bool foci_text_add_escaped(foci_text *text, const char *plain, foci_error *err) {
    bool ok = foci_text_add(text, err, "%s", "");
    while (ok && *plain) {
        const size_t length = character_length(plain);
        const char *escape = length == 0 ? "\xEF\xBF\xBD" : escape_of((unsigned char)*plain);
        ok = escape ? foci_text_add(text, err, "%s", escape) : foci_text_add(text, err, "%.*s", (int)length, plain);
        plain += length > 0 ? length : 1;
    }
    return ok;
}

bool foci_text_add_base64(foci_text *text, const void *bytes, size_t size, foci_error *err) {
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const unsigned char *in = bytes;
    if (!foci_grow_array((void **)&text->text, &text->capacity, text->length + 4 * (size / 3 + 1) + 1, 1, err))
        return false;
    char *out = text->text + text->length;
    for (size_t i = 0; i < size; i += 3) {
        const size_t left = size - i;
        const uint32_t group =
            (uint32_t)in[i] << 16 | (left > 1 ? (uint32_t)in[i + 1] << 8 : 0) | (left > 2 ? in[i + 2] : 0);
        *out++ = digits[group >> 18];
        *out++ = digits[group >> 12 & 63];
        *out++ = left > 1 ? digits[group >> 6 & 63] : '=';
        *out++ = left > 2 ? digits[group & 63] : '=';
    }
    *out = '\0';
    text->length = (size_t)(out - text->text);
    return true;
}
