/* A boundary that was walked, driven or drawn as a line. */
#ifndef FOCI_DATA_FIELD_LINE_H
#define FOCI_DATA_FIELD_LINE_H

#include "data/files/vector_file.h"
#include "fieldfoci/checks.h"

/* Makes areas of a table's lines, each piece joined to the next and the last one to the first: where all that was
 * missing is a small part of the line, with a note. FOCI_BAD_INPUT, with the row and how much is missing, where it is
 * more, or where there are no three corners. `geographic`: coordinates are degrees, else meters of a plane. */
bool foci_field_lines_close(foci_table *table, const char *file, bool geographic, foci_error *err) FOCI_MUST_CHECK;

#endif
