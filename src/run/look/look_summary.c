#include <string.h>

#include "fieldfoci/look.h"
#include "fieldfoci/words.h"
#include "keep/summary_parts.h"

static bool put_text_or_null(foci_json *object, const char *key, const char *text, foci_error *err) {
    return text && *text ? foci_json_put_text(object, key, text, err) : foci_json_put_null(object, key, err);
}

static bool put_layers(foci_json *root, const foci_look *look, foci_error *err) {
    foci_json *layers = foci_summary_child_array(root, "layers", err);
    for (size_t i = 0; layers && i < look->layer_count; i++) {
        const foci_look_layer *layer = &look->layers[i];
        foci_json *object = foci_summary_next_child(layers, err);
        if (!object || !foci_json_put_text(object, "name", layer->name, err) ||
            !foci_json_put_text(object, "shape", layer->shape, err) ||
            !foci_json_put_whole(object, "rows", (long long)layer->rows, err) ||
            !put_text_or_null(object, "crs", layer->crs, err))
            return false;
    }
    return layers && foci_json_put_text(root, "layer", look->layers[look->layer].name, err) &&
           foci_json_put_whole(root, "rows_read", (long long)look->rows_read, err);
}

/* Dates as texts, numbers as numbers. */
static bool put_range(foci_json *object, const foci_look_column *column, foci_error *err) {
    if (*column->first)
        return foci_json_put_text(object, "least", column->first, err) &&
               foci_json_put_text(object, "most", column->last, err);
    return foci_json_put_number(object, "least", column->least, err) &&
           foci_json_put_number(object, "most", column->most, err);
}

static bool put_columns(foci_json *root, const foci_look *look, foci_error *err) {
    foci_json *columns = foci_summary_child_array(root, "columns", err);
    for (size_t i = 0; columns && i < look->column_count; i++) {
        const foci_look_column *column = &look->columns[i];
        foci_json *object = foci_summary_next_child(columns, err);
        if (!object || !foci_json_put_text(object, "name", column->name, err) ||
            !foci_json_put_text(object, "kind", column->kind, err) ||
            !foci_json_put_whole(object, "filled", (long long)column->filled, err) ||
            !foci_json_put_whole(object, "odd", (long long)column->odd, err) ||
            !foci_json_put_bool(object, "whole", column->whole, err) || !put_range(object, column, err))
            return false;
        foci_json *samples = foci_summary_child_array(object, "samples", err);
        for (size_t k = 0; samples && k < column->sample_count; k++)
            if (!foci_json_add_text(samples, column->samples[k], err))
                return false;
        if (!samples)
            return false;
    }
    return columns && foci_json_put_whole(root, "columns_more", (long long)look->columns_more, err);
}

static bool put_rows(foci_json *root, const foci_look *look, foci_error *err) {
    foci_json *rows = foci_summary_child_array(root, "rows", err);
    for (size_t row = 0; rows && row < look->row_count; row++) {
        foci_json *cells = foci_json_array(err);
        if (!cells || !foci_json_add(rows, cells, err))
            return false;
        for (size_t c = 0; c < look->column_count; c++) {
            const char *text = look->cells[row * look->column_count + c];
            if (!foci_json_add_text(cells, text ? text : "", err))
                return false;
        }
    }
    return rows != NULL;
}

static bool put_guesses(foci_json *root, const foci_look *look, foci_error *err) {
    foci_json *guesses = foci_summary_child_array(root, "guesses", err);
    for (size_t i = 0; guesses && i < look->guess_count; i++) {
        foci_json *object = foci_summary_next_child(guesses, err);
        if (!object || !foci_json_put_text(object, "setting", look->guesses[i].setting, err) ||
            !foci_json_put_text(object, "column", look->guesses[i].column, err) ||
            !foci_json_put_text(object, "value", look->guesses[i].value, err) ||
            !foci_json_put_text(object, "why", look->guesses[i].why, err))
            return false;
    }
    return guesses != NULL;
}

static bool add_place(foci_json *array, foci_point place, foci_error *err) {
    foci_json *pair = foci_json_array(err);
    return pair && foci_json_add(array, pair, err) && foci_json_add_number(pair, place.x, err) &&
           foci_json_add_number(pair, place.y, err);
}

static bool put_points(foci_json *root, const foci_look *look, foci_error *err) {
    if (!look->has_points)
        return foci_json_put_null(root, "points", err) && foci_json_put_whole(root, "points_more", 0, err);
    foci_json *points = foci_summary_child_array(root, "points", err);
    for (size_t i = 0; points && i < look->point_count; i++)
        if (!add_place(points, look->points[i], err))
            return false;
    return points && foci_json_put_whole(root, "points_more", (long long)look->points_more, err);
}

/* As GeoJSON wants it, the first corner comes again at the end (RFC 7946, section 3.1.6). */
static bool add_ring(foci_json *rings, const foci_ring *ring, foci_error *err) {
    foci_json *corners = foci_json_array(err);
    if (!corners || !foci_json_add(rings, corners, err))
        return false;
    for (size_t i = 0; i <= ring->count && ring->count > 0; i++)
        if (!add_place(corners, ring->points[i % ring->count], err))
            return false;
    return true;
}

static bool put_outline(foci_json *root, const foci_look *look, foci_error *err) {
    if (look->outline.count == 0)
        return foci_json_put_null(root, "outline", err);
    foci_json *shape = foci_summary_child(root, "outline", err);
    if (!shape || !foci_json_put_text(shape, "type", "MultiPolygon", err))
        return false;
    foci_json *polygons = foci_summary_child_array(shape, "coordinates", err);
    for (size_t p = 0; polygons && p < look->outline.count; p++) {
        const foci_polygon *polygon = &look->outline.polygons[p];
        foci_json *rings = foci_json_array(err);
        if (!rings || !foci_json_add(polygons, rings, err))
            return false;
        for (size_t r = 0; r < polygon->count; r++)
            if (!add_ring(rings, &polygon->rings[r], err))
                return false;
    }
    return polygons != NULL;
}

/* Settings by their bare names, as in an error's text. */
static bool put_notes(foci_json *root, const foci_look *look, foci_error *err) {
    foci_json *notes = foci_summary_child_array(root, "notes", err);
    for (size_t i = 0; notes && i < look->notes.count; i++) {
        foci_error note = {0};
        char text[sizeof note.text];
        foci_fail(&note, FOCI_BAD_INPUT, NULL, 0, "%s", look->notes.items[i]);
        foci_error_text(&note, "", text, sizeof text);
        foci_words_one_line(text); /* it may be cut within a character */
        if (!foci_json_add_text(notes, text, err))
            return false;
    }
    return notes != NULL;
}

char *foci_look_summary(const foci_look *look, foci_error *err) {
    foci_json *root = foci_json_object(err);
    char *text = NULL;
    if (root && foci_json_put_text(root, "file", look->file, err) && put_layers(root, look, err) &&
        put_columns(root, look, err) && put_rows(root, look, err) && put_guesses(root, look, err) &&
        put_points(root, look, err) && put_outline(root, look, err) &&
        foci_json_put_number(root, "area_ha", look->area_ha, err) &&
        foci_summary_put_sentences(root, "names", &look->names, err) && put_notes(root, look, err))
        text = foci_json_print(root, err);
    foci_json_free(root);
    return text;
}
