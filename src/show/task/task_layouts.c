/* The treatment zones of a task: as cells, or as polygons. */
#include <stdio.h>
#include <stdlib.h>

#include "base/deliver.h"
#include "base/memory.h"
#include "show/draw/xml_file.h"
#include "show/task/task_files.h"

#define GRID_NAME "GRD00001"

/* The zone's element; its process data come last. */
static foci_xml *put_zone(foci_xml *element, int code, const char *name, foci_error *err) {
    foci_xml *zone = foci_xml_child(element, "TZN", err);
    return foci_xml_put(zone, "A", err, "%d", code) && foci_xml_put(zone, "B", err, "%s", name) ? zone : NULL;
}

static bool put_rate(foci_xml *zone, const foci_task *task, long steps, foci_error *err) {
    foci_xml *rate = foci_xml_child(zone, "PDV", err);
    return foci_xml_put(rate, "A", err, "%s", task->unit->quantity->ddi) &&
           foci_xml_put(rate, "B", err, "%ld", steps) && foci_xml_put(rate, "C", err, "PDT1") &&
           foci_xml_put(rate, "E", err, "VPN1");
}

static bool put_outside(foci_xml *element, const foci_task *task, foci_error *err) {
    return put_rate(put_zone(element, FOCI_TASK_OUTSIDE, "outside", err), task, 0, err);
}

/* Absent zones are left out. */
static bool put_zones(foci_xml *element, const foci_task *task, bool outlines, foci_error *err) {
    if (!put_outside(element, task, err))
        return false;
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        const foci_task_zone *zone = &task->zones[code];
        char name[64];
        if (zone->lonlat.count == 0)
            continue;
        snprintf(name, sizeof name, "%s %.9g %s", foci_zone_name(zone->code), zone->rate, task->unit->name);
        foci_xml *part = put_zone(element, FOCI_TASK_CODE(code), name, err);
        if (!part || (outlines && !foci_task_put_shape(part, &zone->lonlat, 2, task, err)) ||
            !put_rate(part, task, zone->steps, err))
            return false;
    }
    return true;
}

/* Asks the machine to log what it did, each by its own default. */
static bool put_log(foci_xml *element, foci_error *err) {
    foci_xml *log = foci_xml_child(element, "DLT", err);
    return foci_xml_put(log, "A", err, "DFFF") && foci_xml_put(log, "B", err, "31");
}

bool foci_task_put_polygons(foci_xml *element, const foci_task *task, const char *folder, foci_error *err) {
    (void)folder;
    return put_zones(element, task, true, err) && put_log(element, err);
}

bool foci_task_put_grid(foci_xml *element, const foci_task *task, const char *folder, foci_error *err) {
    const foci_task_grid *grid = &task->grid;
    size_t size = grid->columns * grid->rows;
    if (!put_zones(element, task, false, err))
        return false;
    foci_xml *part = foci_xml_child(element, "GRD", err);
    if (!foci_xml_put(part, "A", err, "%.9f", grid->south) || !foci_xml_put(part, "B", err, "%.9f", grid->west) ||
        !foci_xml_put(part, "C", err, "%.15f", grid->north_step) ||
        !foci_xml_put(part, "D", err, "%.15f", grid->east_step) ||
        !foci_xml_put(part, "E", err, "%zu", grid->columns) || !foci_xml_put(part, "F", err, "%zu", grid->rows) ||
        !foci_xml_put(part, "G", err, GRID_NAME) || !foci_xml_put(part, "H", err, "%zu", size) ||
        !foci_xml_put(part, "I", err, "1") || !put_log(element, err))
        return false;
    char *file = foci_format_text(err, "%s/" GRID_NAME ".bin", folder);
    bool ok = file && foci_deliver_bytes(file, grid->codes, size, false, err);
    free(file);
    return ok;
}
