#include "show/task/task_survey.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/files/json_file.h"
#include "data/files/vector_file.h"
#include "data/places/overlay.h"
#include "data/places/projection.h"
#include "decide/words/task_words.h"
#include "fieldfoci/words.h"
#include "keep/survey_folder.h"
#include "show/task/task_guards.h"

/* ---- names ---- */

/* Bytes of the letter at `text`, 0 where it is none that XML may hold. */
static size_t letter_size(const char *text) {
    uint32_t code = 0;
    size_t size = foci_text_character(&code, text);
    return code == 0xFFFE || code == 0xFFFF ? 0 : size;
}

bool foci_task_name(char name[FOCI_TASK_NAME_SIZE], bool *cut, const char *text) {
    size_t used = 0, letters = 0;
    *cut = false;
    while (*text) {
        size_t size = letter_size(text);
        if (size == 0)
            return false;
        *cut = letters == FOCI_TASK_NAME_MOST;
        if (*cut)
            break;
        memcpy(name + used, text, size);
        used += size;
        text += size;
        letters++;
    }
    name[used] = '\0';
    foci_words_one_line(name);
    for (used = strlen(name); used > 0 && name[used - 1] == ' ';)
        name[--used] = '\0';
    return true;
}

/* ---- survey.json ---- */

static bool copy_key(char **copy, const foci_survey_folder *folder, const char *key, const char *below,
                     foci_error *err) {
    *copy = foci_copy_text(foci_survey_folder_text(folder, key, below), err);
    if (*copy)
        foci_words_one_line(*copy);
    return *copy != NULL;
}

static bool copy_sentences(foci_sentences *sentences, const foci_json *root, const char *key, foci_error *err) {
    const foci_json *list = foci_json_get(root, key);
    for (size_t i = 0; foci_json_is_array(list) && i < foci_json_size(list); i++) {
        const char *text = foci_json_text(foci_json_at(list, i));
        if (text && !foci_sentences_add(sentences, err, "%s", text))
            return false;
    }
    return true;
}

static bool read_labels(foci_task *task, const foci_survey_folder *folder, const char *even_so, foci_error *err) {
    const foci_json *root = folder->root;
    const char *paper = foci_json_text(foci_json_get(foci_json_get(root, "job"), "paper"));
    bool cut = false;
    if (strcmp(foci_survey_folder_text(folder, "program", "name"), "fieldfoci") != 0)
        return foci_fail(err, FOCI_BAD_INPUT, folder->summary, 0, "was not written by this program");
    if (!foci_task_pass_guards(root, folder->summary, even_so, err))
        return false;
    if (!foci_task_name(task->field, &cut, foci_survey_folder_text(folder, "field", "name")))
        return foci_fail(err, FOCI_BAD_INPUT, folder->summary, 0, "the field's name is not UTF-8");
    task->measures = foci_paper_measures(foci_paper_find(paper));
    if (!task->field[0])
        strcpy(task->field, "field");
    if (cut && !foci_task_note_cut(&task->notes, "field", FOCI_TASK_NAME_MOST, task->field, err))
        return false;
    return copy_key(&task->season, folder, "season", NULL, err) && copy_key(&task->made, folder, "made", NULL, err) &&
           copy_key(&task->disease, folder, "disease", "title", err) &&
           copy_sentences(&task->cautions, root, "cautions", err) &&
           copy_sentences(&task->warnings, root, "warnings", err) &&
           copy_sentences(&task->even_so, root, "even_so", err) &&
           (!even_so || foci_sentences_add(&task->even_so, err, "%s", even_so));
}

/* ---- survey.gpkg ---- */

/* 9 decimals of a degree are a tenth of a millimetre, and the most that task data hold: all files get the same corners.
 */
static void round_corners(foci_multipolygon *shape) {
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            for (size_t i = 0; i < shape->polygons[p].rings[r].count; i++) {
                foci_point *corner = &shape->polygons[p].rings[r].points[i];
                *corner = (foci_point){round(corner->x * 1e9) / 1e9, round(corner->y * 1e9) / 1e9};
            }
}

static bool in_degrees(const foci_multipolygon *shape) {
    foci_box box = foci_multipolygon_box(shape);
    return box.west >= -180 && box.east <= 180 && box.south >= -90 && box.north <= 90;
}

/* Valid, outer rings counter-clockwise, 9 decimals. */
static bool tidy_shape(foci_multipolygon *out, const foci_multipolygon *raw, const char *file, foci_error *err) {
    foci_multipolygon rounded = {0}, tidy = {0};
    char why[128] = "";
    bool repaired = false, ok = false;
    if (!in_degrees(raw))
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, "holds shapes outside the range of degrees; is it in WGS84?");
    if (!foci_multipolygon_copy(&rounded, raw, err))
        return false;
    round_corners(&rounded);
    if (!foci_overlay_repair(&tidy, &repaired, why, &rounded, err))
        goto done;
    round_corners(&tidy);
    if (repaired && !foci_overlay_valid(&tidy)) {
        foci_fail(err, FOCI_BAD_INPUT, file, 0, "a shape crosses itself and cannot be repaired (%s)", why);
        goto done;
    }
    *out = tidy;
    tidy = (foci_multipolygon){0};
    ok = true;
done:
    foci_multipolygon_free(&rounded);
    foci_multipolygon_free(&tidy);
    return ok;
}

/* Moves the polygons of `more` behind those of `shape`: a zone that was divided by hand is one zone. */
static bool append(foci_multipolygon *shape, foci_multipolygon *more, foci_error *err) {
    size_t capacity = shape->count;
    if (!foci_grow_array((void **)&shape->polygons, &capacity, shape->count + more->count, sizeof *shape->polygons,
                         err))
        return false;
    memcpy(shape->polygons + shape->count, more->polygons, more->count * sizeof *more->polygons);
    shape->count += more->count;
    free(more->polygons);
    *more = (foci_multipolygon){0};
    return true;
}

static bool take_boundary(foci_task *task, const foci_survey_folder *folder, foci_error *err) {
    const foci_table *table = &folder->layers[FOCI_LAYER_FIELD];
    if (table->row_count != 1 || table->shapes[0].kind != FOCI_SHAPE_AREA)
        return foci_fail(err, FOCI_BAD_INPUT, folder->layers_file, 0, "its layer 'field' is not one area");
    bool ok = tidy_shape(&task->boundary, &table->shapes[0].area, folder->layers_file, err);
    task->area_ha = ok ? foci_geodesic_area(&task->boundary) / 1e4 : 0;
    return ok;
}

static bool gather_zones(foci_multipolygon shapes[FOCI_ZONE_END], foci_table *table, const char *file,
                         foci_error *err) {
    long column = foci_table_column(table, "zone");
    if (column < 0)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, "its layer 'zones' has no column 'zone'");
    for (size_t row = 0; row < table->row_count; row++) {
        const char *name = table->cells[row * table->column_count + (size_t)column].text;
        int code = 0;
        while (code < FOCI_ZONE_END && (!name || strcmp(name, foci_zone_name((foci_zone_code)code)) != 0))
            code++;
        if (code == FOCI_ZONE_END || table->shapes[row].kind != FOCI_SHAPE_AREA)
            return foci_fail(err, FOCI_BAD_INPUT, file, (long)row + 1,
                             "a row of layer 'zones' is no area named treat, dig or leave");
        if (!append(&shapes[code], &table->shapes[row].area, err))
            return false;
    }
    return true;
}

static bool take_zones(foci_task *task, foci_survey_folder *folder, foci_error *err) {
    const char *file = folder->layers_file;
    foci_multipolygon shapes[FOCI_ZONE_END] = {{0}};
    bool ok = gather_zones(shapes, &folder->layers[FOCI_LAYER_ZONES], file, err);
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        foci_task_zone *zone = &task->zones[code];
        zone->code = (foci_zone_code)code;
        zone->grid_ha = NAN;
        ok = ok && (shapes[code].count == 0 || tidy_shape(&zone->lonlat, &shapes[code], file, err));
        zone->area_ha = foci_geodesic_area(&zone->lonlat) / 1e4;
        foci_multipolygon_free(&shapes[code]);
    }
    return ok;
}

bool foci_task_survey_read(foci_task *task, const char *survey, const char *even_so, foci_error *err) {
    static const bool layers[FOCI_LAYER_DIGS + 1] = {[FOCI_LAYER_FIELD] = true, [FOCI_LAYER_ZONES] = true};
    foci_survey_folder folder = {0};
    bool ok = foci_survey_folder_open(&folder, survey, err) && read_labels(task, &folder, even_so, err) &&
              foci_survey_folder_take_layers(&folder, layers, err) && take_boundary(task, &folder, err) &&
              take_zones(task, &folder, err);
    foci_survey_folder_free(&folder);
    return ok;
}
