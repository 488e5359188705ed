/* Text: a growing string, strict numbers, escaping, and the nearest word for a mistyped one. */
#ifndef FOCI_BASE_TEXT_H
#define FOCI_BASE_TEXT_H

#include <stdint.h>

#include "fieldfoci/error.h"

/* A growing string; {0} is empty. `text` is always terminated once something was added. */
typedef struct {
    char *text;
    size_t length, capacity;
} foci_text;

bool foci_text_add(foci_text *text, foci_error *err, const char *format, ...) FOCI_MUST_CHECK FOCI_PRINTF(3, 4);
/* Adds a name of someone else's as one line, set apart (Unicode's isolates U+2068 and U+2069, UAX #9) where it holds
 * letters that run from right to left: the numbers after it then keep their order. */
bool foci_text_add_name(foci_text *text, const char *name, foci_error *err) FOCI_MUST_CHECK;

void foci_text_free(foci_text *text);

/* The character at `at` (no end of text) and how many bytes it takes; 0 where it is no UTF-8 (RFC 3629). */
size_t foci_text_character(uint32_t *code, const char *at);

/* Whether a terminal may take this character for a command, or shows what is around it as another line or in another
 * order. */
bool foci_text_commands(uint32_t code);

/* The first code in the text that Unicode keeps from ever being a letter (its noncharacters, section 23.7: U+FDD0 to
 * U+FDEF and the last two of each plane), which no page or XML file can hold; 0 where there is none. */
uint32_t foci_text_noncharacter(const char *text);

/* Adds `plain` so that HTML and XML read it as text, between tags or in quotes: & < > " ' are escaped, control
 * characters become blanks, and what is no UTF-8 becomes U+FFFD. */
bool foci_text_add_escaped(foci_text *text, const char *plain, foci_error *err) FOCI_MUST_CHECK;

/* Adds the bytes in base 64 (RFC 4648, with padding), on one line. */
bool foci_text_add_base64(foci_text *text, const void *bytes, size_t size, foci_error *err) FOCI_MUST_CHECK;

/* Strict: the whole of `text` (blanks around it allowed) is one finite number with a point, independent of the locale.
 * A decimal comma, "nan" and "inf" are refused. */
bool foci_number_parse(const char *text, double *number);

/* The candidate with the least edit distance from `word`, or NULL where none is near (distance above a third of its
 * length, at least 2). `candidates` ends with NULL. */
const char *foci_text_nearest(const char *word, const char *const *candidates);

/* Equal without regard to ASCII case. */
bool foci_text_same(const char *a, const char *b);

#endif
