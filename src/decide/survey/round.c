#include "fieldfoci/round.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "fieldfoci/words.h"

bool foci_sentences_add(foci_sentences *sentences, foci_error *err, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (length < 0)
        return foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "text could not be formatted");
    char *text = foci_new_array((size_t)length + 1, 1, err);
    if (!text)
        return false;
    va_start(arguments, format);
    vsnprintf(text, (size_t)length + 1, format, arguments);
    va_end(arguments);
    foci_words_one_line(text); /* it holds names of files and of people */
    size_t capacity = sentences->count;
    if (!foci_grow_array((void **)&sentences->items, &capacity, sentences->count + 1, sizeof *sentences->items, err)) {
        free(text);
        return false;
    }
    sentences->items[sentences->count++] = text;
    return true;
}

char *foci_sentences_join(const foci_sentences *sentences, const char *between, foci_error *err) {
    foci_text text = {0};
    bool ok = foci_text_add(&text, err, "%s", "");
    for (size_t i = 0; ok && i < sentences->count; i++)
        ok = foci_text_add(&text, err, "%s%s", i > 0 ? between : "", sentences->items[i]);
    if (!ok)
        foci_text_free(&text);
    return text.text;
}

void foci_sentences_free(foci_sentences *sentences) {
    for (size_t i = 0; i < sentences->count; i++)
        free(sentences->items[i]);
    free(sentences->items);
    *sentences = (foci_sentences){0};
}

void foci_round_free(foci_round *round) {
    foci_stops_free(&round->stops);
    foci_field_free(&round->field);
    foci_findings_free(&round->findings);
    foci_profile_free(&round->profile);
    foci_readings_free(&round->readings);
    foci_grid_free(&round->grid);
    foci_surface_model_free(&round->model);
    foci_surface_free(&round->surface);
    free(round->unspoken);
    foci_pattern_free(&round->pattern);
    foci_cross_check_free(&round->cross_check);
    foci_hotspots_free(&round->hotspots);
    foci_zones_free(&round->zones);
    foci_dig_points_free(&round->digs);
    free(round->earlier.survey);
    free(round->earlier.season);
    free(round->earlier.words);
    free(round->no_zones_why);
    free(round->season);
    free(round->title);
    free(round->rated);
    free(round->first_date);
    free(round->last_date);
    free(round->letter_from);
    foci_photo_free(&round->photo);
    foci_marks_free(&round->marks);
    foci_sentences_free(&round->cautions);
    foci_sentences_free(&round->warnings);
    foci_sentences_free(&round->even_so);
    *round = (foci_round){0};
}
