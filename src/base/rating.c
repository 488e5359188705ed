#include "fieldfoci/rating.h"

#include <stddef.h>

#include "base/text.h"

const foci_rating foci_rating_table[] = {
    {"above-ground"},
    {"dug"},
    {0},
};

const foci_rating *foci_rating_find(const char *name) {
    if (foci_text_same(name, "above ground"))
        return foci_rating_table;
    for (const foci_rating *row = foci_rating_table; row->name; row++)
        if (foci_text_same(name, row->name))
            return row;
    return NULL;
}
