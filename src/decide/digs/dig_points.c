#include "fieldfoci/dig_points.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "decide/digs/dig_choice.h"
#include "decide/digs/walk_start.h"
#include "fieldfoci/walk.h"

static const struct {
    const char *name, *title;
} whys[] = {
    [FOCI_DIG_CONFIRM] = {"confirm", "in one of the strongest hotspots: is it there?"},
    [FOCI_DIG_HIGHEST] = {"highest", "where the disease is likeliest: is it there?"},
    [FOCI_DIG_UNSURE] = {"unsure", "where one look settles most of what the map is unsure of"},
    [FOCI_DIG_OUTSIDE] = {"outside", "drawn by lot from the rest of the field: does the map miss anything?"},
};
_Static_assert(sizeof whys / sizeof *whys == FOCI_DIG_END, "every reason has its words");

const char *foci_dig_why_name(foci_dig_why why) {
    return (unsigned)why < FOCI_DIG_END ? whys[why].name : "unknown";
}

const char *foci_dig_why_title(foci_dig_why why) {
    return (unsigned)why < FOCI_DIG_END ? whys[why].title : "unknown";
}

/* In upper case within 14 characters, for devices that show no more. */
static void name_place(foci_dig_point *dig) {
    size_t length = (size_t)snprintf(dig->name, sizeof dig->name, "D%02d-%s", dig->visit, foci_dig_why_name(dig->why));
    for (size_t i = 0; i < length && i < sizeof dig->name; i++)
        if (dig->name[i] >= 'a' && dig->name[i] <= 'z')
            dig->name[i] = (char)(dig->name[i] - 'a' + 'A');
}

static double mean_checked(const foci_readings *readings) {
    double sum = 0;
    for (size_t i = 0; i < readings->count; i++)
        sum += readings->checked[i] / (double)readings->count;
    return sum;
}

static bool any_to_dig(const foci_dig_choice *choice) {
    for (size_t i = 0; choice->zones->code && i < choice->ground->count; i++)
        if (choice->zones->code[choice->ground->cells[i]] == FOCI_ZONE_DIG)
            return true;
    return false;
}

/* Those that are not drawn by lot and not unsure. */
static bool choose_strongest(foci_dig_choice *choice, size_t wanted, size_t outside, foci_error *err) {
    const size_t room = wanted - outside, spots = choice->hotspots->count;
    size_t share = (size_t)floor(0.4 * (double)wanted + 0.5);
    if (spots > share)
        share = spots;
    if (share > room)
        share = room;
    if (spots > 0)
        return foci_dig_choose_confirm(choice, share, err);
    const bool to_dig = any_to_dig(choice);
    foci_dig_choose_highest(choice, to_dig ? share : room, to_dig);
    return true;
}

/* Without zones there is nothing to be unsure of; with them it is asked even for none, for what is misclassified. */
static bool choose_cells(foci_dig_choice *choice, size_t wanted, const foci_dig_points_options *options,
                         size_t *leave_cells, foci_error *err) {
    const double heading = isnan(options->row_heading) ? 0 : options->row_heading;
    const size_t outside = (wanted + 4) / 5;
    size_t lot = 0;
    if (!choose_strongest(choice, wanted, outside, err) ||
        !foci_dig_choose_outside(choice, outside, options->seed, 0, heading, leave_cells, err) ||
        (choice->zones->code && !foci_dig_choose_unsure(choice, wanted - choice->count, err)) ||
        !foci_dig_choose_outside(choice, wanted - choice->count, options->seed, 1, heading, &lot, err))
        return false;
    foci_dig_choose_highest(choice, wanted - choice->count, false);
    return true;
}

static bool find_start(foci_dig_points *digs, const foci_projection *projection, const foci_field *field,
                       const foci_readings *readings, const foci_dig_points_options *options, foci_error *err) {
    digs->at_gate = options->gate != NULL;
    return foci_walk_start(&digs->start, &digs->start_lonlat, projection, &field->shape, readings->places[0],
                           options->gate, err);
}

static foci_dig_point describe(const foci_dig_choice *choice, const foci_dig_pick *pick) {
    return (foci_dig_point){
        .why = pick->why,
        .cell = pick->cell,
        .place = foci_grid_centre(choice->grid, pick->cell),
        .chance = choice->surface->chance ? choice->surface->chance[pick->cell] : NAN,
        .severity = choice->surface->estimate[pick->cell],
        .hotspot = choice->hotspots->count > 0 ? choice->hotspots->label[pick->cell] : 0,
    };
}

/* In the order of ids: by their reasons, each as chosen. */
static void describe_all(foci_dig_point *chosen, const foci_dig_choice *choice) {
    size_t next = 0;
    for (int why = 0; why < FOCI_DIG_END; why++)
        for (size_t i = 0; i < choice->count; i++)
            if (choice->picks[i].why == (foci_dig_why)why) {
                chosen[next] = describe(choice, &choice->picks[i]);
                chosen[next].id = (int)next + 1;
                next++;
            }
}

/* Puts the chosen places into walking order. */
static bool walk_through(foci_dig_points *digs, const foci_dig_choice *choice, const foci_projection *projection,
                         foci_error *err) {
    foci_walk_options options = foci_walk_options_make();
    options.start = &digs->start;
    foci_walk walk = {0};
    foci_point *places = NULL;
    bool ok = false;
    foci_dig_point *chosen = foci_new_array(choice->count, sizeof *chosen, err);
    if (!chosen)
        goto done;
    places = foci_new_array(choice->count, sizeof *places, err);
    if (!places)
        goto done;
    describe_all(chosen, choice);
    for (size_t i = 0; i < choice->count; i++)
        places[i] = chosen[i].place;
    if (!foci_walk_find(&walk, places, choice->count, &options, err))
        goto done;
    digs->walk = walk.length;
    for (size_t i = 0; i < choice->count; i++) {
        foci_dig_point *dig = &digs->items[i];
        *dig = chosen[walk.order[i]];
        dig->visit = (int)i + 1;
        dig->lonlat = dig->place;
        foci_projection_inverse(projection, &dig->lonlat, 1);
        name_place(dig);
    }
    digs->count = choice->count;
    ok = true;
done:
    foci_walk_free(&walk);
    free(chosen);
    free(places);
    return ok;
}

static foci_dig_choice begin(const foci_surface_model *model, const foci_readings *readings,
                             const foci_dig_points_options *options) {
    return (foci_dig_choice){
        .model = model,
        .spacing = options->spacing > 0 ? options->spacing : model->spacing,
        .units = options->units_per_dig > 0 ? options->units_per_dig : mean_checked(readings),
        .treat_chance = options->treat_chance,
        .dig_chance = options->dig_chance,
        .misclassified = NAN,
        .misclassified_after = NAN,
    };
}

bool foci_dig_points_choose(foci_dig_points *out, const foci_surface_model *model, const foci_surface *surface,
                            const foci_grid *grid, const foci_field *field, const foci_readings *readings,
                            const foci_hotspots *hotspots, const foci_zones *zones,
                            const foci_dig_points_options *options, const foci_execution *how, foci_error *err) {
    foci_dig_points digs = {.wanted = options->count};
    foci_dig_ground ground = {0};
    foci_projection *projection = NULL;
    foci_dig_choice choice = begin(model, readings, options);
    double from_edge = FOCI_DIG_FROM_EDGE;
    bool ok = false;
    if (isnan(model->threshold))
        return foci_fail(err, FOCI_BAD_SETTING, "{threshold}", 0, "dig checks need a threshold; give one");
    choice.how = how;
    choice.surface = surface;
    choice.grid = grid;
    choice.hotspots = hotspots;
    choice.zones = zones;
    choice.ground = &ground;
    if (!foci_projection_open(&projection, "EPSG:4326", field->work_crs, err) ||
        !find_start(&digs, projection, field, readings, options, err) ||
        !foci_dig_ground_from_edge(&from_edge, grid, &field->shape, FOCI_DIG_FROM_EDGE, err) ||
        !foci_dig_ground_make(&ground, grid, &field->shape, from_edge, err))
        goto done;
    choice.away = foci_new_array(ground.count, sizeof *choice.away, err);
    if (!choice.away)
        goto done;
    for (size_t i = 0; i < ground.count; i++)
        choice.away[i] = INFINITY;
    choice.picks = foci_new_array(options->count, sizeof *choice.picks, err);
    if (!choice.picks)
        goto done;
    digs.items = foci_new_array(options->count, sizeof *digs.items, err);
    if (!digs.items || !choose_cells(&choice, options->count, options, &digs.leave_cells, err) ||
        !walk_through(&digs, &choice, projection, err))
        goto done;
    digs.misclassified = choice.misclassified;
    digs.misclassified_after = choice.misclassified_after;
    *out = digs;
    digs = (foci_dig_points){0};
    ok = true;
done:
    foci_projection_close(projection);
    foci_dig_ground_free(&ground);
    foci_dig_points_free(&digs);
    free(choice.picks);
    free(choice.away);
    return ok;
}

void foci_dig_points_free(foci_dig_points *digs) {
    free(digs->items);
    *digs = (foci_dig_points){0};
}

foci_dig_points_options foci_dig_points_options_make(void) {
    return (foci_dig_points_options){
        .count = 10, .seed = 1, .row_heading = NAN, .treat_chance = 0.5, .dig_chance = 0.2, .spacing = NAN};
}
