#include "show/seasons/seasons_files.h"

#include <math.h>

#include "data/files/vector_file.h"
#include "decide/words/seasons_words.h"

#define LENGTH(array) (sizeof(array) / sizeof *(array))

static const char *or_blank(const char *text) {
    return text && text[0] ? text : NULL;
}

static bool write_notes(foci_vector_writer *writer, const foci_seasons *seasons, foci_error *err) {
    foci_text labels = {0};
    const bool ok =
        foci_words_add_seasons(&labels, seasons, err) &&
        foci_vector_writer_note(writer, "program", "fieldfoci " FOCI_VERSION, err) &&
        foci_vector_writer_note(writer, "made", seasons->made, err) &&
        foci_vector_writer_note(writer, "seasons", labels.text, err) &&
        foci_vector_writer_note(writer, "method", seasons->persistence.method ? seasons->persistence.method : "", err);
    foci_text_free(&labels);
    return ok;
}

static bool write_class(foci_vector_writer *writer, const foci_seasons *seasons, const foci_class_place *place,
                        foci_error *err) {
    foci_text hot = {0};
    const double numbers[] = {place->id > 0 ? place->id : NAN, NAN, place->area_ha, place->chance, NAN};
    bool ok = foci_words_add_hot(&hot, seasons, place->hot, err);
    const char *const texts[] = {NULL, foci_class_name(place->code), NULL, NULL, or_blank(hot.text)};
    ok = ok && foci_vector_writer_add(writer, texts, numbers, NULL, &place->lonlat, err);
    foci_text_free(&hot);
    return ok;
}

static bool write_classes(foci_vector_writer *writer, const foci_seasons *seasons, foci_error *err) {
    static const foci_column columns[] = {{"id", FOCI_COLUMN_WHOLE},
                                          {"class", FOCI_COLUMN_TEXT},
                                          {"area_ha", FOCI_COLUMN_NUMBER},
                                          {"chance", FOCI_COLUMN_NUMBER},
                                          {"seasons", FOCI_COLUMN_TEXT}};
    if (!foci_vector_writer_layer(writer, "classes", FOCI_SHAPE_AREA, columns, LENGTH(columns), err))
        return false;
    for (size_t i = 0; i < seasons->places.count; i++)
        if (!write_class(writer, seasons, &seasons->places.items[i], err))
            return false;
    return true;
}

static bool write_field(foci_vector_writer *writer, const foci_seasons *seasons, foci_error *err) {
    static const foci_column columns[] = {{"name", FOCI_COLUMN_TEXT}, {"area_ha", FOCI_COLUMN_NUMBER}};
    const foci_field *field = &seasons->rounds[seasons->count - 1].field;
    const char *const texts[] = {or_blank(field->name), NULL};
    const double numbers[] = {NAN, field->area_ha};
    return foci_vector_writer_layer(writer, "field", FOCI_SHAPE_AREA, columns, LENGTH(columns), err) &&
           foci_vector_writer_add(writer, texts, numbers, NULL, &field->lonlat, err);
}

/* The columns of a kind of reading: those of the other kind are left out. */
static const foci_column value_columns[] = {{"season", FOCI_COLUMN_TEXT},
                                            {"stop", FOCI_COLUMN_TEXT},
                                            {"value", FOCI_COLUMN_NUMBER},
                                            {"date", FOCI_COLUMN_TEXT},
                                            {"used", FOCI_COLUMN_TEXT}};
static const foci_column count_columns[] = {{"season", FOCI_COLUMN_TEXT}, {"stop", FOCI_COLUMN_TEXT},
                                            {"hits", FOCI_COLUMN_NUMBER}, {"checked", FOCI_COLUMN_NUMBER},
                                            {"date", FOCI_COLUMN_TEXT},   {"used", FOCI_COLUMN_TEXT}};

static bool write_stop(foci_vector_writer *writer, const char *season, foci_reading_kind kind, const foci_stop *stop,
                       foci_error *err) {
    const char *texts[LENGTH(count_columns)] = {season, stop->name};
    double numbers[LENGTH(count_columns)] = {NAN, NAN};
    size_t n = 2;
    if (kind == FOCI_READING_COUNT) {
        numbers[n++] = stop->hits;
        numbers[n++] = stop->checked;
    } else {
        numbers[n++] = stop->value;
    }
    texts[n++] = or_blank(stop->date);
    texts[n++] = stop->used || stop->pooled_into != FOCI_NOT_POOLED ? "yes" : "no";
    const bool placed = isfinite(stop->lonlat.x) && isfinite(stop->lonlat.y);
    return foci_vector_writer_add(writer, texts, numbers, placed ? &stop->lonlat : NULL, NULL, err);
}

static bool write_stops(foci_vector_writer *writer, const foci_seasons *seasons, foci_error *err) {
    const foci_reading_kind kind = seasons->rounds[0].stops.kind;
    const bool counts = kind == FOCI_READING_COUNT;
    if (!foci_vector_writer_layer(writer, "stops", FOCI_SHAPE_POINT, counts ? count_columns : value_columns,
                                  counts ? LENGTH(count_columns) : LENGTH(value_columns), err))
        return false;
    for (size_t s = 0; s < seasons->count; s++) {
        const foci_stops *stops = &seasons->rounds[s].stops;
        for (size_t i = 0; i < stops->count; i++)
            if (!write_stop(writer, foci_seasons_label(seasons, s), kind, &stops->items[i], err))
                return false;
    }
    return true;
}

bool foci_seasons_geopackage(const foci_seasons *seasons, const char *path, foci_error *err) {
    foci_vector_writer *writer = NULL;
    if (!foci_vector_writer_open(&writer, path, err))
        return false;
    if (!write_notes(writer, seasons, err) || !write_classes(writer, seasons, err) ||
        !write_field(writer, seasons, err) || !write_stops(writer, seasons, err)) {
        foci_vector_writer_drop(writer);
        return false;
    }
    return foci_vector_writer_close(writer, err);
}
