#include "data/stops/rated_column.h"

#include "base/text.h"

#define COLUMN "rated"

long foci_rated_column_find(const foci_table *table, const foci_stops_options *options) {
    const char *const others[] = {options->value, options->hits, options->checked, options->id, options->when};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        if (others[i] && foci_text_same(others[i], COLUMN))
            return -1;
    return foci_table_column(table, COLUMN);
}

bool foci_rated_column_take(foci_stops *stops, const foci_cell *cell, const foci_stops_options *options,
                            const char *file, long row, foci_error *err) {
    if (!cell->text)
        return true;
    const foci_rating *rating = foci_rating_find(cell->text);
    if (!rating)
        return foci_fail(err, FOCI_BAD_INPUT, file, row,
                         "the column '" COLUMN "' says '%.40s'; write above-ground or dug, or give the column another "
                         "name",
                         cell->text);
    if (options->rating && options->rating != rating)
        return foci_fail(err, FOCI_BAD_INPUT, file, row,
                         "was rated %s, but {rated} says %s; leave {rated} out, or leave such stops out", rating->name,
                         options->rating->name);
    if (stops->rating && stops->rating != rating)
        return foci_fail(err, FOCI_BAD_INPUT, file, row,
                         "was rated %s, but a stop before it %s: what is seen above ground and what is dug up do not "
                         "compare; keep each kind in a file of its own and map them apart",
                         rating->name, stops->rating->name);
    stops->rating = rating;
    return true;
}
