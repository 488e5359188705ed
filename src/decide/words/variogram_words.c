#include "decide/words/variogram_words.h"

#include "base/memory.h"
#include "fieldfoci/words.h"

const char foci_variogram_title[] = "How readings vary with distance";
const char foci_variogram_feet[] = "distance between two stops, feet";
const char foci_variogram_meters[] = "distance between two stops, meters";
const char foci_variogram_nugget_means[] =
    "So much do stops differ that stand side by side: counting error, and what changes from step to step.";
const char foci_variogram_sill_means[] =
    "So much do stops differ that are far apart: the spread of the field as a whole.";

const char *foci_words_range_means(const foci_variogram *model) {
    return model->ratio < 1
               ? "How far neighbors count, along the longest range; farther stops tell little more than the average."
               : "How far neighbors count; farther stops tell little more than the average.";
}

char *foci_words_upwards(const char *unit, foci_error *err) {
    return foci_format_text(err, "Upwards: semivariance, half the mean squared difference, (%s) squared", unit);
}

bool foci_words_add_variogram(foci_text *text, const foci_semivariances *semivariances, const foci_variogram *model,
                              const char *made, foci_error *err) {
    char date[FOCI_WORDS_SIZE];
    size_t pairs = 0;
    foci_words_date(date, made);
    for (size_t i = 0; i < semivariances->count; i++)
        pairs += semivariances->bins[i].pairs;
    bool ok =
        foci_text_add(text, err, "Points: %zu classes of distance, %zu pairs of stops, larger discs for more pairs.",
                      semivariances->count, pairs);
    if (ok && model)
        ok = foci_text_add(text, err, " Line: %s model, %s, nugget %.4g, partial sill %.4g, range parameter %.4g m",
                           model->kind->name, model->fit, model->nugget, model->partial_sill, model->range) &&
             (!(model->ratio < 1) ||
              foci_text_add(text, err, ", heading %.3g degrees from grid north, ratio %.3g (thin line: across)",
                            model->heading, model->ratio)) &&
             foci_text_add(text, err, ".");
    return ok && foci_text_add(text, err, " Made %s, by fieldfoci %s.", date, FOCI_VERSION);
}
