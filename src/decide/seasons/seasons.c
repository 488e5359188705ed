#include "fieldfoci/seasons.h"

#include <stdlib.h>
#include <string.h>

#include "base/path.h"

void foci_seasons_free(foci_seasons *seasons) {
    for (size_t i = 0; i < seasons->count; i++) {
        if (seasons->rounds)
            foci_survey_free(&seasons->rounds[i]);
        if (seasons->surveys)
            free(seasons->surveys[i]);
    }
    free(seasons->rounds);
    free(seasons->surveys);
    free(seasons->keys);
    foci_grid_free(&seasons->grid);
    foci_persistence_free(&seasons->persistence);
    foci_class_places_free(&seasons->places);
    foci_job_words_free(&seasons->job);
    free(seasons->title);
    for (size_t i = 0; i < FOCI_SEASONS_MOST; i++)
        free(seasons->fences[i]);
    foci_sentences_free(&seasons->sentences);
    foci_sentences_free(&seasons->cautions);
    foci_sentences_free(&seasons->warnings);
    foci_sentences_free(&seasons->even_so);
    *seasons = (foci_seasons){0};
}

const char *foci_seasons_class_word(const foci_seasons *seasons, foci_class code) {
    if (seasons->persistence.compared == 2 && code == FOCI_CLASS_ALWAYS)
        return "both";
    if (seasons->persistence.compared == 2 && code == FOCI_CLASS_NEVER)
        return "neither";
    return foci_class_name(code);
}

const char *foci_seasons_survey_name(const foci_seasons *seasons, size_t season) {
    return foci_path_name_alone(seasons->surveys, seasons->count, season);
}

const char *foci_seasons_label(const foci_seasons *seasons, size_t season) {
    const char *label = seasons->rounds[season].season;
    bool alone = label && *label;
    for (size_t s = 0; alone && s < seasons->count; s++) {
        const char *other = seasons->rounds[s].season;
        alone = s == season || !other || strcmp(other, label) != 0;
    }
    return alone ? label : foci_seasons_survey_name(seasons, season);
}
