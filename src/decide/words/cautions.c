#include "decide/words/cautions.h"

#include "fieldfoci/words.h"

/* The label, restricted products and re-entry: 40 CFR 156 and 170 in the United States, from memory; elsewhere the
 * local rules. The rest is common practice, no source. */
static const char *const standing_cautions[] = {
    "The label is the law: crop, disease, rate, re-entry and pre-harvest intervals. Local rules hold; restricted "
    "products are for licensed applicators only.",
    "Keep setbacks to water, wells, neighbors and bees; mind drift; rotate modes of action.",
    "Before anyone treats, dig and look at the flagged places and at some that are not flagged. Between places clean "
    "boots and spade; where something was applied, stay out until its re-entry interval is over.",
    NULL,
};

/* What the disease asks for comes first. */
static bool say_profile(foci_sentences *cautions, const foci_profile *profile, foci_error *err) {
    if (profile->laboratory &&
        !foci_sentences_add(cautions, err, "A laboratory's word is needed before anyone treats: %s",
                            profile->laboratory_why.text))
        return false;
    if (profile->too_late_in_season &&
        !foci_sentences_add(cautions, err, "Too late for this season: %s What can still be done: %s.",
                            profile->too_late.text, profile->next_season))
        return false;
    for (size_t i = 0; i < profile->caution_count; i++)
        if (!foci_sentences_add(cautions, err, "%s", profile->cautions[i].text))
            return false;
    return !*profile->margin.text || foci_sentences_add(cautions, err, "%s", profile->margin.text);
}

bool foci_cautions_standing(foci_sentences *cautions, const foci_profile *profile, foci_error *err) {
    if (profile && !say_profile(cautions, profile, err))
        return false;
    for (const char *const *caution = standing_cautions; *caution; caution++)
        if (!foci_sentences_add(cautions, err, "%s", *caution))
            return false;
    return true;
}

bool foci_cautions_make(foci_survey *round, foci_error *err) {
    const bool dated = *round->last_date;
    char dates[FOCI_WORDS_SIZE];
    foci_words_dates(dates, round->first_date, round->last_date);
    return foci_cautions_standing(&round->cautions, round->has_profile ? &round->profile : NULL, err) &&
           foci_sentences_add(&round->cautions, err,
                              "An estimate from %zu stops%s%s, uncertain between them: not a diagnosis and not a "
                              "recommendation. Local extension advice prevails.",
                              round->readings.count, dated ? " of " : "", dated ? dates : "");
}
