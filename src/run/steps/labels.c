#include "run/steps/labels.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/memory.h"
#include "base/text.h"
#include "fieldfoci/plain_number.h"
#include "fieldfoci/words.h"

bool foci_labels_made(char made[32], foci_error *err) {
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    time_t moment = time(NULL);
    if (epoch && *epoch) {
        double seconds = 0;
        if (!foci_number_parse(epoch, &seconds) || seconds < 0 || seconds > 253402300799.0)
            return foci_fail(err, FOCI_BAD_SETTING, "SOURCE_DATE_EPOCH", 0, "'%s' is not a number of seconds", epoch);
        moment = (time_t)seconds;
    }
    struct tm parts;
    if (!gmtime_r(&moment, &parts) || strftime(made, 32, "%Y-%m-%dT%H:%M:%SZ", &parts) == 0)
        return foci_fail(err, FOCI_BAD_SETTING, "SOURCE_DATE_EPOCH", 0, "the time cannot be written as a date");
    return true;
}

static void find_dates(const foci_stops *stops, const char **first, const char **last) {
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        if (!stop->used || !stop->date[0])
            continue;
        if (!**first || strcmp(stop->date, *first) < 0)
            *first = stop->date;
        if (!**last || strcmp(stop->date, *last) > 0)
            *last = stop->date;
    }
}

/* A label of the user's, as one line. */
static char *label(const char *text, foci_error *err) {
    char *copy = foci_copy_text(text, err);
    if (copy)
        foci_words_one_line(copy);
    return copy;
}

bool foci_labels_make(foci_survey *round, const foci_survey_options *used, foci_error *err) {
    const char *first = "", *last = "";
    char years[10] = "";
    find_dates(&round->stops, &first, &last);
    if (*first && strncmp(first, last, 4) == 0)
        snprintf(years, sizeof years, "%.4s", first);
    else if (*first)
        snprintf(years, sizeof years, "%.4s-%.4s", first, last);
    round->first_date = foci_copy_text(first, err);
    round->last_date = foci_copy_text(last, err);
    round->season = label(used->season ? used->season : years, err);
    round->title = label(used->title ? used->title : "", err);
    round->rated = foci_copy_text(round->stops.rating  ? round->stops.rating->name
                                  : round->has_profile ? round->profile.rated
                                                       : "",
                                  err);
    round->letter_from = label(used->letter_from ? used->letter_from : "", err);
    round->paper = used->paper;
    if (!round->letter_from || !round->first_date || !round->last_date || !round->season || !round->title ||
        !round->rated)
        return false;
    return foci_labels_made(round->made, err);
}
