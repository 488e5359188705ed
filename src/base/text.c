#include "base/text.h"

#include <locale.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

bool foci_text_add(foci_text *text, foci_error *err, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    int more = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (more < 0)
        return foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "text could not be formatted");
    if (!foci_grow_array((void **)&text->text, &text->capacity, text->length + (size_t)more + 1, 1, err))
        return false;
    va_start(arguments, format);
    vsnprintf(text->text + text->length, (size_t)more + 1, format, arguments);
    va_end(arguments);
    text->length += (size_t)more;
    return true;
}

void foci_text_free(foci_text *text) {
    free(text->text);
    *text = (foci_text){0};
}

static bool is_blank(char c) {
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

static const char *skip_blanks(const char *text) {
    while (is_blank(*text))
        text++;
    return text;
}

static const char *skip_digits(const char *text) {
    while (is_digit(*text))
        text++;
    return text;
}

/* The end of [+-] digits [. digits] [e [+-] digits], or NULL where `text` does not begin so: strtod alone would also
 * take hexadecimal, "nan" and "inf". */
static const char *number_end(const char *text) {
    if (*text == '+' || *text == '-')
        text++;
    const char *whole = skip_digits(text);
    const char *end = whole;
    size_t digits = (size_t)(whole - text);
    if (*whole == '.') {
        end = skip_digits(whole + 1);
        digits += (size_t)(end - whole) - 1;
    }
    if (digits == 0)
        return NULL;
    if (*end == 'e' || *end == 'E') {
        const char *power = end + 1;
        if (*power == '+' || *power == '-')
            power++;
        if (!is_digit(*power))
            return NULL;
        end = skip_digits(power);
    }
    return end;
}

bool foci_number_parse(const char *text, double *number) {
    if (!text)
        return false;
    text = skip_blanks(text);
    const char *end = number_end(text);
    if (!end || *skip_blanks(end))
        return false;
    locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0); /* a host program may have set a decimal comma */
    if (!plain)
        return false;
    double value = strtod_l(text, NULL, plain);
    freelocale(plain);
    if (!isfinite(value))
        return false;
    *number = value;
    return true;
}

static char lower(char c) {
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

bool foci_text_same(const char *a, const char *b) {
    while (*a && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return lower(*a) == lower(*b);
}

enum { WORD_MOST = 120 }; /* longer words are not compared */

static size_t least_of(size_t a, size_t b, size_t c) {
    size_t least = a < b ? a : b;
    return least < c ? least : c;
}

/* Letters added, dropped, changed, or swapped with their neighbour (optimal string alignment). */
static size_t edit_distance(const char *a, size_t a_length, const char *b, size_t b_length) {
    size_t rows[3][WORD_MOST + 1]; /* the row before last, the last, and the one being filled */
    size_t *before = rows[0], *last = rows[1], *row = rows[2];
    for (size_t j = 0; j <= b_length; j++)
        before[j] = last[j] = j;
    for (size_t i = 1; i <= a_length; i++) {
        row[0] = i;
        for (size_t j = 1; j <= b_length; j++) {
            char x = lower(a[i - 1]), y = lower(b[j - 1]);
            row[j] = least_of(last[j] + 1, row[j - 1] + 1, last[j - 1] + (x != y));
            if (i > 1 && j > 1 && x == lower(b[j - 2]) && lower(a[i - 2]) == y && before[j - 2] + 1 < row[j])
                row[j] = before[j - 2] + 1;
        }
        size_t *spare = before;
        before = last;
        last = row;
        row = spare;
    }
    return last[b_length];
}

const char *foci_text_nearest(const char *word, const char *const *candidates) {
    size_t length = strlen(word);
    size_t least = length / 3 > 2 ? length / 3 : 2;
    const char *nearest = NULL;
    if (length > WORD_MOST)
        return NULL;
    for (; *candidates; candidates++) {
        size_t other = strlen(*candidates);
        if (other > WORD_MOST)
            continue;
        size_t distance = edit_distance(word, length, *candidates, other);
        bool shares_a_letter = distance < (length > other ? length : other) || distance == 0;
        if (shares_a_letter && (nearest ? distance < least : distance <= least)) {
            least = distance;
            nearest = *candidates;
        }
    }
    return nearest;
}
