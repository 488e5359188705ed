#include "fieldfoci/persistence.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "decide/seasons/persistence_map.h"
#include "decide/seasons/persistence_pair.h"

static const char flat[] = "its map has no spread";
static const char counts_method[] =
    "counts read together: logit of the share infected as a Gaussian surface for each season, partly common "
    "(Laplace's approximation); likelihood ratio of the common part";
static const char scores_method[] =
    "scores read together: a Gaussian surface and noise for each season, surfaces partly common; modified t of the "
    "seasons' own surfaces";

void foci_persistence_free(foci_persistence *persistence) {
    free(persistence->pairs);
    free(persistence->hot_seasons);
    for (size_t s = 0; s < FOCI_SEASONS_MOST; s++)
        free(persistence->chance[s]);
    for (size_t code = 0; code < FOCI_CLASS_UNSURE; code++)
        free(persistence->class_chance[code]);
    free(persistence->class_code);
    *persistence = (foci_persistence){0};
}

/* All that can be compared, read together; those without spread are left out and the others read again. */
static bool read_all(foci_together *out, foci_study *study, const foci_execution *how, foci_error *err) {
    size_t all[FOCI_SEASONS_MOST];
    double done = 0; /* how often is not known: half of what is left each time */
    for (size_t s = 0; s < FOCI_SEASONS_MOST; s++)
        all[s] = s;
    while (study->count >= 2) {
        const foci_execution part = foci_execution_part(how, done, (1 + done) / 2);
        if (!foci_together_make(out, study, all, study->count, &part, err))
            return false;
        done = (1 + done) / 2;
        size_t season = foci_together_flat(out);
        if (season == study->count)
            return true;
        foci_together_free(out);
        foci_study_leave_out(study, season, flat);
    }
    return true;
}

static void set_areas(foci_persistence *out, const foci_together *together, const foci_persistence_areas *areas) {
    out->compared = together->count;
    for (size_t s = 0; s < together->count; s++)
        out->hot[together->given[s]] = areas->hot[s];
    for (size_t code = 0; code < FOCI_CLASS_UNSURE; code++)
        out->classes[code] = areas->classes[code];
}

static bool new_pairs(foci_persistence *out, const foci_study *study, foci_error *err) {
    out->pair_count = study->given * (study->given - 1) / 2;
    out->pairs = foci_new_array(out->pair_count, sizeof *out->pairs, err);
    foci_season_pair *next = out->pairs;
    for (size_t s = 0; next && s < study->given; s++)
        for (size_t u = s + 1; u < study->given; u++)
            *next++ = foci_season_pair_none(study, s, u);
    return out->pairs != NULL;
}

/* The pair of these two in the order given. */
static foci_season_pair *pair_of(const foci_persistence *out, size_t first, size_t second) {
    for (size_t i = 0; i < out->pair_count; i++)
        if ((out->pairs[i].first == first && out->pairs[i].second == second) ||
            (out->pairs[i].first == second && out->pairs[i].second == first))
            return &out->pairs[i];
    return NULL;
}

/* Two seasons of several, on their own. */
static bool compare_two(foci_season_pair *pair, const foci_study *study, size_t first, size_t second,
                        const foci_execution *how, foci_error *err) {
    const foci_execution fitting = foci_execution_part(how, 0, 0.4), drawing = foci_execution_part(how, 0.4, 1);
    foci_together together = {0};
    foci_persistence_areas areas = {0};
    if (!foci_together_make(&together, study, (const size_t[]){first, second}, 2, &fitting, err))
        return false;
    bool ok = true;
    size_t without = foci_together_flat(&together);
    if (without < together.count) {
        foci_season_pair_set_flat(pair, study, together.given[without], flat);
    } else
        ok = foci_persistence_areas_make(&areas, study, &together, &drawing, err) &&
             foci_season_pair_make(pair, study, &together, &areas, err);
    foci_together_free(&together);
    return ok;
}

static bool compare_pairs(foci_persistence *out, const foci_study *study, const foci_together *together,
                          const foci_persistence_areas *areas, const foci_execution *how, foci_error *err) {
    const double pairs = (double)(study->count * (study->count - 1)) / 2;
    double done = 0;
    if (study->count == 2)
        return foci_season_pair_make(pair_of(out, together->given[0], together->given[1]), study, together, areas, err);
    for (size_t s = 0; s < study->count; s++)
        for (size_t u = s + 1; u < study->count; u++, done++) {
            const foci_execution part = foci_execution_part(how, done / pairs, (done + 1) / pairs);
            if (!compare_two(pair_of(out, study->seasons[s].given, study->seasons[u].given), study, s, u, &part, err))
                return false;
        }
    return true;
}

bool foci_persistence_make(foci_persistence *out, const foci_persistence_season *seasons, size_t count,
                           const foci_grid *grid, const foci_persistence_options *options, const foci_execution *how,
                           foci_error *err) {
    const double alone = count > 2 ? 0.5 : 1; /* what is done before each two are compared by themselves */
    const foci_execution reading = foci_execution_part(how, 0, 0.3 * alone);
    const foci_execution drawing = foci_execution_part(how, 0.3 * alone, 0.9 * alone);
    const foci_execution mapping = foci_execution_part(how, 0.9 * alone, alone);
    const foci_execution comparing = foci_execution_part(how, alone, 1);
    const foci_estimate none = {NAN, NAN, NAN};
    foci_persistence made = {.seasons = count};
    foci_study study = {0};
    foci_together together = {0};
    foci_persistence_areas areas = {0};
    bool ok = false;
    if (!foci_study_open(&study, seasons, count, grid, options, err))
        goto done;
    made.method = study.scores ? scores_method : counts_method;
    for (size_t s = 0; s < FOCI_SEASONS_MOST; s++)
        made.hot[s] = none;
    for (size_t code = 0; code < FOCI_CLASS_UNSURE; code++)
        made.classes[code] = none;
    if (!read_all(&together, &study, &reading, err) || !new_pairs(&made, &study, err))
        goto done;
    if (study.count >= 2) {
        if (!foci_persistence_areas_make(&areas, &study, &together, &drawing, err))
            goto done;
        set_areas(&made, &together, &areas);
        if (!foci_persistence_map(&made, &study, &together, &mapping, err) ||
            !compare_pairs(&made, &study, &together, &areas, &comparing, err))
            goto done;
    }
    *out = made;
    made = (foci_persistence){0};
    ok = true;
done:
    foci_study_close(&study);
    foci_together_free(&together);
    foci_persistence_free(&made);
    return ok;
}

foci_persistence_options foci_persistence_options_make(void) {
    return (foci_persistence_options){.row_heading = NAN, .area_ha = NAN, .seed = 1};
}
