#include "run/steps/earlier.h"

#include <math.h>
#include <stdio.h>

#include "base/memory.h"
#include "decide/words/warnings.h"
#include "decide/seasons/seasons_guards.h"
#include "run/steps/recall.h"

#define OPTION "{earlier}"

static bool guard(foci_survey *round, const foci_survey *before, const foci_survey_options *used, foci_error *err) {
    if (!foci_seasons_guard_soil(&round->even_so, round, OPTION, used->even_so, err) ||
        !foci_seasons_guard_pair(round, before, used->earlier, err))
        return false;
    if (foci_seasons_same_readings(round, before))
        return foci_fail(err, FOCI_BAD_INPUT, used->earlier, 0,
                         "has the very readings of this survey; name the survey of an earlier season");
    return true;
}

bool foci_earlier_read(foci_readings *out, foci_survey *round, const foci_survey_options *used, foci_error *err) {
    foci_survey before = {0};
    foci_earlier *earlier = &round->earlier;
    bool ok = false;
    if (!round->field.input.file)
        return foci_fail(err, FOCI_BAD_SETTING, OPTION, 0,
                         "needs the field's boundary, to see that both seasons are of one field; give {field}");
    if (!foci_recall_folder(&before, earlier->sha256, used->earlier, round->work_crs, err))
        return false;
    if (!guard(round, &before, used, err))
        goto done;
    earlier->survey = foci_copy_text(used->earlier, err);
    earlier->season = foci_copy_text(before.season, err);
    if (!earlier->survey || !earlier->season)
        goto done;
    *out = before.readings;
    before.readings = (foci_readings){0};
    ok = true;
done:
    foci_survey_free(&before);
    return ok;
}

bool foci_earlier_tell(foci_survey *round, foci_error *err) {
    foci_earlier *earlier = &round->earlier;
    const foci_earlier_facts *facts = &round->model.facts.earlier;
    const bool tried = !*facts->why_not;
    earlier->words = foci_words_earlier(round, err);
    return earlier->words && (tried || foci_sentences_add(&round->warnings, err, "%s", earlier->words));
}
