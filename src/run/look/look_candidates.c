#include "run/look/look_candidates.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "decide/words/look_sentences.h"
#include "fieldfoci/words.h"

void foci_candidates_find(foci_candidates *out, const foci_look *look, const foci_table *table, foci_role role,
                          foci_may_be may_be) {
    *out = (foci_candidates){0};
    for (size_t i = 0; i < look->column_count && out->count < FOCI_MOST_CANDIDATES; i++) {
        const int fit = foci_role_fit(role, look->columns[i].name);
        if (fit == 0 || !may_be(look, table, i))
            continue;
        out->columns[out->count] = i;
        out->fits[out->count++] = fit;
    }
}

bool foci_candidates_best(size_t *column, size_t *tie, const foci_candidates *candidates) {
    int best = 0;
    *tie = SIZE_MAX;
    for (size_t i = 0; i < candidates->count; i++) {
        if (candidates->fits[i] > best) {
            best = candidates->fits[i];
            *column = candidates->columns[i];
            *tie = SIZE_MAX;
        } else if (candidates->fits[i] == best && *tie == SIZE_MAX) {
            *tie = candidates->columns[i];
        }
    }
    return candidates->count > 0;
}

bool foci_may_be_count(const foci_look *look, const foci_table *table, size_t column) {
    (void)table;
    const foci_look_column *is = &look->columns[column];
    return strcmp(is->kind, "number") == 0 && is->whole && is->least >= 0;
}

foci_range_text foci_look_range(const foci_look_column *column) {
    foci_range_text range;
    if (column->least < column->most)
        snprintf(range.text, sizeof range.text, FOCI_LOOK_FROM_TO, column->least, column->most);
    else
        snprintf(range.text, sizeof range.text, FOCI_LOOK_ALL, column->most);
    return range;
}

bool foci_guess_add(foci_look *look, const char *setting, const char *column, const char *value, foci_error *err,
                    const char *format, ...) {
    char why[512];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(why, sizeof why, format, arguments);
    va_end(arguments);
    foci_words_one_line(why); /* names in it may be cut within a character */
    foci_look_guess *guess = &look->guesses[look->guess_count++];
    guess->setting = setting;
    guess->column = foci_copy_text(column, err);
    guess->why = guess->column ? foci_copy_text(why, err) : NULL;
    if (guess->why && value)
        guess->value = foci_copy_text(value, err);
    return guess->why && (guess->value || !value);
}
