#include "fieldfoci/layout.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "data/places/projection.h"
#include "decide/digs/walk_start.h"
#include "decide/plan/layout_work.h"
#include "fieldfoci/walk.h"
#include "fieldfoci/words.h"

const foci_layout_pattern foci_layout_patterns[] = {
    {"grid", "a square grid along the rows, each stop moved a little", false, false, foci_layout_lay_grid},
    {"zigzag", "from side to side: for the field's average, poor for a map", false, false, foci_layout_lay_zigzag},
    {"gaps", "where what is known is least certain", true, false, foci_layout_lay_gaps},
    {"again", "the stops of an earlier survey, and new ones between them", true, true, foci_layout_lay_again},
    {0},
};

static const char *const whys[] = {[FOCI_LAYOUT_REGULAR] = "grid",
                                   [FOCI_LAYOUT_PAIR] = "pair",
                                   [FOCI_LAYOUT_GAP] = "gap",
                                   [FOCI_LAYOUT_AGAIN] = "again",
                                   [FOCI_LAYOUT_SPREAD] = "spread"};
_Static_assert(sizeof whys / sizeof *whys == FOCI_LAYOUT_END, "every reason has its name");

const char *foci_layout_why_name(foci_layout_why why) {
    return (unsigned)why < FOCI_LAYOUT_END ? whys[why] : "unknown";
}

foci_layout_options foci_layout_options_make(void) {
    return (foci_layout_options){
        .pattern = foci_layout_patterns, .count = 50, .margin = NAN, .row_heading = NAN, .seed = 1};
}

/* ---- the ground ---- */

static bool no_ground(double margin, double field, foci_error *err) {
    char apart[FOCI_WORDS_SIZE], area[FOCI_WORDS_SIZE];
    foci_words_length(apart, margin, FOCI_ACRES);
    foci_words_area(area, field / 10000, FOCI_ACRES);
    return foci_fail(err, FOCI_BAD_SETTING, "{margin}", 0,
                     "nowhere in this field of %s is a stop %s from all edges; give less", area, apart);
}

/* At least so many cells: where a margin leaves a narrow strip, the grid is made finer. */
enum { LEAST_CELLS = 300, FINER = 4 };

static bool find_ground(foci_layout_work *work, const foci_field *field, foci_error *err) {
    const double area = foci_multipolygon_area(&field->shape);
    double spacing = sqrt(area / (double)(work->wanted > 0 ? work->wanted : 1));
    for (int i = 0; i < FINER && work->ground.count < LEAST_CELLS; i++, spacing /= 3) {
        foci_grid_free(&work->grid);
        foci_dig_ground_free(&work->ground);
        work->margin = work->options->margin;
        if (!foci_grid_over_field(&work->grid, &field->shape, 0, spacing, err) ||
            (isnan(work->margin) &&
             !foci_dig_ground_from_edge(&work->margin, &work->grid, &field->shape, FOCI_LAYOUT_FROM_EDGE, err)) ||
            !foci_dig_ground_make(&work->ground, &work->grid, &field->shape, work->margin, err))
            return false;
    }
    if (work->ground.count == 0)
        return no_ground(work->margin, area, err);
    work->area = (double)work->ground.count * work->grid.cell * work->grid.cell;
    const double room = sqrt(work->area / (double)(work->wanted > 0 ? work->wanted : 1));
    if (room >= FOCI_LAYOUT_CLOSEST)
        return true;
    char ground[FOCI_WORDS_SIZE];
    foci_words_area(ground, work->area / 10000, FOCI_ACRES);
    return foci_fail(err, FOCI_BAD_SETTING, "{stops}", 0,
                     "%zu stops on %s would be less than 3 ft (1 m) apart, which nobody can tell apart; give fewer",
                     work->wanted, ground);
}

/* ---- the walk ---- */

static bool walk_through(foci_layout *layout, foci_layout_stop *stops, const foci_projection *projection,
                         const foci_field *field, const foci_point *gate, foci_error *err) {
    foci_walk_options options = foci_walk_options_make();
    foci_walk walk = {0};
    bool ok = false;
    const size_t count = layout->count;
    foci_point *places = foci_new_array(count, sizeof *places, err);
    if (!places)
        return false;
    for (size_t i = 0; i < count; i++)
        places[i] = stops[i].place;
    options.start = &layout->start;
    layout->at_gate = gate != NULL;
    if (!foci_walk_start(&layout->start, &layout->start_lonlat, projection, &field->shape,
                         count ? places[0] : field->centre, gate, err) ||
        !foci_walk_find(&walk, places, count, &options, err))
        goto done;
    layout->walk = walk.length;
    for (size_t i = 0; i < count; i++) {
        foci_layout_stop *stop = &layout->items[i];
        *stop = stops[walk.order[i]];
        stop->lonlat = stop->place;
        if (foci_projection_inverse(projection, &stop->lonlat, 1) != 0) {
            foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "a stop has no longitude and latitude; check the boundary");
            goto done;
        }
    }
    ok = true;
done:
    foci_walk_free(&walk);
    free(places);
    return ok;
}

bool foci_layout_of(foci_layout *out, const foci_field *field, foci_layout_stop **stops, size_t count,
                    const foci_point *gate, foci_error *err) {
    foci_layout layout = {.count = count, .variance = NAN, .after = NAN};
    foci_projection *projection = NULL;
    bool ok = false;
    layout.items = foci_new_array(count, sizeof *layout.items, err);
    if (!layout.items || !foci_projection_open(&projection, "EPSG:4326", field->work_crs, err) ||
        !walk_through(&layout, *stops, projection, field, gate, err))
        goto done;
    layout.ground = foci_multipolygon_area(&field->shape);
    layout.spacing = sqrt(layout.ground / (double)(count > 0 ? count : 1));
    *out = layout;
    layout = (foci_layout){0};
    ok = true;
done:
    foci_projection_close(projection);
    foci_layout_free(&layout);
    free(*stops);
    *stops = NULL;
    return ok;
}

/* ---- the whole ---- */

static bool begin(foci_layout_work *work, const foci_field *field, foci_error *err) {
    const foci_layout_options *options = work->options;
    if (work->wanted == 0 || work->wanted > FOCI_LAYOUT_MOST)
        return foci_fail(err, FOCI_BAD_SETTING, "{stops}", 0, "%zu stops cannot be planned; give 1 to %d", work->wanted,
                         FOCI_LAYOUT_MOST);
    work->stops = foci_new_array(work->wanted, sizeof *work->stops, err);
    if (!work->stops || !foci_edges_make(&work->edges, &field->shape, err) || !find_ground(work, field, err))
        return false;
    for (size_t i = 0; i < options->again_count; i++) {
        foci_layout_add(work, options->again[i], FOCI_LAYOUT_AGAIN);
        work->stops[i].again = i;
    }
    return true;
}

bool foci_layout_make(foci_layout *out, const foci_field *field, const foci_layout_options *options,
                      const foci_execution *how, foci_error *err) {
    const foci_layout_pattern *pattern = options->pattern ? options->pattern : foci_layout_patterns;
    foci_layout_work work = {
        .options = options, .how = how, .wanted = options->count + options->again_count, .variance = NAN, .after = NAN};
    bool ok = begin(&work, field, err) && pattern->lay(&work, err) &&
              foci_layout_of(out, field, &work.stops, work.count, options->gate, err);
    if (ok) {
        out->margin = work.margin;
        out->ground = work.area;
        out->there = options->knowledge ? options->knowledge->there_count : 0;
        out->spacing = sqrt(work.area / (double)(work.count + out->there));
        out->variance = work.variance;
        out->after = work.after;
    }
    free(work.stops);
    foci_edges_free(&work.edges);
    foci_dig_ground_free(&work.ground);
    foci_grid_free(&work.grid);
    return ok;
}

void foci_layout_free(foci_layout *layout) {
    free(layout->items);
    *layout = (foci_layout){0};
}
