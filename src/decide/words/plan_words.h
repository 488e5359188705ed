/* What a plan says: at the terminal, in its files, on the field sheet. */
#ifndef FOCI_DECIDE_PLAN_WORDS_H
#define FOCI_DECIDE_PLAN_WORDS_H

#include "fieldfoci/plan.h"

/* Facts, warnings and cautions of a plan whose places are laid. */
bool foci_plan_tell(foci_plan *plan, foci_error *err) FOCI_MUST_CHECK;

/* What is read in the field, under headings. */
typedef struct {
    const char *text; /* owned by the words */
    bool heading;
} foci_plan_paragraph;

typedef struct {
    size_t count, capacity;
    foci_plan_paragraph *items; /* owned, with the texts */
} foci_plan_words;

void foci_plan_words_free(foci_plan_words *words);

/* How to stop, look and write it down, in a few lines; and signs, look-alikes, and what goes to a clinic. */
bool foci_plan_words_how(foci_plan_words *words, const foci_plan *plan, foci_error *err) FOCI_MUST_CHECK;
bool foci_plan_words_signs(foci_plan_words *words, const foci_plan *plan, foci_error *err) FOCI_MUST_CHECK;

#endif
