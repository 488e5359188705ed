/* TASKDATA.XML of ISO 11783-10. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/deliver.h"
#include "base/memory.h"
#include "data/places/projection.h"
#include "show/draw/xml_file.h"
#include "show/task/task_files.h"
#include "show/task/task_survey.h"

/* ---- shapes ---- */

static bool put_ring(foci_xml *polygon, const foci_ring *ring, bool hole, foci_error *err) {
    foci_xml *line = foci_xml_child(polygon, "LSG", err);
    if (!foci_xml_put(line, "A", err, "%d", hole ? 2 : 1))
        return false;
    for (size_t i = 0; i <= ring->count; i++) {
        foci_point place = ring->points[i % ring->count];
        foci_xml *point = foci_xml_child(line, "PNT", err);
        if (!foci_xml_put(point, "A", err, "2") || !foci_xml_put(point, "C", err, "%.9f", place.y) ||
            !foci_xml_put(point, "D", err, "%.9f", place.x))
            return false;
    }
    return true;
}

static bool put_polygons(foci_xml *element, const foci_multipolygon *shape, int type, foci_error *err) {
    foci_xml *polygon = foci_xml_child(element, "PLN", err);
    if (!foci_xml_put(polygon, "A", err, "%d", type) ||
        !foci_xml_put(polygon, "C", err, "%.0f", foci_geodesic_area(shape)))
        return false;
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            if (!put_ring(polygon, &shape->polygons[p].rings[r], r > 0, err))
                return false;
    return true;
}

bool foci_task_put_shape(foci_xml *element, const foci_multipolygon *shape, int type, const foci_task *task,
                         foci_error *err) {
    if (!task->standard->single_parts)
        return put_polygons(element, shape, type, err);
    for (size_t p = 0; p < shape->count; p++) {
        const foci_multipolygon part = {1, &shape->polygons[p]};
        if (!put_polygons(element, &part, type, err))
            return false;
    }
    return true;
}

/* ---- the document ---- */

/* Customer and farm are not known to the program, but controllers were seen that list no task without them. */
static bool put_place(foci_xml *root, const foci_task *task, foci_error *err) {
    foci_xml *customer = foci_xml_child(root, "CTR", err);
    if (!foci_xml_put(customer, "A", err, "CTR1") || !foci_xml_put(customer, "B", err, "Customer"))
        return false;
    foci_xml *farm = foci_xml_child(root, "FRM", err);
    if (!foci_xml_put(farm, "A", err, "FRM1") || !foci_xml_put(farm, "B", err, "Farm") ||
        !foci_xml_put(farm, "I", err, "CTR1"))
        return false;
    foci_xml *field = foci_xml_child(root, "PFD", err);
    return foci_xml_put(field, "A", err, "PFD1") && foci_xml_put(field, "C", err, "%s", task->field) &&
           foci_xml_put(field, "D", err, "%.0f", task->area_ha * 1e4) && foci_xml_put(field, "E", err, "CTR1") &&
           foci_xml_put(field, "F", err, "FRM1") && foci_task_put_shape(field, &task->boundary, 1, task, err);
}

static bool put_product(foci_xml *root, const foci_task *task, foci_error *err) {
    const foci_task_quantity *quantity = task->unit->quantity;
    foci_xml *presentation = foci_xml_child(root, "VPN", err);
    if (!foci_xml_put(presentation, "A", err, "VPN1") || !foci_xml_put(presentation, "B", err, "0") ||
        !foci_xml_put(presentation, "C", err, "%s", quantity->scale) || !foci_xml_put(presentation, "D", err, "2") ||
        !foci_xml_put(presentation, "E", err, "%s", quantity->unit))
        return false;
    foci_xml *product = foci_xml_child(root, "PDT", err);
    return foci_xml_put(product, "A", err, "PDT1") && foci_xml_put(product, "B", err, "%s", task->product);
}

/* What the operator reads first: the field, or that the task goes on past a guard. */
static bool put_title(foci_xml *element, const foci_task *task, foci_error *err) {
    char title[FOCI_TASK_NAME_SIZE];
    bool cut = false;
    if (!task->reason[0])
        return foci_xml_put(element, "B", err, "%s", task->field);
    char *text = foci_format_text(err, "even so: %s", task->reason);
    bool ok = text && foci_task_name(title, &cut, text) && foci_xml_put(element, "B", err, "%s", title);
    free(text);
    return ok;
}

static bool put_task(foci_xml *root, const foci_task *task, const char *folder, foci_error *err) {
    static const char *const outside[] = {"H", "I", "J"}; /* by default, position lost, out of the field */
    foci_xml *element = foci_xml_child(root, "TSK", err);
    if (!foci_xml_put(element, "A", err, "TSK1") || !put_title(element, task, err) ||
        !foci_xml_put(element, "C", err, "CTR1") || !foci_xml_put(element, "D", err, "FRM1") ||
        !foci_xml_put(element, "E", err, "PFD1") || !foci_xml_put(element, "G", err, "1"))
        return false;
    for (size_t i = 0; i < sizeof outside / sizeof *outside; i++)
        if (!foci_xml_put(element, outside[i], err, "%d", FOCI_TASK_OUTSIDE))
            return false;
    return task->layout->put(element, task, folder, err);
}

static foci_xml *make_document(const foci_task *task, const char *folder, foci_error *err) {
    foci_xml *root = foci_xml_root("ISO11783_TaskData", err);
    if (foci_xml_put(root, "VersionMajor", err, "%s", task->standard->name) &&
        foci_xml_put(root, "VersionMinor", err, "3") &&
        foci_xml_put(root, "ManagementSoftwareManufacturer", err, "fieldfoci") &&
        foci_xml_put(root, "ManagementSoftwareVersion", err, "%s", FOCI_VERSION) &&
        foci_xml_put(root, "DataTransferOrigin", err, "1") && put_place(root, task, err) &&
        put_product(root, task, err) && put_task(root, task, folder, err))
        return root;
    foci_xml_free(root);
    return NULL;
}

bool foci_task_write_data(const foci_task *task, const char *folder, foci_error *err) {
    foci_xml *root = NULL;
    char *text = NULL, *file = NULL;
    bool ok = false;
    char *inner = foci_format_text(err, "%s/TASKDATA", folder);
    if (!inner)
        goto done;
    if (mkdir(inner, 0777) != 0) {
        foci_fail(err, FOCI_NO_FILE, inner, 0, "cannot be made: %s", strerror(errno));
        goto done;
    }
    root = make_document(task, inner, err);
    text = root ? foci_xml_print(root, err) : NULL;
    file = text ? foci_format_text(err, "%s/TASKDATA.XML", inner) : NULL;
    ok = file && foci_deliver_bytes(file, text, strlen(text), false, err);
done:
    foci_xml_free(root);
    free(text);
    free(file);
    free(inner);
    return ok;
}
