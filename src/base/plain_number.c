#include "fieldfoci/plain_number.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MOST_DECIMALS 12
#define MOST_PLAIN 1e21 /* as far as the digits, their commas and a sign have room */

/* Puts a comma before every third digit that stands before the point, from the back. */
static void group_digits(char *out, size_t size, const char *digits) {
    size_t whole = strspn(digits, "0123456789"), next = 0;
    for (size_t i = 0; i < whole && next + 2 < size; i++) {
        if (i > 0 && (whole - i) % 3 == 0)
            out[next++] = ',';
        out[next++] = digits[i];
    }
    snprintf(out + next, size - next, "%s", digits + whole);
}

foci_plain_number foci_number_plain(double number, int digits) {
    foci_plain_number words = {"no number"};
    char plain[64];
    if (!isfinite(number))
        return words;
    const double size = fabs(number);
    int decimals = size > 0 ? digits - 1 - (int)floor(log10(size)) : 0;
    decimals = decimals < 0 ? 0 : decimals > MOST_DECIMALS ? MOST_DECIMALS : decimals;
    snprintf(plain, sizeof plain, size < MOST_PLAIN ? "%.*f" : "%.*g", decimals, size);
    if (strchr(plain, '.')) {
        size_t end = strlen(plain);
        while (plain[end - 1] == '0')
            end--;
        plain[plain[end - 1] == '.' ? end - 1 : end] = '\0';
    }
    const bool minus = number < 0 && strspn(plain, "0.") < strlen(plain);
    words.text[0] = '-';
    group_digits(words.text + minus, sizeof words.text - minus, plain);
    return words;
}
