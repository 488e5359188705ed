#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "data/stops/place_columns.h"
#include "decide/words/look_sentences.h"
#include "run/look/look_candidates.h"

static bool may_be_coordinate(const foci_look *look, const foci_table *table, size_t column) {
    (void)table;
    return strcmp(look->columns[column].kind, "number") == 0;
}

static bool lies_within(const foci_look_column *column, double most) {
    return column->least >= -most && column->most <= most;
}

/* Columns that are read only where they are named. */
static bool guess_unusual(foci_look *look, const foci_table *table, foci_error *err) {
    foci_candidates east, north;
    size_t x = 0, y = 0, other_x = 0, other_y = 0;
    foci_candidates_find(&east, look, table, FOCI_ROLE_EAST, may_be_coordinate);
    foci_candidates_find(&north, look, table, FOCI_ROLE_NORTH, may_be_coordinate);
    if (!foci_candidates_best(&x, &other_x, &east) || !foci_candidates_best(&y, &other_y, &north))
        return true;
    if (other_x != SIZE_MAX || other_y != SIZE_MAX)
        return foci_sentences_add(&look->notes, err, FOCI_LOOK_TIED_PLACES,
                                  look->columns[other_x != SIZE_MAX ? x : y].name,
                                  look->columns[other_x != SIZE_MAX ? other_x : other_y].name);
    const foci_look_column *columns = look->columns;
    const bool degrees = lies_within(&columns[x], 180) && lies_within(&columns[y], 90);
    char *pair = foci_format_text(err, "%s,%s", columns[x].name, columns[y].name);
    bool ok = pair && foci_guess_add(look, "xy", pair, pair, err, FOCI_LOOK_PLACES, columns[x].name, columns[x].least,
                                     columns[x].most, columns[y].name, columns[y].least, columns[y].most,
                                     degrees ? FOCI_LOOK_AS_DEGREES : "");
    free(pair);
    return ok;
}

bool foci_look_guess_places(foci_look *look, const foci_table *table, const foci_look_options *options,
                            foci_error *err) {
    size_t x = 0, y = 0;
    if (options->xy || strcmp(look->layers[look->layer].shape, "table") != 0)
        return true;
    const size_t pairs = foci_place_columns_known(&x, &y, table);
    if (pairs == 0)
        return guess_unusual(look, table, err);
    if (pairs > 1)
        return true;
    char *pair = foci_format_text(err, "%s,%s", table->columns[x], table->columns[y]);
    bool ok = pair && foci_guess_add(look, "xy", pair, NULL, err, FOCI_LOOK_PLACES_READ);
    free(pair);
    return ok;
}
