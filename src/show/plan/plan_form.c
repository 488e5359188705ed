#include "fieldfoci/plan_form.h"

#include <stdio.h>
#include <string.h>

#include "base/deliver.h"
#include "base/text.h"
#include "show/plan/plan_files.h"

const foci_plan_form foci_plan_forms[] = {
    {".csv", "a form to fill in", foci_plan_write_table},
    {".geojson", "points", foci_plan_write_table},
    {".gpx", "waypoints and a route", foci_plan_write_gpx},
    {".pdf", "a field sheet to write on", foci_plan_write_pdf},
    {0},
};

static const foci_plan_form *find(const char *file) {
    const size_t length = strlen(file);
    for (const foci_plan_form *form = foci_plan_forms; form->ending; form++) {
        const size_t tail = strlen(form->ending);
        if (length > tail && foci_text_same(file + length - tail, form->ending))
            return form;
    }
    return NULL;
}

typedef struct {
    const foci_plan *plan;
    const foci_plan_form *form;
} writing;

static bool write_form(const void *content, const char *path, foci_error *err) {
    const writing *to = content;
    return to->form->write(to->plan, path, err);
}

bool foci_plan_write(const foci_plan *plan, const char *file, bool overwrite, foci_error *err) {
    const writing to = {plan, find(file)};
    if (to.form)
        return foci_deliver_written(file, overwrite, write_form, &to, err);
    return foci_fail(err, FOCI_BAD_SETTING, "{out}", 0,
                     "'%.200s' says not what it should be; end it with .csv, .geojson, .gpx or .pdf", file);
}
