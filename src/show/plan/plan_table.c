/* The form as a table: a place a row, and blank cells for what is found there. */
#include <math.h>
#include <string.h>

#include "data/files/vector_file.h"
#include "show/plan/plan_files.h"

enum { COLUMNS_MOST = 8 };

typedef struct {
    size_t count, checked, note; /* columns; FOCI_OPEN: there is none */
    foci_column columns[COLUMNS_MOST];
} form;

static void add(form *to, const char *name, foci_column_type type) {
    to->columns[to->count++] = (foci_column){name, type};
}

static form form_of(const foci_plan *plan) {
    const foci_plan_reading *reading = &plan->reading;
    form f = {.checked = FOCI_OPEN};
    add(&f, "stop", FOCI_COLUMN_TEXT);
    if (reading->value)
        add(&f, reading->value, FOCI_COLUMN_NUMBER);
    if (reading->hits)
        add(&f, reading->hits, FOCI_COLUMN_WHOLE);
    if (reading->checked) {
        f.checked = f.count;
        add(&f, reading->checked, FOCI_COLUMN_WHOLE);
    }
    add(&f, "date", FOCI_COLUMN_TEXT);
    add(&f, "note", FOCI_COLUMN_TEXT);
    f.note = f.count;
    add(&f, "plan", FOCI_COLUMN_TEXT);
    return f;
}

bool foci_plan_write_table(const foci_plan *plan, const char *path, foci_error *err) {
    const form f = form_of(plan);
    foci_vector_writer *writer = NULL;
    if (!foci_vector_writer_open(&writer, path, err))
        return false;
    bool ok = foci_vector_writer_layer(writer, "stops", FOCI_SHAPE_POINT, f.columns, f.count, err);
    for (size_t i = 0; ok && i < plan->layout.count; i++) {
        const char *texts[COLUMNS_MOST] = {plan->names[i]};
        double numbers[COLUMNS_MOST];
        for (size_t k = 0; k < COLUMNS_MOST; k++)
            numbers[k] = NAN;
        if (f.checked != FOCI_OPEN && plan->reading.units_stated)
            numbers[f.checked] = plan->reading.units;
        texts[f.note] = plan->notes[i];
        ok = foci_vector_writer_add(writer, texts, numbers, &plan->layout.items[i].lonlat, NULL, err);
    }
    if (ok)
        return foci_vector_writer_close(writer, err);
    foci_vector_writer_drop(writer);
    return false;
}
