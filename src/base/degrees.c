#include "base/degrees.h"

#include <math.h>
#include <string.h>

#include "base/plain_marks.h"
#include "base/text.h"

typedef struct {
    int sign; /* 0 where none is written */
    char letter;
    size_t count;
    double parts[3];
    bool whole[3]; /* without decimals */
    bool marked;
} angle;

/* N, S, E, W or O as a word of its own, else 0; moves on behind it. */
static char take_letter(const char **text) {
    const char letter = (char)(**text & ~0x20);
    const char next = (char)((*text)[**text != '\0'] & ~0x20);
    if (!letter || !strchr("NSEWO", letter) || (next >= 'A' && next <= 'Z'))
        return 0;
    ++*text;
    *text += strspn(*text, " ");
    return letter;
}

static bool take_number(double *number, bool *whole, const char **text) {
    char digits[FOCI_PLAIN_MARKS];
    const size_t length = strspn(*text, "0123456789.,");
    if (length == 0)
        return false;
    memcpy(digits, *text, length);
    digits[length] = '\0';
    char *comma = strchr(digits, ',');
    *whole = !comma && !strchr(digits, '.');
    if (comma)
        *comma = '.'; /* nobody groups thousands of degrees */
    *text += length;
    return foci_number_parse(digits, number);
}

/* What may stand behind the degrees, the minutes and the seconds. */
static void take_mark(angle *out, size_t part, const char **text) {
    static const char signs[] = {FOCI_DEGREE_SIGN, '\'', '"'};
    static const char *const words[] = {"deg", "min", "sec"};
    *text += strspn(*text, " ");
    if (**text == signs[part] || **text == ':') {
        out->marked = out->marked || **text == FOCI_DEGREE_SIGN;
        ++*text;
    } else if (strncasecmp(*text, words[part], 3) == 0) {
        out->marked = true;
        *text += 3;
    }
    *text += strspn(*text, " ");
}

/* Splits the text; false where anything is left that does not belong to an angle. */
static bool split(angle *out, const char *text) {
    out->letter = take_letter(&text);
    if (*text == '-' || *text == '+')
        out->sign = *text++ == '-' ? -1 : 1;
    for (; out->count < 3 && *text && strchr("0123456789.,", *text); out->count++) {
        if (!take_number(&out->parts[out->count], &out->whole[out->count], &text))
            return false;
        take_mark(out, out->count, &text);
    }
    if (*text && !out->letter)
        out->letter = take_letter(&text);
    out->marked = out->marked || out->letter;
    return *text == '\0' && out->count > 0 && (out->count > 1 || out->marked);
}

static const char *fault(const angle *of, double degrees, bool east) {
    if (of->letter == 'O')
        return "has the letter O, which is east in some languages and west in others; write E or W";
    if (of->letter && !strchr(east ? "EW" : "NS", of->letter))
        return east ? "is a longitude with N or S; exchange the columns, or write E or W"
                    : "is a latitude with E or W; exchange the columns, or write N or S";
    if (of->letter && of->sign < 0)
        return "has a minus sign and the letter of a hemisphere; leave one of the two out";
    for (size_t i = 0; i + 1 < of->count; i++)
        if (!of->whole[i])
            return "has decimals before the last part; write whole degrees and minutes before it";
    for (size_t i = 1; i < of->count; i++)
        if (of->parts[i] >= 60)
            return "has 60 or more minutes or seconds; correct it, or write decimal degrees";
    if (degrees > (east ? 180 : 90))
        return east ? "is more than 180 degrees; correct it" : "is more than 90 degrees; correct it";
    return NULL;
}

foci_degrees_kind foci_degrees_parse(foci_degrees *out, const char *text, bool east) {
    char plain[FOCI_PLAIN_MARKS];
    angle found = {0};
    if (!text || !foci_plain_marks(plain, text) || !split(&found, plain))
        return FOCI_DEGREES_NONE;
    const double degrees = found.parts[0] + found.parts[1] / 60 + found.parts[2] / 3600;
    const bool negative = found.sign < 0 || found.letter == 'S' || found.letter == 'W';
    *out = (foci_degrees){negative ? -degrees : degrees, found.marked, fault(&found, degrees, east)};
    return out->wrong ? FOCI_DEGREES_WRONG : FOCI_DEGREES_READ;
}
