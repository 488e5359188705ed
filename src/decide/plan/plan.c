#include "fieldfoci/plan.h"

#include <math.h>
#include <stdlib.h>

foci_plan_options foci_plan_options_make(void) {
    return (foci_plan_options){.stops = FOCI_OPEN, .chance = 0.8, .margin = NAN, .expect = NAN, .aggregation = NAN};
}

void foci_plan_free(foci_plan *plan) {
    for (size_t i = 0; i < plan->layout.count; i++) {
        free(plan->names ? plan->names[i] : NULL);
        free(plan->notes ? plan->notes[i] : NULL);
    }
    free(plan->names);
    free(plan->notes);
    foci_layout_free(&plan->layout);
    foci_field_free(&plan->field);
    foci_profile_free(&plan->profile);
    free(plan->reading.value);
    free(plan->reading.hits);
    free(plan->reading.checked);
    free(plan->reading.unit);
    free(plan->title);
    free(plan->season);
    foci_sentences_free(&plan->facts);
    foci_sentences_free(&plan->cautions);
    foci_sentences_free(&plan->warnings);
    foci_sentences_free(&plan->messages);
    *plan = (foci_plan){0};
}
