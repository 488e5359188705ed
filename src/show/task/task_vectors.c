/* The zones as polygons with a numeric rate. */
#include <stdlib.h>

#include "base/memory.h"
#include "data/files/vector_file.h"
#include "show/task/task_files.h"

enum { RATE, ZONE, UNIT, PRODUCT, EVEN_SO, COLUMNS };

/* The rate is the only number: readers let the operator choose the column. */
static const foci_column shapefile_columns[COLUMNS] = {{"RATE", FOCI_COLUMN_FIXED},
                                                       {"ZONE", FOCI_COLUMN_TEXT},
                                                       {"UNIT", FOCI_COLUMN_TEXT},
                                                       {"PRODUCT", FOCI_COLUMN_TEXT},
                                                       {"EVEN_SO", FOCI_COLUMN_TEXT}};
static const foci_column geojson_columns[COLUMNS] = {{"rate", FOCI_COLUMN_NUMBER},
                                                     {"zone", FOCI_COLUMN_TEXT},
                                                     {"unit", FOCI_COLUMN_TEXT},
                                                     {"product", FOCI_COLUMN_TEXT},
                                                     {"even_so", FOCI_COLUMN_TEXT}};

static bool add_zones(foci_vector_writer *writer, const foci_task *task, foci_error *err) {
    for (int code = FOCI_ZONE_END - 1; code >= 0; code--) {
        const foci_task_zone *zone = &task->zones[code];
        if (zone->lonlat.count == 0)
            continue;
        const char *const texts[COLUMNS] = {[ZONE] = foci_zone_name(zone->code),
                                            [UNIT] = task->unit->name,
                                            [PRODUCT] = task->product,
                                            [EVEN_SO] = task->reason};
        const double numbers[COLUMNS] = {[RATE] = zone->rate};
        if (!foci_vector_writer_add(writer, texts, numbers, NULL, &zone->lonlat, err))
            return false;
    }
    return true;
}

static bool write_zones(const foci_task *task, const char *folder, const char *file, const foci_column *columns,
                        foci_error *err) {
    size_t count = task->reason[0] ? COLUMNS : EVEN_SO;
    foci_vector_writer *writer = NULL;
    char *path = foci_format_text(err, "%s/%s", folder, file);
    bool ok = path && foci_vector_writer_open(&writer, path, err);
    free(path);
    if (!ok)
        return false;
    if (!foci_vector_writer_layer(writer, "zones", FOCI_SHAPE_AREA, columns, count, err) ||
        !add_zones(writer, task, err)) {
        foci_vector_writer_drop(writer);
        return false;
    }
    return foci_vector_writer_close(writer, err);
}

bool foci_task_write_shapefile(const foci_task *task, const char *folder, foci_error *err) {
    return write_zones(task, folder, "zones.shp", shapefile_columns, err);
}

bool foci_task_write_geojson(const foci_task *task, const char *folder, foci_error *err) {
    return write_zones(task, folder, "zones.geojson", geojson_columns, err);
}
