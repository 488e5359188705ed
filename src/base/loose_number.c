#include "base/loose_number.h"

#include <math.h>
#include <string.h>

#include "base/plain_marks.h"
#include "base/text.h"

/* ASCII alone, whatever the locale. */
static bool is_digit(char letter) {
    return letter >= '0' && letter <= '9';
}

static bool is_letter(char letter) {
    return (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z') || (unsigned char)letter >= 0x80;
}

/* "1,234,567": up to three digits that do not begin with 0, then groups of three behind the same mark. Returns its end,
 * NULL where the text does not begin so; the digits are added to `digits`. */
static const char *grouped(const char *text, char decimal, char **digits) {
    size_t first = 0;
    char *to = *digits;
    while (is_digit(text[first]))
        first++;
    const char mark = text[first];
    if (first < 1 || first > 3 || text[0] == '0' || !mark || mark == decimal || !strchr(",.' ", mark))
        return NULL;
    memcpy(to, text, first);
    to += first;
    text += first;
    while (*text == mark && is_digit(text[1])) {
        if (!is_digit(text[2]) || !is_digit(text[3]) || is_digit(text[4]))
            return NULL;
        memcpy(to, text + 1, 3);
        to += 3;
        text += 4;
    }
    if (to - *digits == (long)first)
        return NULL;
    *digits = to;
    return text;
}

/* The number at `text` with this decimal mark; `*end` is what is behind it. NaN where there is none. */
static double read_by(const char *text, char decimal, const char **end) {
    char plain[FOCI_PLAIN_MARKS + 2], *to = plain;
    double number = NAN;
    if (*text == '-' || *text == '+')
        *to++ = *text++;
    const char *behind = grouped(text, decimal, &to);
    if (!behind)
        for (behind = text; is_digit(*behind); behind++)
            *to++ = *behind;
    if (*behind == decimal && is_digit(behind[1])) {
        *to++ = '.';
        for (behind++; is_digit(*behind); behind++)
            *to++ = *behind;
    }
    *to = '\0';
    *end = behind;
    /* another mark, or one more of the same, belongs to the number: it was not read whole */
    if ((strchr(".,'", *behind) && *behind) || (*behind == ' ' && is_digit(behind[1])))
        return NAN;
    return foci_number_parse(plain, &number) ? number : NAN;
}

/* "of 10", "out of 10" or "/ 10". */
static double read_of(const char *text) {
    double number = NAN;
    text += strspn(text, " ");
    if (strncasecmp(text, "out of ", 7) == 0)
        text += 7;
    else if (strncasecmp(text, "of ", 3) == 0)
        text += 3;
    else if (*text == '/')
        text++;
    else
        return NAN;
    text += strspn(text, " ");
    const bool whole = text[strspn(text, "0123456789")] == '\0';
    return whole && foci_number_parse(text, &number) ? number : NAN;
}

/* One word or sign without digits. */
static bool read_unit(char unit[16], const char *text) {
    text += strspn(text, " ");
    const size_t length = strlen(text);
    if (length >= 16 || (length > 0 && !is_letter(*text) && *text != '%'))
        return false;
    for (size_t i = 0; i < length; i++)
        if (!is_letter(text[i]) && !strchr("%/.-", text[i]))
            return false;
    memcpy(unit, text, length + 1);
    return true;
}

bool foci_loose_number_parse(foci_loose_number *out, const char *text) {
    char plain[FOCI_PLAIN_MARKS];
    const char *by_point_end = NULL, *by_comma_end = NULL;
    if (!text || !foci_plain_marks(plain, text))
        return false;
    foci_loose_number number = {.of = NAN};
    number.by_point = read_by(plain, '.', &by_point_end);
    number.by_comma = read_by(plain, ',', &by_comma_end);
    if (isnan(number.by_point) && isnan(number.by_comma))
        return false;
    const char *end = isnan(number.by_point) ? by_comma_end : by_point_end;
    number.of = read_of(end);
    if (isnan(number.of) && !read_unit(number.unit, end))
        return false;
    *out = number;
    return true;
}
