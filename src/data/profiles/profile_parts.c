/* What a profile is made of: its facts, freed, and the words of where a disease lives. */
#include <stdlib.h>

#include "fieldfoci/profile.h"

static void fact_free(foci_fact *fact) {
    free(fact->text);
    free(fact->source);
}

static void facts_free(foci_fact *facts, size_t count) {
    for (size_t i = 0; i < count; i++)
        fact_free(&facts[i]);
    free(facts);
}

void foci_profile_free(foci_profile *profile) {
    free(profile->name);
    free(profile->title);
    free(profile->crop);
    free(profile->cause);
    fact_free(&profile->habitat);
    fact_free(&profile->seen);
    fact_free(&profile->when);
    facts_free(profile->look_for, profile->look_for_count);
    fact_free(&profile->dig);
    fact_free(&profile->diagnosis);
    free(profile->unit);
    free(profile->scale);
    free(profile->value_column);
    free(profile->hits_column);
    free(profile->checked_column);
    free(profile->rated);
    fact_free(&profile->laboratory_why);
    fact_free(&profile->threshold_why);
    fact_free(&profile->too_late);
    free(profile->next_season);
    fact_free(&profile->margin);
    fact_free(&profile->aggregation);
    facts_free(profile->look_alikes, profile->look_alike_count);
    facts_free(profile->cautions, profile->caution_count);
    *profile = (foci_profile){0};
}

const char *foci_habitat_name(foci_habitat lives_in) {
    static const char *const names[] = {
        [FOCI_LIVES_SOIL] = "soil",
        [FOCI_LIVES_RESIDUE] = "residue",
        [FOCI_LIVES_WIND] = "wind",
        [FOCI_LIVES_VECTOR] = "vector",
    };
    return (size_t)lives_in < sizeof names / sizeof *names ? names[lives_in] : NULL;
}

bool foci_habitat_keeps_places(foci_habitat lives_in) {
    return lives_in == FOCI_LIVES_SOIL || lives_in == FOCI_LIVES_UNKNOWN;
}
