/* The papers that a sheet is printed on. */
#ifndef FIELDFOCI_PAPER_H
#define FIELDFOCI_PAPER_H

#include "fieldfoci/error.h"

/* What leads in words and numbers: acres and feet, or hectares and meters. */
typedef enum { FOCI_ACRES, FOCI_HECTARES } foci_measures;

/* A paper on its side; points, 72 to the inch. */
typedef struct {
    const char *name; /* "letter" */
    double width, height;
    foci_measures measures; /* of those who print on it */
} foci_paper;

/* Ends with a row of zeros; the first is the standard one. Letter: 11 by 8.5 inches (ANSI/ASME Y14.1); A4: 297 by 210
 * mm (ISO 216). */
FOCI_API extern const foci_paper foci_paper_table[];

/* The paper of this name; NULL: the standard one. NULL where there is none of that name. */
FOCI_API const foci_paper *foci_paper_find(const char *name);

/* The paper's measures; acres and feet where there is none. */
FOCI_API foci_measures foci_paper_measures(const foci_paper *paper);

#endif
