#include "fieldfoci/paper.h"

#include <string.h>

#define POINTS_PER_MM (72 / 25.4)

const foci_paper foci_paper_table[] = {
    {"letter", 792, 612, FOCI_ACRES},
    {"a4", 297 * POINTS_PER_MM, 210 * POINTS_PER_MM, FOCI_HECTARES},
    {0},
};

const foci_paper *foci_paper_find(const char *name) {
    if (!name)
        return foci_paper_table;
    for (const foci_paper *row = foci_paper_table; row->name; row++)
        if (strcmp(row->name, name) == 0)
            return row;
    return NULL;
}

foci_measures foci_paper_measures(const foci_paper *paper) {
    return paper ? paper->measures : FOCI_ACRES;
}
