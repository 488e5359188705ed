#include "base/text.h"

#include <stdint.h>
#include <string.h>

#include "base/memory.h"

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

/* How many bytes the character takes that begins here; 0 where it is none that HTML and XML may hold (RFC 3629; C1
 * controls and noncharacters left out). */
static size_t character_length(const unsigned char *bytes) {
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    const unsigned char lead = *bytes;
    const size_t length = lead < 0x80 ? 1 : lead >> 5 == 6 ? 2 : lead >> 4 == 14 ? 3 : lead >> 3 == 30 ? 4 : 0;
    if (length < 2)
        return length;
    uint32_t code = lead & (0x7FU >> length);
    for (size_t i = 1; i < length; i++) {
        if (bytes[i] >> 6 != 2)
            return 0;
        code = code << 6 | (bytes[i] & 0x3FU);
    }
    const bool surrogate = code >= 0xD800 && code <= 0xDFFF, beyond = code < least[length] || code > 0x10FFFF;
    return surrogate || beyond || code < 0xA0 || (code & 0xFFFE) == 0xFFFE ? 0 : length;
}

bool foci_text_add_escaped(foci_text *text, const char *plain, foci_error *err) {
    const unsigned char *at = (const unsigned char *)plain;
    bool ok = foci_text_add(text, err, "%s", "");
    while (ok && *at) {
        const size_t length = character_length(at);
        const char *escape = length == 0 ? "\xEF\xBF\xBD" : escape_of(*at);
        ok = escape ? foci_text_add(text, err, "%s", escape) : foci_text_add(text, err, "%.*s", (int)length, at);
        at += length > 0 ? length : 1;
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
