/* The dig-checks of a survey as a plan. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "decide/digs/walk_start.h"
#include "fieldfoci/walk.h"
#include "keep/survey_folder.h"
#include "run/plan/plan_work.h"

static const foci_cell *cell_of(const foci_table *table, size_t row, const char *column) {
    const long index = foci_table_column(table, column);
    return index < 0 ? NULL : &table->cells[row * table->column_count + (size_t)index];
}

static const char *text_of(const foci_table *table, size_t row, const char *column) {
    const foci_cell *cell = cell_of(table, row, column);
    return cell && cell->text ? cell->text : "";
}

static double number_of(const foci_table *table, size_t row, const char *column) {
    const foci_cell *cell = cell_of(table, row, column);
    return cell ? cell->number : NAN;
}

static char *note_of(const foci_table *table, size_t row, foci_error *err) {
    const double chance = number_of(table, row, "chance");
    return isnan(chance) ? foci_copy_text(text_of(table, row, "why"), err)
                         : foci_format_text(err, "%s, chance %.0f %%", text_of(table, row, "why"), 100 * chance);
}

/* In the order of the map, whose numbers are on the ground already. */
static bool fill_digs(foci_plan_work *work, const foci_table *table, foci_error *err) {
    foci_plan *plan = &work->plan;
    foci_layout *layout = &plan->layout;
    for (size_t row = 0; row < table->row_count; row++) {
        const double visit = number_of(table, row, "visit");
        const size_t at = visit >= 1 && visit <= (double)table->row_count ? (size_t)visit - 1 : row;
        if (table->shapes[row].kind != FOCI_SHAPE_POINT || plan->names[at])
            return foci_fail(err, FOCI_BAD_INPUT, work->names[0], 0,
                             "its dig-checks are not in order; map it again with --overwrite");
        layout->items[at] = (foci_layout_stop){.place = table->shapes[row].point,
                                               .lonlat = table->shapes[row].point,
                                               .why = FOCI_LAYOUT_REGULAR,
                                               .again = FOCI_OPEN};
        plan->names[at] = foci_copy_text(text_of(table, row, "name"), err);
        plan->notes[at] = note_of(table, row, err);
        if (!plan->names[at] || !plan->notes[at])
            return false;
    }
    return true;
}

static bool walk_digs(foci_plan_work *work, foci_error *err) {
    const foci_survey *survey = &work->surveys[0];
    foci_layout *layout = &work->plan.layout;
    foci_projection *projection = NULL;
    const foci_point *gate = isnan(survey->used.gate.x) ? NULL : &survey->used.gate;
    foci_walk_options options = foci_walk_options_make();
    size_t *order = NULL;
    foci_point *places = foci_new_array(layout->count, sizeof *places, err);
    bool ok = places && (order = foci_new_array(layout->count, sizeof *order, err)) &&
              foci_projection_open(&projection, "EPSG:4326", work->plan.field.work_crs, err);
    for (size_t i = 0; ok && i < layout->count; i++) {
        order[i] = i;
        ok = foci_projection_forward(projection, &layout->items[i].place, 1) == 0 ||
             foci_fail(err, FOCI_BAD_INPUT, work->names[0], 0, "a dig-check has no usable place; map it again");
        places[i] = layout->items[i].place;
    }
    ok = ok && foci_walk_start(&layout->start, &layout->start_lonlat, projection, &work->plan.field.shape,
                               survey->readings.places[0], gate, err);
    if (ok) {
        layout->at_gate = gate != NULL;
        options.start = &layout->start;
        layout->walk = foci_walk_length(order, places, layout->count, &options);
    }
    foci_projection_close(projection);
    free(order);
    free(places);
    return ok;
}

bool foci_plan_take_digs(foci_plan_work *work, foci_error *err) {
    foci_survey_folder folder = {0};
    foci_plan *plan = &work->plan;
    if (!foci_survey_folder_read(&folder, work->names[0], err))
        return false;
    const foci_table *table = &folder.layers[FOCI_LAYER_DIGS];
    const size_t count = table->row_count;
    bool ok = count > 0 || foci_fail(err, FOCI_BAD_INPUT, work->names[0], 0,
                                     "has no dig-checks; map it with {digs} 10, or plan stops with {stops}");
    ok = ok && (plan->layout.items = foci_new_array(count, sizeof *plan->layout.items, err)) &&
         (plan->names = foci_new_array(count, sizeof *plan->names, err)) &&
         (plan->notes = foci_new_array(count, sizeof *plan->notes, err));
    if (ok)
        plan->layout.count = count;
    ok = ok && fill_digs(work, table, err) && walk_digs(work, err);
    foci_survey_folder_free(&folder);
    plan->layout.ground = foci_multipolygon_area(&plan->field.shape);
    plan->layout.variance = plan->layout.after = plan->layout.spacing = NAN;
    return ok;
}
