#include "fieldfoci/survey.h"

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

void foci_job_words_free(foci_job_words *job) {
    foci_sentences_free(&job->names);
    foci_sentences_free(&job->values);
}

bool foci_survey_is_at(const foci_survey *survey, foci_stage stage, foci_error *err) {
    static const char *const steps[FOCI_STAGE_END] = {
        [FOCI_STAGE_EMPTY] = "foci_survey_read or foci_survey_take",
        [FOCI_STAGE_TAKEN] = "foci_survey_check",
        [FOCI_STAGE_CHECKED] = "foci_survey_fit",
        [FOCI_STAGE_FITTED] = "foci_survey_estimate",
        [FOCI_STAGE_ESTIMATED] = "foci_survey_decide",
    };
    return survey->stage >= stage ||
           foci_fail(err, FOCI_TOO_EARLY, NULL, 0, "a step is missing before this one: call %s first",
                     steps[survey->stage]);
}

void foci_survey_free(foci_survey *round) {
    foci_survey_options_free(&round->options);
    foci_survey_options_free(&round->used);
    foci_job_words_free(&round->job);
    for (size_t i = 0; i < round->input_count; i++)
        free(round->inputs[i]);
    free(round->inputs);
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
    foci_cross_validation_free(&round->cross_validation);
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
    *round = (foci_survey){0};
}
