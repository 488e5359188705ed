/* Cells as people and their programs write them: typographic marks put back to the plain ones. */
#ifndef FOCI_BASE_PLAIN_MARKS_H
#define FOCI_BASE_PLAIN_MARKS_H

#include "fieldfoci/error.h"

enum { FOCI_PLAIN_MARKS = 64 };

/* Stands for every degree sign. */
#define FOCI_DEGREE_SIGN '\1'

/* Copies `text` without the blanks around it; hard and thin spaces become blanks, dashes and the minus sign '-', all
 * primes and closing quotes ' and ", degree signs and ordinal marks FOCI_DEGREE_SIGN, two single primes one double one.
 * False where it is too long to be a number or an angle. */
bool foci_plain_marks(char out[FOCI_PLAIN_MARKS], const char *text);

#endif
