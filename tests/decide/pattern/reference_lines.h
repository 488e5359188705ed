/* Tables of testdata/reference whose lines are found by their leading words: "words,number". */
#ifndef FOCI_TESTS_REFERENCE_LINES_H
#define FOCI_TESTS_REFERENCE_LINES_H

#include "support/support.h"

/* The number `column` places behind `words` (0: the next one) in the first line that begins with them; NaN where the
 * place is empty. Fails the test where there is no such line. */
static inline double reference_number_after(const char *name, const char *words, int column) {
    char path[2048], line[1024];
    snprintf(path, sizeof path, "%s/%s", support_testdata("reference"), name);
    FILE *file = fopen(path, "r");
    if (!file)
        fail_msg("%s is missing", path);
    double found = NAN;
    bool seen = false;
    size_t length = strlen(words);
    while (!seen && fgets(line, sizeof line, file)) {
        if (strncmp(line, words, length) != 0 || line[length] != ',')
            continue;
        const char *place = line + length + 1;
        for (int i = 0; i < column && place; i++) {
            place = strchr(place, ',');
            place = place ? place + 1 : NULL;
        }
        char *end = NULL;
        seen = place != NULL;
        found = seen ? strtod(place, &end) : NAN;
        if (end == place)
            found = NAN;
    }
    fclose(file);
    if (!seen)
        fail_msg("%s has no line '%s'", path, words);
    return found;
}

/* Relative nearness; NaN equals only NaN. */
#define assert_digits(actual, expected, relative)                                                                      \
    support_near(actual, expected, (relative)*fabs(expected), __FILE__, __LINE__)

#endif
