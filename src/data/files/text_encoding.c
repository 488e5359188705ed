#include "data/files/text_encoding.h"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/plain_file.h"

char *foci_text_encoding_copy(const char *text, foci_error *err) {
    if (CPLIsUTF8(text, -1))
        return foci_copy_text(text, err);
    char *recoded = CPLRecode(text, "CP1252", CPL_ENC_UTF8);
    char *copy = foci_copy_text(recoded, err);
    CPLFree(recoded);
    return copy;
}

/* ---- UTF-16 (RFC 2781) ---- */

typedef enum { NOT_WIDE, LITTLE_END, BIG_END } wide;

/* By its mark; without one, by zero bytes in every other place of the beginning, as plain letters have them. */
static wide wide_kind(const unsigned char *bytes, size_t size, size_t *mark) {
    size_t zeros[2] = {0, 0};
    *mark = 0;
    if (size >= 2 && ((bytes[0] == 0xFF && bytes[1] == 0xFE) || (bytes[0] == 0xFE && bytes[1] == 0xFF))) {
        *mark = 2;
        return bytes[0] == 0xFF ? LITTLE_END : BIG_END;
    }
    const size_t looked_at = size < 64 ? size & ~(size_t)1 : 64;
    for (size_t i = 0; i < looked_at; i++)
        zeros[i % 2] += bytes[i] == 0;
    if (looked_at < 4 || zeros[0] + zeros[1] == 0 || (zeros[0] && zeros[1]))
        return NOT_WIDE;
    return zeros[1] > looked_at / 4 ? LITTLE_END : zeros[0] > looked_at / 4 ? BIG_END : NOT_WIDE;
}

static uint32_t unit_at(const unsigned char *at, wide kind) {
    return kind == LITTLE_END ? (uint32_t)(at[0] | at[1] << 8) : (uint32_t)(at[1] | at[0] << 8);
}

static char *put_utf8(char *to, uint32_t code) {
    const int more = code < 0x80 ? 0 : code < 0x800 ? 1 : code < 0x10000 ? 2 : 3;
    static const unsigned char heads[] = {0, 0xC0, 0xE0, 0xF0};
    *to++ = (char)(unsigned char)(heads[more] | code >> (6 * more));
    for (int i = more - 1; i >= 0; i--)
        *to++ = (char)(unsigned char)(0x80 | (code >> (6 * i) & 0x3F));
    return to;
}

static char *from_wide(const unsigned char *bytes, size_t *size, wide kind, const char *file, foci_error *err) {
    const size_t units = *size / 2;
    char *text = foci_new_array(3 * units + 1, 1, err), *to = text;
    for (size_t i = 0; text && i < units; i++) {
        uint32_t code = unit_at(bytes + 2 * i, kind);
        const uint32_t low = code >> 10 == 0x36 && i + 1 < units ? unit_at(bytes + 2 * (i + 1), kind) : 0;
        if (low >> 10 == 0x37) {
            code = 0x10000 + ((code & 0x3FF) << 10 | (low & 0x3FF));
            i++;
        }
        if (code == 0 || code >> 11 == 0x1B) {
            foci_fail(err, FOCI_BAD_INPUT, file, 0, "is no whole UTF-16 text; save it again as CSV (UTF-8)");
            free(text);
            return NULL;
        }
        to = put_utf8(to, code);
    }
    if (text)
        *size = (size_t)(to - text);
    return text;
}

/* ---- the whole file ---- */

static bool is_whole(const char *text, size_t size, const char *file, foci_error *err) {
    return !memchr(text, '\0', size) ||
           foci_fail(err, FOCI_BAD_INPUT, file, 0, "holds zero bytes and is no text; save it again as CSV (UTF-8)");
}

char *foci_text_encoding_read(const char *file, size_t *size, bool *latin, foci_notes *notes, foci_error *err) {
    static const char utf8_mark[] = "\xEF\xBB\xBF";
    size_t mark = 0;
    char *text = foci_file_read(file, FOCI_MOST_OF_TABLE, size, err);
    if (!text)
        return NULL;
    const wide kind = wide_kind((const unsigned char *)text, *size, &mark);
    if (kind != NOT_WIDE) {
        *size -= mark;
        char *wide_text = from_wide((const unsigned char *)text + mark, size, kind, file, err);
        free(text);
        text = wide_text;
        if (!text || !foci_notes_add(notes, err, "its letters are UTF-16"))
            goto failed;
    } else if (strncmp(text, utf8_mark, 3) == 0) {
        *size -= 3;
        memmove(text, text + 3, *size + 1);
    }
    if (!is_whole(text, *size, file, err))
        goto failed;
    *latin = !CPLIsUTF8(text, -1);
    if (!*latin ||
        foci_notes_add(notes, err,
                       "its letters are no UTF-8 and were taken for Latin-1 (Windows code page 1252): look at "
                       "names with accents"))
        return text;
failed:
    free(text);
    return NULL;
}
