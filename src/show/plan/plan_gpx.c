#include <stdlib.h>

#include "base/memory.h"
#include "show/exports/export_gpx.h"
#include "show/plan/plan_files.h"

bool foci_plan_write_gpx(const foci_plan *plan, const char *path, foci_error *err) {
    const foci_layout *layout = &plan->layout;
    const foci_gpx_place start = {.lonlat = layout->start_lonlat, .name = layout->at_gate ? "GATE" : "START"};
    const char *field = plan->field.name, *what = plan->of_digs ? "Dig checks" : "Scouting stops";
    foci_gpx gpx = {.time = plan->made, .count = layout->count, .start = &start, .closed = true};
    bool ok = false;
    char *title = NULL, *facts = NULL, *cautions = NULL, *description = NULL;
    foci_gpx_place *places = foci_new_array(layout->count, sizeof *places, err);
    if (!places)
        return false;
    title = *field ? foci_format_text(err, "%s in %s", what, field) : foci_copy_text(what, err);
    facts = foci_sentences_join(&plan->facts, " ", err);
    cautions = foci_sentences_join(&plan->cautions, " ", err);
    description = facts && cautions ? foci_format_text(err, "%s Mind ditches and ponds. %s", facts, cautions) : NULL;
    if (!title || !description)
        goto done;
    for (size_t i = 0; i < layout->count; i++)
        places[i] = (foci_gpx_place){layout->items[i].lonlat, plan->names[i], plan->notes[i], NULL};
    gpx.title = title;
    gpx.description = description;
    gpx.places = places;
    ok = foci_gpx_write(&gpx, path, err);
done:
    free(places);
    free(title);
    free(facts);
    free(cautions);
    free(description);
    return ok;
}
