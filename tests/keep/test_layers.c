/* The table of layers: what survey.gpkg has of each, and that a history takes it in by name. */
#include "support/scratch.h"

#include "keep/layers.h"

static const char *const reading_columns[2] = {
    [FOCI_READING_VALUE] = "stop value date used why estimate chance east north",
    [FOCI_READING_COUNT] = "stop hits checked date used why estimate chance east north"};

/* Every column of a layer with its number as text and as number. */
static void write_row(foci_vector_writer *writer, size_t layer, foci_reading_kind kind) {
    foci_error err = {0};
    const foci_point place = {-93.5, 42.5};
    foci_point corners[] = {{-93.5, 42.5}, {-93.48, 42.5}, {-93.48, 42.52}};
    foci_ring ring = {.points = corners, .count = 3};
    foci_polygon polygon = {.rings = &ring, .count = 1};
    const foci_multipolygon area = {.polygons = &polygon, .count = 1};
    static char words[FOCI_STOPS_COLUMNS][8];
    const char *texts[FOCI_STOPS_COLUMNS];
    double numbers[FOCI_STOPS_COLUMNS];
    for (int i = 0; i < FOCI_STOPS_COLUMNS; i++) {
        snprintf(words[i], sizeof words[i], "%d", i);
        texts[i] = words[i];
        numbers[i] = i;
    }
    const bool points = foci_layers[layer].shape == FOCI_SHAPE_POINT;
    assert_done(foci_layer_begin(writer, layer, kind, &err), err);
    assert_done(
        foci_layer_add(writer, layer, kind, texts, numbers, points ? &place : NULL, points ? NULL : &area, &err), err);
}

static const char *path_of(foci_reading_kind kind) {
    static char path[200];
    snprintf(path, sizeof path, "%s/%d.gpkg", scratch_folder, (int)kind);
    return path;
}

static void write_all(foci_reading_kind kind) {
    foci_vector_writer *writer = NULL;
    foci_error err = {0};
    assert_done(foci_vector_writer_open(&writer, path_of(kind), &err), err);
    for (size_t layer = 0; layer <= FOCI_LAYER_HOTSPOTS; layer++)
        if (foci_layers[layer].name)
            write_row(writer, layer, kind);
    assert_done(foci_vector_writer_close(writer, &err), err);
}

static void a_row_lies_under_its_columns(void **state) {
    (void)state;
    for (int kind = FOCI_READING_VALUE; kind <= FOCI_READING_COUNT; kind++) {
        const char *names[FOCI_LAYER_HOTSPOTS + 1];
        foci_table read[FOCI_LAYER_HOTSPOTS + 1] = {{0}};
        foci_error err = {0};
        write_all((foci_reading_kind)kind);
        for (size_t i = 0; i <= FOCI_LAYER_HOTSPOTS; i++)
            names[i] = foci_layers[i].name;
        assert_done(
            foci_table_read_layers(read, path_of((foci_reading_kind)kind), names, FOCI_LAYER_HOTSPOTS + 1, &err), err);
        for (size_t i = 0; i <= FOCI_LAYER_HOTSPOTS; i++) {
            const foci_layer_order *order = &foci_layers[i].order[kind];
            assert_int_equal(read[i].column_count, order->count);
            for (size_t c = 0; c < order->count; c++) {
                const foci_column *column = &foci_layers[i].columns[order->at[c]];
                assert_string_equal(read[i].columns[c], column->name);
                if (column->type == FOCI_COLUMN_TEXT)
                    assert_int_equal(atoi(read[i].cells[c].text), order->at[c]);
                else
                    assert_true(read[i].cells[c].number == order->at[c]);
            }
            foci_table_free(&read[i]);
        }
    }
}

static void readings_have_the_columns_of_their_kind(void **state) {
    (void)state;
    for (int kind = FOCI_READING_VALUE; kind <= FOCI_READING_COUNT; kind++) {
        const foci_layer *stops = &foci_layers[FOCI_LAYER_STOPS];
        char list[200] = "";
        for (size_t c = 0; c < stops->order[kind].count; c++) {
            const size_t used = strlen(list);
            snprintf(list + used, sizeof list - used, "%s%s", c ? " " : "",
                     stops->columns[stops->order[kind].at[c]].name);
        }
        assert_string_equal(list, reading_columns[kind]);
    }
}

/* A history's own columns are its keys; all else is copied by name. */
static void a_history_has_its_keys_and_columns_of_the_layers(void **state) {
    (void)state;
    for (size_t i = FOCI_LAYER_STOPS; i <= FOCI_LAYER_DIGS; i++) {
        const foci_database_table *table = &foci_history_tables[i];
        size_t own = 0;
        for (size_t c = 0; c < table->column_count; c++) {
            bool found = false;
            for (int kind = FOCI_READING_VALUE; kind <= FOCI_READING_COUNT; kind++)
                for (size_t k = 0; k < foci_layers[i].order[kind].count; k++)
                    found = found || foci_layers[i].order[kind].at[k] == c;
            own += !found;
        }
        assert_string_equal(table->columns[0].name, "survey");
        assert_int_equal(own, i == FOCI_LAYER_STOPS ? 2 : 1); /* "survey", and of stops their "number" */
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_row_lies_under_its_columns),
        cmocka_unit_test(readings_have_the_columns_of_their_kind),
        cmocka_unit_test(a_history_has_its_keys_and_columns_of_the_layers),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}
