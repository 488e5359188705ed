/* What the letter says, in the order that it is read. */
#ifndef FOCI_DECIDE_LETTER_WORDS_H
#define FOCI_DECIDE_LETTER_WORDS_H

#include "fieldfoci/survey.h"

typedef enum {
    FOCI_LETTER_FOUND,
    FOCI_LETTER_LOOK,
    FOCI_LETTER_NOT,
    FOCI_LETTER_CAUTIONS,
    FOCI_LETTER_PARTS
} foci_letter_part;

/* {0} is no letter. */
typedef struct {
    char *about;                             /* field, disease, dates; owned */
    char *finding;                           /* the sheet's headline; owned */
    foci_sentences parts[FOCI_LETTER_PARTS]; /* paragraphs */
} foci_letter;

/* "What was found". */
const char *foci_letter_heading(foci_letter_part part);

bool foci_letter_make(foci_letter *out, const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;
void foci_letter_free(foci_letter *letter);

#endif
