/* The letter from agent to grower: one page in plain words, as text to be edited and as a page. */
#ifndef FOCI_SHOW_LETTER_H
#define FOCI_SHOW_LETTER_H

#include "fieldfoci/survey.h"

bool foci_letter_write_text(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* The cautions can be edited where it is opened. */
bool foci_letter_write_html(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;

#endif
