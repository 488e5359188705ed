/* README.txt: what the files hold, and the cautions, in plain words. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/deliver.h"
#include "base/memory.h"
#include "base/text.h"
#include "decide/words/task_words.h"
#include "fieldfoci/words.h"
#include "show/draw/small_print.h"
#include "show/task/task_files.h"

#define WIDTH 96

/* "- text", broken between words. */
static bool add_point(foci_text *page, const char *text, foci_error *err) {
    size_t column = 1;
    if (!foci_text_add(page, err, "-"))
        return false;
    while (*text) {
        size_t blanks = strspn(text, " \n"), word = strcspn(text + blanks, " \n");
        bool broken = column > 1 && column + 1 + word > WIDTH;
        if (word && !foci_text_add(page, err, "%s%.*s", broken ? "\n  " : " ", (int)word, text + blanks))
            return false;
        column = (broken ? 2 : column + 1) + word;
        text += blanks + word;
    }
    return foci_text_add(page, err, "\n");
}

static bool add_points(foci_text *page, const char *title, const char *const *points, size_t count, foci_error *err) {
    if (count && !foci_text_add(page, err, "\n%s\n", title))
        return false;
    for (size_t i = 0; i < count; i++)
        if (!add_point(page, points[i], err))
            return false;
    return true;
}

/* What the survey says, in the order of every sheet: what prevents harm comes first. */
static bool add_said(foci_text *page, const foci_task *task, foci_error *err) {
    static const char *const titles[FOCI_PRINT_PARTS] = {
        [FOCI_PRINT_EVEN_SO] = foci_task_even_so_passed,
        [FOCI_PRINT_CAUTIONS] = foci_task_before_anyone_acts,
        [FOCI_PRINT_WARNINGS] = foci_task_how_far_to_trust,
    };
    const foci_sentences *const said[FOCI_PRINT_PARTS] = {[FOCI_PRINT_EVEN_SO] = &task->even_so,
                                                          [FOCI_PRINT_CAUTIONS] = &task->cautions,
                                                          [FOCI_PRINT_WARNINGS] = &task->warnings};
    for (int part = 0; part < FOCI_PRINT_PARTS; part++)
        if (said[part] &&
            !add_points(page, titles[part], (const char *const *)said[part]->items, said[part]->count, err))
            return false;
    return true;
}

static bool add_title(foci_text *page, const foci_task *task, foci_error *err) {
    return foci_text_add(page, err, FOCI_TASK_README_MARK "\n") &&
           foci_task_add_about(page, task->product, task->field, task->season, task->disease, task->made, err) &&
           add_said(page, task, err);
}

static bool add_warning(foci_text *page, foci_error *err) {
    size_t count = 0;
    while (foci_task_cautions[count])
        count++;
    return add_points(page, foci_task_before_you_drive, foci_task_cautions, count, err);
}

static bool add_zone(foci_text *page, const foci_task_zone *zone, const foci_task *task, foci_error *err) {
    char text[FOCI_TASK_ZONE_TEXT];
    foci_task_zone_text(text, zone, task->unit, task->measures);
    return foci_text_add(page, err, "  %-6s %s\n", foci_zone_name(zone->code), text);
}

static bool add_zones(foci_text *page, const foci_task *task, foci_error *err) {
    if (!foci_text_add(page, err, "\n%s\n", foci_task_zones_and_rates))
        return false;
    for (int code = FOCI_ZONE_END - 1; code >= 0; code--)
        if (!add_zone(page, &task->zones[code], task, err))
            return false;
    return foci_text_add(page, err, "%s", foci_task_areas);
}

static bool add_data(foci_text *page, const foci_task *task, foci_error *err) {
    const foci_task_quantity *quantity = task->unit->quantity;
    char cell[FOCI_WORDS_SIZE], covered[FOCI_WORDS_SIZE];
    if (!foci_task_add_task_data(page, task->standard->title, quantity->scale, quantity->unit, err))
        return false;
    for (int code = FOCI_ZONE_END - 1; code >= 0; code--) {
        const foci_task_zone *zone = &task->zones[code];
        if (zone->lonlat.count && !foci_task_add_code(page, FOCI_TASK_CODE(code), foci_zone_name(zone->code),
                                                      (double)zone->steps / quantity->steps, quantity->unit, err))
            return false;
    }
    if (!foci_task_add_outside(page, FOCI_TASK_OUTSIDE, err))
        return false;
    if (!task->grid.codes)
        return foci_text_add(page, err, "%s", foci_task_as_polygons);
    foci_words_length(cell, task->grid.cell, task->measures);
    foci_words_area(covered, task->zones[FOCI_ZONE_TREAT].grid_ha, task->measures);
    return foci_task_add_grid(page, task->grid.columns, task->grid.rows, cell, covered, err);
}

static bool add_files(foci_text *page, const foci_task *task, foci_error *err) {
    if (foci_task_has_form(task, "TASKDATA/") && !add_data(page, task, err))
        return false;
    if (foci_task_has_form(task, "zones.shp") && !foci_task_add_shapefile(page, task->unit->name, err))
        return false;
    return !foci_task_has_form(task, "zones.geojson") || foci_task_add_geojson(page, task->unit->name, err);
}

static bool add_page(foci_text *page, const foci_task *task, foci_error *err) {
    return add_title(page, task, err) && add_warning(page, err) && add_zones(page, task, err) &&
           add_points(page, foci_task_the_notes, (const char *const *)task->notes.items, task->notes.count, err) &&
           add_files(page, task, err);
}

bool foci_task_write_readme(const foci_task *task, const char *folder, foci_error *err) {
    foci_text page = {0};
    bool ok = false;
    char *file = foci_format_text(err, "%s/" FOCI_TASK_README, folder);
    if (file && add_page(&page, task, err))
        ok = foci_deliver_bytes(file, page.text, page.length, false, err);
    foci_text_free(&page);
    free(file);
    return ok;
}
