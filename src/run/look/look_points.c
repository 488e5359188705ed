#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "data/places/projection.h"
#include "data/stops/place_columns.h"
#include "data/stops/point_table.h"
#include "decide/words/look_sentences.h"
#include "run/look/look_parts.h"

/* The code of a system, else its name. */
static bool tell_system(foci_look_layer *layer, const char *crs, const char *file, foci_error *err) {
    foci_crs_facts facts = {0};
    if (!foci_crs_describe(&facts, crs, file, err))
        return false;
    char *told = foci_copy_text(*facts.code ? facts.code : facts.name, err);
    if (!told)
        return false;
    free(layer->crs);
    layer->crs = told;
    return true;
}

static bool take(foci_look *look, const foci_point_table *points, foci_error *err) {
    size_t placed = 0;
    look->points = foci_new_array(FOCI_LOOK_POINTS, sizeof *look->points, err);
    if (!look->points || !tell_system(&look->layers[look->layer], points->crs, look->file, err))
        return false;
    for (size_t i = 0; i < points->table.row_count; i++) {
        if (isnan(points->lonlat[i].x))
            continue;
        if (placed++ < FOCI_LOOK_POINTS)
            look->points[look->point_count++] = points->lonlat[i];
    }
    look->has_points = true;
    look->points_more = placed - look->point_count;
    return placed == points->table.row_count ||
           foci_sentences_add(&look->notes, err, FOCI_LOOK_NO_PLACE, points->table.row_count - placed,
                              points->table.row_count, points->table.row_count - placed == 1 ? "has" : "have");
}

/* What stands in the way of the points is told, unless the caller named their columns. */
static bool tell(foci_look *look, const foci_look_options *options, const foci_error *why, foci_error *err) {
    if (why->status != FOCI_BAD_INPUT || options->xy)
        return foci_fail_again(err, why);
    if (why->row > 0)
        return foci_sentences_add(&look->notes, err, FOCI_LOOK_NO_POINTS_ROW, why->row, why->text);
    return foci_sentences_add(&look->notes, err, FOCI_LOOK_NO_POINTS, why->text);
}

bool foci_look_points(foci_look *look, foci_table *table, const foci_look_options *options, foci_error *err) {
    const bool is_table = strcmp(look->layers[look->layer].shape, "table") == 0;
    size_t x = 0, y = 0;
    foci_point_table points = {.table = *table};
    foci_error why = {0};
    if (is_table && !options->xy && foci_place_columns_known(&x, &y, table) == 0)
        return foci_sentences_add(&look->notes, err, FOCI_LOOK_NO_PLACES);
    bool ok = foci_point_table_place(&points, look->file, options->crs, options->xy, &why)
                  ? take(look, &points, err)
                  : tell(look, options, &why, err);
    *table = points.table;
    points.table = (foci_table){0};
    foci_point_table_free(&points);
    return ok;
}
