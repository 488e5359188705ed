#include "decide/pattern/counts_above.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

bool foci_counts_are_whole(const double *counts, size_t count) {
    for (size_t i = 0; i < count; i++)
        if (!(counts[i] >= 0 && counts[i] <= FOCI_COUNTS_MOST) || counts[i] != floor(counts[i]))
            return false;
    return true;
}

bool foci_counts_above_make(foci_counts_above *out, const double *counts, size_t count, foci_error *err) {
    foci_counts_above table = {0};
    for (size_t i = 0; i < count; i++)
        if ((size_t)counts[i] > table.length)
            table.length = (size_t)counts[i];
    table.above = foci_new_array(table.length, sizeof *table.above, err);
    if (!table.above)
        return false;
    for (size_t i = 0; i < count; i++)
        if (counts[i] > 0)
            table.above[(size_t)counts[i] - 1]++;
    for (size_t j = table.length; j-- > 1;)
        table.above[j - 1] += table.above[j];
    *out = table;
    return true;
}

void foci_counts_above_free(foci_counts_above *table) {
    free(table->above);
    *table = (foci_counts_above){0};
}
