#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/places/projection.h"
#include "decide/words/look_sentences.h"
#include "run/look/look_parts.h"

const char *foci_look_shape(const foci_table *table) {
    static const char *const names[] = {
        [FOCI_SHAPE_NONE] = "table", [FOCI_SHAPE_POINT] = "points", [FOCI_SHAPE_LINE] = "lines",
        [FOCI_SHAPE_AREA] = "areas", [FOCI_SHAPE_OTHER] = "mixed",
    };
    foci_shape_kind all = FOCI_SHAPE_NONE;
    for (size_t row = 0; row < table->row_count; row++) {
        const foci_shape_kind own = table->shapes[row].kind;
        if (own != FOCI_SHAPE_NONE && all != FOCI_SHAPE_NONE && own != all)
            return "mixed";
        all = own == FOCI_SHAPE_NONE ? all : own;
    }
    return names[all];
}

/* ---- layers ---- */

static bool describe_layer(foci_look_layer *layer, const foci_table *table, foci_error *err) {
    foci_crs_facts facts = {0};
    foci_error unknown = {0};
    layer->shape = foci_look_shape(table);
    layer->rows = table->rows_there;
    if (*table->crs && !foci_crs_describe(&facts, table->crs, "", &unknown) && unknown.status == FOCI_NO_MEMORY)
        return foci_fail_again(err, &unknown);
    layer->name = foci_copy_text(table->layer, err);
    layer->crs = layer->name ? foci_copy_text(*facts.code ? facts.code : facts.name, err) : NULL;
    return layer->crs != NULL;
}

static bool describe_layers(foci_look *look, const foci_table *tables, size_t count, foci_error *err) {
    look->layers = foci_new_array(count, sizeof *look->layers, err);
    if (!look->layers)
        return false;
    look->layer_count = count;
    for (size_t i = 0; i < count; i++)
        if (!describe_layer(&look->layers[i], &tables[i], err))
            return false;
    return true;
}

static bool no_such_layer(const foci_look *look, const char *name, foci_error *err) {
    foci_text list = {0};
    bool ok = true;
    for (size_t i = 0; ok && i < look->layer_count && list.length < 300; i++)
        ok =
            foci_text_add(&list, err, "%s\"%s\" (%zu rows)", i ? ", " : "", look->layers[i].name, look->layers[i].rows);
    if (ok)
        foci_fail(err, FOCI_BAD_INPUT, look->file, 0, "has no layer '%.100s'; those with features are: %.300s", name,
                  list.text);
    foci_text_free(&list);
    return false;
}

/* Which of the shapes is told of first where nobody chose. */
static int rank(const char *shape) {
    static const char *const order[] = {"points", "mixed", "areas", "lines", "table"};
    int place = 0;
    while (strcmp(order[place], shape) != 0)
        place++;
    return place;
}

static bool choose_layer(foci_look *look, const char *name, foci_error *err) {
    for (size_t i = 0; name && i < look->layer_count; i++)
        if (foci_text_same(look->layers[i].name, name)) {
            look->layer = i;
            return true;
        }
    if (name)
        return no_such_layer(look, name, err);
    for (size_t i = 1; i < look->layer_count; i++)
        if (rank(look->layers[i].shape) < rank(look->layers[look->layer].shape))
            look->layer = i;
    return true;
}

/* ---- the one that is described ---- */

static bool note_cuts(foci_look *look, const foci_table *table, foci_error *err) {
    if (table->rows_there > table->row_count &&
        !foci_sentences_add(&look->notes, err, FOCI_LOOK_ROWS_CUT, table->rows_there, table->row_count))
        return false;
    return look->columns_more == 0 ||
           foci_sentences_add(&look->notes, err, FOCI_LOOK_COLUMNS_CUT, table->column_count, look->column_count);
}

/* How it was read, where that was a choice. */
static bool take_notes(foci_look *look, const foci_table *table, foci_error *err) {
    for (size_t i = 0; i < table->notes.count; i++)
        if (!foci_sentences_add(&look->notes, err, "%s", table->notes.items[i]))
            return false;
    return true;
}

static bool describe(foci_look *look, foci_table *table, const foci_look_options *options, foci_error *err) {
    const char *shape = look->layers[look->layer].shape;
    const bool of_stops = strcmp(shape, "points") == 0 || strcmp(shape, "table") == 0;
    look->rows_read = table->row_count;
    if ((of_stops && !foci_look_points(look, table, options, err)) || !foci_look_columns(look, table, err) ||
        !take_notes(look, table, err) || !note_cuts(look, table, err))
        return false;
    if (of_stops)
        return foci_look_guesses(look, table, options, err) && foci_look_odd_cells(look, table, err);
    if (strcmp(shape, "mixed") == 0 && !foci_sentences_add(&look->notes, err, FOCI_LOOK_MIXED))
        return false;
    return foci_look_outline(look, table, options, err);
}

bool foci_look_file(foci_look *out, const char *file, const foci_look_options *options, foci_error *err) {
    foci_look look = {.area_ha = NAN};
    foci_crs_facts facts = {0};
    foci_table *tables = NULL;
    size_t count = 0;
    if ((options->crs && !foci_crs_describe(&facts, options->crs, "{crs}", err)) ||
        !foci_table_read_heads(&tables, &count, file, FOCI_LOOK_CELLS, err))
        return false;
    bool ok = (look.file = foci_copy_text(file, err)) && describe_layers(&look, tables, count, err) &&
              choose_layer(&look, options->layer, err) && describe(&look, &tables[look.layer], options, err);
    for (size_t i = 0; i < count; i++)
        foci_table_free(&tables[i]);
    free(tables);
    if (ok)
        *out = look;
    else
        foci_look_free(&look);
    return ok;
}

/* ---- the end of it ---- */

static void free_columns(foci_look *look) {
    for (size_t i = 0; look->columns && i < look->column_count; i++) {
        free(look->columns[i].name);
        for (size_t k = 0; k < look->columns[i].sample_count; k++)
            free(look->columns[i].samples[k]);
    }
    free(look->columns);
}

void foci_look_free(foci_look *look) {
    for (size_t i = 0; look->layers && i < look->layer_count; i++) {
        free(look->layers[i].name);
        free(look->layers[i].crs);
    }
    for (size_t i = 0; look->cells && i < look->row_count * look->column_count; i++)
        free(look->cells[i]);
    for (size_t i = 0; look->guesses && i < look->guess_count; i++) {
        free(look->guesses[i].column);
        free(look->guesses[i].value);
        free(look->guesses[i].why);
    }
    free_columns(look);
    free(look->file);
    free(look->layers);
    free(look->cells);
    free(look->guesses);
    free(look->points);
    foci_multipolygon_free(&look->outline);
    foci_sentences_free(&look->names);
    foci_sentences_free(&look->notes);
    *look = (foci_look){0};
}

foci_look_options foci_look_options_make(void) {
    return (foci_look_options){0};
}
