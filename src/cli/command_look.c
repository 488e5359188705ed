#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"

/* A terminal's line holds so much. */
enum { MOST_COLUMNS = 60, MOST_ACROSS = 8, CELL_LETTERS = 14, NAME_LETTERS = 24, MOST_NAMES = 20 };

/* ---- columns of letters ---- */

static bool begins_letter(char byte) {
    return ((unsigned char)byte & 0xC0) != 0x80;
}

/* The text, cut to `width` letters, and blanks up to where the next one begins. */
static void put_cell(const char *text, int width, bool last) {
    char plain[4 * NAME_LETTERS + 8];
    size_t end = 0;
    int letters = 0;
    while (text[end] && end < sizeof plain - 5 && (letters < width || !begins_letter(text[end])))
        letters += begins_letter(text[end++]);
    const bool cut = text[end] != '\0';
    while (cut && letters >= width && end > 0)
        letters -= begins_letter(text[--end]);
    snprintf(plain, sizeof plain, "%.*s%s", (int)end, text, cut ? "…" : "");
    console_put("%s%*s", plain, last ? 0 : width + 2 - letters - cut, "");
}

/* ---- layers ---- */

static void print_layers(const foci_look *look) {
    put_cell("layer", NAME_LETTERS, false);
    put_cell("shape", 6, false);
    console_put("%9s  reference system\n", "rows");
    for (size_t i = 0; i < look->layer_count; i++) {
        const foci_look_layer *layer = &look->layers[i];
        put_cell(layer->name, NAME_LETTERS, false);
        put_cell(layer->shape, 6, false);
        console_put("%9zu  %s%s\n", layer->rows, *layer->crs ? layer->crs : "none",
                    look->layer_count > 1 && i == look->layer ? " (shown below)" : "");
    }
}

/* ---- columns ---- */

static void put_range(const foci_look_column *column) {
    const bool number = !isnan(column->least);
    put_cell(number ? foci_number_plain(column->least, 6).text : column->first, CELL_LETTERS, false);
    put_cell(number ? foci_number_plain(column->most, 6).text : column->last, CELL_LETTERS, false);
}

static bool is_empty(const foci_look_column *column) {
    return column->filled == 0;
}

static void print_empty(const foci_look *look) {
    size_t told = 0;
    for (size_t i = 0; i < look->column_count; i++)
        if (is_empty(&look->columns[i]) && told++ < MOST_NAMES)
            console_put("%s%.60s", told > 1 ? ", " : "empty: ", look->columns[i].name);
    if (told > 0)
        console_put("%s\n", told > MOST_NAMES ? " ..." : "");
}

static void print_columns(const foci_look *look) {
    size_t told = 0;
    console_put("\n");
    put_cell("column", NAME_LETTERS, false);
    put_cell("kind", 6, false);
    console_put("%9s  ", "filled");
    put_cell("from", CELL_LETTERS, false);
    put_cell("to", CELL_LETTERS, false);
    console_put("such as\n");
    for (size_t i = 0; i < look->column_count && told < MOST_COLUMNS; i++) {
        const foci_look_column *column = &look->columns[i];
        if (is_empty(column))
            continue;
        put_cell(column->name, NAME_LETTERS, false);
        put_cell(column->kind, 6, false);
        console_put("%9zu  ", column->filled);
        put_range(column);
        for (size_t k = 0; k < column->sample_count; k++)
            console_put("%s%.40s", k ? "; " : "", column->samples[k]);
        console_put("\n");
        told++;
    }
    if (told == MOST_COLUMNS)
        console_put("... (%zu columns in all)\n", look->column_count + look->columns_more);
    print_empty(look);
}

/* The header where `row` is the number of rows. */
static void print_row(const foci_look *look, size_t row, const size_t *shown, size_t across) {
    for (size_t c = 0; c < across; c++) {
        const char *text =
            row < look->row_count ? look->cells[row * look->column_count + shown[c]] : look->columns[shown[c]].name;
        put_cell(text ? text : "", CELL_LETTERS, c + 1 == across);
    }
    console_put("\n");
}

static void print_rows(const foci_look *look) {
    size_t shown[MOST_ACROSS], across = 0;
    for (size_t i = 0; i < look->column_count && across < MOST_ACROSS; i++)
        if (!is_empty(&look->columns[i]))
            shown[across++] = i;
    if (across == 0)
        return;
    console_put("\nfirst rows\n");
    print_row(look, look->row_count, shown, across);
    for (size_t row = 0; row < look->row_count; row++)
        print_row(look, row, shown, across);
}

/* ---- places ---- */

static foci_box box_of(const foci_point *points, size_t count) {
    foci_box box = {points[0].x, points[0].y, points[0].x, points[0].y};
    for (size_t i = 1; i < count; i++) {
        box.west = points[i].x < box.west ? points[i].x : box.west;
        box.south = points[i].y < box.south ? points[i].y : box.south;
        box.east = points[i].x > box.east ? points[i].x : box.east;
        box.north = points[i].y > box.north ? points[i].y : box.north;
    }
    return box;
}

static void print_box(foci_box box) {
    console_put("longitude %.6f to %.6f, latitude %.6f to %.6f\n", box.west, box.east, box.south, box.north);
}

static void print_names(const foci_sentences *names) {
    for (size_t i = 0; i < names->count && i < MOST_NAMES; i++)
        console_put("%s%s", i ? ", " : "named ", names->items[i]);
    if (names->count > 0)
        console_put("%s\n", names->count > MOST_NAMES ? " ..." : "");
}

static void print_places(const foci_look *look) {
    char area[FOCI_WORDS_SIZE];
    if (look->point_count > 0) {
        console_put("\npoints: %zu, ", look->point_count + look->points_more);
        print_box(box_of(look->points, look->point_count));
    }
    if (look->outline.count > 0) {
        foci_words_area(area, look->area_ha, foci_paper_measures(NULL));
        console_put("\noutline: %s in %zu part%s, ", area, look->outline.count, look->outline.count == 1 ? "" : "s");
        print_box(foci_multipolygon_box(&look->outline));
    }
    print_names(&look->names);
}

/* ---- guesses ---- */

/* As a shell takes it for one word. */
static void put_word(const char *word) {
    const char *safe = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_.,:/+-";
    if (*word && word[strspn(word, safe)] == '\0') {
        console_put("%s", word);
        return;
    }
    console_put("'");
    for (; *word; word += strcspn(word, "'")) {
        for (; *word == '\''; word++)
            console_put("'\\''");
        console_put("%.*s", (int)strcspn(word, "'"), word);
    }
    console_put("'");
}

static void put_option(const char *name, const char *value) {
    if (!value)
        return;
    console_put(" --%s ", name);
    put_word(value);
}

/* The whole line, for who agrees with all of it. */
static void print_command(const foci_look *look, const foci_look_options *options) {
    const char *layer = look->layer_count > 1 ? look->layers[look->layer].name : options->layer;
    const bool boundary = look->outline.count > 0;
    if (look->guess_count == 0 && !boundary)
        return;
    console_put(boundary ? "\nto type, as a boundary:\n" : "to type, if you agree:\n");
    console_put("  fieldfoci check ");
    if (boundary)
        console_put("STOPS");
    else
        put_word(look->file);
    put_option("field", boundary ? look->file : "FIELD");
    put_option(boundary ? "field-layer" : "layer", layer);
    put_option("field-name", boundary && look->names.count > 1 ? look->names.items[0] : NULL);
    put_option("crs", options->crs);
    put_option("xy", options->xy);
    for (size_t i = 0; i < look->guess_count; i++)
        put_option(look->guesses[i].setting, look->guesses[i].value);
    console_put("\n");
}

static void print_guesses(const foci_look *look) {
    if (look->guess_count == 0)
        return;
    console_put("\nwhat the columns may be\n");
    for (size_t i = 0; i < look->guess_count; i++) {
        const foci_look_guess *guess = &look->guesses[i];
        console_put(" ");
        if (guess->value)
            put_option(guess->setting, guess->value);
        else
            console_put(" %s", guess->column);
        console_put(": %s\n", guess->why);
    }
}

static void print_notes(const foci_look *look) {
    if (look->notes.count > 0)
        console_put("\n");
    for (size_t i = 0; i < look->notes.count; i++) {
        foci_error note = {0};
        char text[2 * sizeof note.text];
        foci_fail(&note, FOCI_BAD_INPUT, NULL, 0, "%s", look->notes.items[i]);
        foci_error_text(&note, "--", text, sizeof text);
        console_put("note: %s\n", text);
    }
}

static void print_look(const foci_look *look, const foci_look_options *options) {
    print_layers(look);
    print_columns(look);
    print_rows(look);
    print_places(look);
    print_guesses(look);
    print_command(look, options);
    print_notes(look);
}

int command_look(const foci_settings *settings) {
    foci_error err = {0};
    foci_look look = {0};
    const foci_look_options options = {
        .layer = settings->survey.stops.layer, .crs = settings->survey.stops.crs, .xy = settings->survey.stops.xy};
    int status = EXIT_DONE;
    if (settings->input_count != 1) {
        foci_fail(&err, FOCI_BAD_SETTING, "FILE", 0, "name one file to look into");
        return console_fail(&err);
    }
    if (!foci_look_file(&look, settings->inputs[0], &options, &err))
        return console_fail(&err);
    if (settings->json)
        status = console_print(foci_look_summary(&look, &err), &err);
    else
        print_look(&look, &options);
    foci_look_free(&look);
    return status;
}
