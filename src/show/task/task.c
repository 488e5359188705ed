#include "fieldfoci/task.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "decide/words/task_words.h"
#include "show/task/task_files.h"
#include "show/task/task_grid.h"
#include "show/task/task_survey.h"
#include "fieldfoci/words.h"

static const char *const task_data_files[] = {"TASKDATA/", NULL};
static const char *const shapefile_files[] = {"zones.shp", "zones.shx", "zones.dbf", "zones.prj", "zones.cpg", NULL};
static const char *const geojson_files[] = {"zones.geojson", NULL};

const foci_task_form foci_task_form_table[] = {
    {"taskdata", "ISO 11783-10 task data, for controllers that read it", true, task_data_files, foci_task_write_data},
    {"shapefile", "polygons with a numeric rate, for controllers and programs that read shapefiles", true,
     shapefile_files, foci_task_write_shapefile},
    {"geojson", "polygons with rate and unit (RFC 7946)", false, geojson_files, foci_task_write_geojson},
    {0},
};

const foci_task_layout foci_task_layout_table[] = {
    {"grid", "a zone's code per cell, by the cell's center (type 1)", true, foci_task_put_grid},
    {"polygons", "outlines, which not every controller reads", false, foci_task_put_polygons},
    {0},
};

const foci_task_standard foci_task_standard_table[] = {
    {"3", "version 3.3", false},
    {"4", "version 4.3", true},
    {0},
};

/* ---- choices ---- */

enum { FORMS = sizeof foci_task_form_table / sizeof *foci_task_form_table - 1 };
_Static_assert((int)FORMS <= (int)FOCI_TASK_FORMS_MOST, "room for every form");

static bool is_wanted(const foci_task_form *form, const foci_task_form *const *wanted) {
    if (!*wanted)
        return form->standard;
    while (*wanted && *wanted != form)
        wanted++;
    return *wanted != NULL;
}

/* In the table's order. */
static bool choose_forms(foci_task *task, const foci_task_form *const *wanted, foci_error *err) {
    size_t count = 0;
    task->forms = foci_new_array(FORMS + 1, sizeof(const foci_task_form *), err);
    for (size_t i = 0; task->forms && i < FORMS; i++)
        if (is_wanted(&foci_task_form_table[i], wanted))
            task->forms[count++] = &foci_task_form_table[i];
    return task->forms != NULL;
}

static bool choose_unit(foci_task *task, const foci_task_unit *unit, foci_error *err) {
    char list[160] = "";
    task->unit = unit;
    if (unit)
        return true;
    for (const foci_task_unit *row = foci_task_unit_table; row->name; row++) {
        const size_t used = strlen(list);
        snprintf(list + used, sizeof list - used, "%s%s", used ? ", " : "", row->name);
    }
    return foci_fail(err, FOCI_BAD_SETTING, "{unit}", 0, "is needed: one of %s", list);
}

static bool set_product(foci_task *task, const char *product, foci_error *err) {
    bool cut = false;
    if (!product || !*product)
        return foci_fail(err, FOCI_BAD_SETTING, "{product}", 0,
                         "is needed: what will be applied, as its label calls it; the program proposes none");
    if (!foci_task_name(task->product, &cut, product))
        return foci_fail(err, FOCI_BAD_SETTING, "{product}", 0, "is not UTF-8");
    if (!task->product[0])
        return foci_fail(err, FOCI_BAD_SETTING, "{product}", 0, "is blank; write what will be applied");
    return !cut || foci_task_note_cut(&task->notes, "product", FOCI_TASK_NAME_MOST, task->product, err);
}

static bool set_rates(foci_task *task, const foci_task_options *options, foci_error *err) {
    const struct {
        double rate;
        const char *option;
    } rates[FOCI_ZONE_END] = {[FOCI_ZONE_LEAVE] = {options->leave, "{leave}"},
                              [FOCI_ZONE_DIG] = {options->dig, "{dig}"},
                              [FOCI_ZONE_TREAT] = {options->treat, "{treat}"}};
    if (isnan(options->treat) || options->treat == 0)
        return foci_fail(err, FOCI_BAD_SETTING, "{treat}", 0,
                         "is needed: the rate for the zones to treat, from the product's label; the program proposes "
                         "none");
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        task->zones[code].rate = isnan(rates[code].rate) ? 0 : rates[code].rate;
        if (!foci_task_unit_steps(&task->zones[code].steps, task->unit, task->zones[code].rate, rates[code].option,
                                  err))
            return false;
    }
    return true;
}

static bool set_options(foci_task *task, const foci_task_options *options, foci_error *err) {
    task->layout = options->layout ? options->layout : foci_task_layout_table;
    task->standard = options->standard ? options->standard : foci_task_standard_table;
    if (!choose_unit(task, options->unit, err))
        return false;
    return choose_forms(task, options->forms, err) && set_rates(task, options, err) &&
           set_product(task, options->product, err);
}

/* The last reason given for going on past a guard, as the files can hold it. */
static bool set_reason(foci_task *task, foci_error *err) {
    bool cut = false;
    size_t count = task->even_so.count;
    return count == 0 || foci_task_name(task->reason, &cut, task->even_so.items[count - 1]) ||
           foci_fail(err, FOCI_BAD_SETTING, "{even-so}", 0, "is not UTF-8");
}

/* ---- the task ---- */

static bool set_grid(foci_task *task, foci_error *err) {
    if (!task->layout->gridded || !foci_task_has_form(task, "TASKDATA/"))
        return true;
    if (!foci_task_grid_make(&task->grid, task, err))
        return false;
    for (int code = 0; code < FOCI_ZONE_END; code++)
        task->zones[code].grid_ha = foci_task_grid_area(&task->grid, FOCI_TASK_CODE(code));
    return true;
}

static bool note_what_is_unusual(foci_task *task, foci_error *err) {
    if (task->zones[FOCI_ZONE_TREAT].lonlat.count == 0 &&
        !foci_sentences_add(&task->notes, err, "%s", foci_task_nothing_to_treat))
        return false;
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        const foci_task_zone *zone = &task->zones[code];
        double off = fabs(zone->grid_ha - zone->area_ha); /* NaN without a grid */
        char cells[FOCI_WORDS_SIZE], outline[FOCI_WORDS_SIZE], cell[FOCI_WORDS_SIZE];
        foci_words_area(cells, zone->grid_ha, task->measures);
        foci_words_area(outline, zone->area_ha, task->measures);
        foci_words_length(cell, task->grid.cell, task->measures);
        if (off > 0.01 * zone->area_ha && !foci_task_note_small(&task->notes, foci_zone_name(zone->code), cells,
                                                                outline, 100 * off / zone->area_ha, cell, err))
            return false;
    }
    return true;
}

foci_task_options foci_task_options_make(void) {
    return (foci_task_options){.treat = NAN};
}

bool foci_task_make(foci_task *out, const foci_task_options *options, foci_error *err) {
    foci_task task = {0};
    bool ok = set_options(&task, options, err) &&
              foci_task_survey_read(&task, options->survey, options->even_so, err) && set_reason(&task, err) &&
              set_grid(&task, err) && note_what_is_unusual(&task, err);
    if (ok)
        *out = task;
    else
        foci_task_free(&task);
    return ok;
}

bool foci_task_has_form(const foci_task *task, const char *file) {
    for (const foci_task_form **form = task->forms; *form; form++)
        for (const char *const *name = (*form)->files; *name; name++)
            if (strcmp(*name, file) == 0)
                return true;
    return false;
}

void foci_task_free(foci_task *task) {
    free(task->season);
    free(task->made);
    free(task->disease);
    foci_multipolygon_free(&task->boundary);
    for (int code = 0; code < FOCI_ZONE_END; code++)
        foci_multipolygon_free(&task->zones[code].lonlat);
    free(task->forms);
    foci_task_grid_free(&task->grid);
    foci_sentences_free(&task->notes);
    foci_sentences_free(&task->cautions);
    foci_sentences_free(&task->warnings);
    foci_sentences_free(&task->even_so);
    *task = (foci_task){0};
}
