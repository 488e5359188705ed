/* What the stops are called. */
#include "base/memory.h"
#include "run/plan/plan_work.h"

static char *note_of(const foci_plan_work *work, const foci_layout_stop *stop, foci_error *err) {
    if (stop->again == FOCI_OPEN)
        return foci_copy_text(foci_layout_why_name(stop->why), err);
    const foci_survey *last = &work->surveys[work->count - 1];
    return foci_format_text(err, "again %s", last->stops.items[last->readings.stops[stop->again]].name);
}

bool foci_plan_name(foci_plan_work *work, foci_error *err) {
    foci_plan *plan = &work->plan;
    const size_t count = plan->layout.count;
    const int digits = count < 100 ? 2 : count < 1000 ? 3 : 4;
    if (!(plan->names = foci_new_array(count, sizeof *plan->names, err)) ||
        !(plan->notes = foci_new_array(count, sizeof *plan->notes, err)))
        return false;
    for (size_t i = 0; i < count; i++) {
        plan->names[i] = foci_format_text(err, "S%0*zu", digits, i + 1);
        plan->notes[i] = note_of(work, &plan->layout.items[i], err);
        if (!plan->names[i] || !plan->notes[i])
            return false;
    }
    return true;
}
