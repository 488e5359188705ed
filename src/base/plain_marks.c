#include "base/plain_marks.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"

static const struct {
    uint32_t code;
    char plain;
} marks[] = {
    {0x00A0, ' '},
    {0x2009, ' '},
    {0x202F, ' '}, /* spaces */
    {0x2212, '-'},
    {0x2010, '-'},
    {0x2011, '-'},
    {0x2013, '-'}, /* minus and dashes */
    {0x2032, '\''},
    {0x2019, '\''},
    {0x2018, '\''},
    {0x00B4, '\''},
    {0x02B9, '\''}, /* minutes */
    {0x2033, '"'},
    {0x201D, '"'},
    {0x201C, '"'},
    {0x02BA, '"'}, /* seconds */
    {0x00B0, FOCI_DEGREE_SIGN},
    {0x00BA, FOCI_DEGREE_SIGN},
    {0x02DA, FOCI_DEGREE_SIGN},
};

static char plain_of(uint32_t code) {
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++)
        if (marks[i].code == code)
            return marks[i].plain;
    return code == '\t' || code == '\n' || code == '\r' ? ' ' : '\0';
}

bool foci_plain_marks(char out[FOCI_PLAIN_MARKS], const char *text) {
    size_t length = 0;
    while (*text) {
        uint32_t code = 0;
        const size_t known = foci_text_character(&code, text), bytes = known ? known : 1;
        const char plain = known ? code == ' ' ? ' ' : plain_of(code) : '\0';
        if (length + bytes >= FOCI_PLAIN_MARKS)
            return false;
        if (!plain) {
            memcpy(out + length, text, bytes);
            length += bytes;
        } else if (plain != ' ' || length > 0) {
            out[length++] = plain;
        }
        text += bytes;
        if (length > 1 && out[length - 1] == '\'' && out[length - 2] == '\'')
            out[--length - 1] = '"';
    }
    while (length > 0 && out[length - 1] == ' ')
        length--;
    out[length] = '\0';
    return true;
}
