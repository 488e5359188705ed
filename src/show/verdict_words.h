/* The headline where the verdict is not that the disease is patchy. Owned by the caller; NULL and `err` filled where
 * memory is out. */
#ifndef FOCI_SHOW_VERDICT_WORDS_H
#define FOCI_SHOW_VERDICT_WORDS_H

#include "fieldfoci/round.h"

/* "" for a patchy one. */
char *foci_words_doubt(const foci_round *round, foci_error *err) FOCI_MUST_CHECK;

#endif
