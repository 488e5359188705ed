/* Invented seasons of the field of sample_field.h, compared by hand: a pocket that is there every season, one that is
 * not there in the last, one that is there only then, and one every other season. The numbers are no model's: the
 * seasons are taken as unrelated, so that what is shown can be tested without the lower stages. */
#ifndef FOCI_TESTS_SAMPLE_SEASONS_H
#define FOCI_TESTS_SAMPLE_SEASONS_H

#include <stdlib.h>

#include "fieldfoci/seasons.h"
#include "show/sample_round.h"

#define SAMPLE_SPECK_HA 0.05

static inline bool sample_pocket_is_there(size_t pocket, size_t season, size_t seasons) {
    const bool last = season + 1 == seasons;
    const bool there[] = {true, !last, last, season % 2 == 1 && seasons > 2};
    return there[pocket];
}

static inline double sample_season_severity(const sample_plan *plan, foci_point place, size_t season, size_t seasons) {
    static const double middles[][2] = {{0.28, 0.62}, {0.74, 0.42}, {0.57, 0.8}, {0.17, 0.2}};
    static const double heights[] = {38, 30, 33, 29}, widths[] = {30, 24, 21, 20};
    const double size = fmin(sample_width(plan), sample_depth(plan)) / 200;
    double severity = 0.4 + 0.3 * (double)season;
    for (size_t i = 0; i < 4; i++) {
        const foci_point middle = sample_place(plan, middles[i][0] + 0.01 * (double)(season % 3), middles[i][1]);
        const double distance = hypot(place.x - middle.x, (place.y - middle.y) * 1.3) / (widths[i] * size);
        if (sample_pocket_is_there(i, season, seasons))
            severity += heights[i] * exp(-distance * distance / 2);
    }
    return severity;
}

static inline void sample_season_surface(foci_survey *round, const sample_plan *plan, size_t season, size_t seasons) {
    foci_surface *surface = &round->surface;
    surface->max = 0;
    for (size_t cell = 0; cell < round->grid.columns * round->grid.rows; cell++) {
        if (!(round->grid.share[cell] > 0))
            continue;
        const double severity = sample_season_severity(plan, sample_centre(&round->grid, cell), season, seasons);
        surface->estimate[cell] = severity;
        surface->chance[cell] = 0.5 * erfc((round->threshold - severity) / 6 * 0.7071067811865476);
        surface->max = fmax(surface->max, severity);
    }
    for (size_t i = 0; i < round->readings.count; i++) {
        const double severity = sample_season_severity(plan, round->readings.places[i], season, seasons);
        foci_stop *stop = &round->stops.items[round->readings.stops[i]];
        stop->hits = floor(stop->checked * severity / 100 + sample_noise(17 * season + i));
        stop->value = 100 * stop->hits / stop->checked;
        round->readings.hits[i] = stop->hits;
        round->readings.values[i] = stop->value;
    }
}

static inline bool sample_season(foci_survey *out, const sample_plan *plan, size_t season, size_t seasons,
                                 foci_error *err) {
    if (!sample_round_of(out, plan, err))
        return false;
    foci_hotspots_free(&out->hotspots);
    foci_zones_free(&out->zones);
    out->has_zones = false;
    sample_season_surface(out, plan, season, seasons);
    free(out->season);
    out->season = foci_format_text(err, "%zu", 2026 - seasons + season);
    return out->season != NULL;
}

/* Chances of the classes at a cell where the seasons have nothing to do with each other: by the number of seasons that
 * are hot before the last, and the last. */
static inline void sample_classes(foci_persistence *made, size_t cell) {
    const size_t count = made->seasons;
    double number[FOCI_SEASONS_MOST] = {1};
    for (size_t s = 0; s + 1 < count; s++)
        for (size_t n = s + 2; n-- > 0;)
            number[n] = (n <= s ? number[n] * (1 - made->chance[s][cell]) : 0) +
                        (n > 0 ? number[n - 1] * made->chance[s][cell] : 0);
    for (size_t before = 0; before < count; before++)
        for (size_t last = 0; last < 2; last++) {
            const size_t hot = before + last;
            const double of_last = made->chance[count - 1][cell];
            const foci_class code = hot == count                             ? FOCI_CLASS_ALWAYS
                                    : hot == 0                               ? FOCI_CLASS_NEVER
                                    : hot >= 2 && (2 * hot >= count || last) ? FOCI_CLASS_OFTEN
                                    : last                                   ? FOCI_CLASS_NEW
                                                                             : FOCI_CLASS_GONE;
            made->class_chance[code][cell] += number[before] * (last ? of_last : 1 - of_last);
            made->hot_seasons[cell] += (double)hot * number[before] * (last ? of_last : 1 - of_last);
        }
    made->class_code[cell] = FOCI_CLASS_UNSURE;
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
        if (made->class_chance[code][cell] >= 0.5)
            made->class_code[cell] = code;
}

static inline foci_estimate sample_area(double hectares) {
    return (foci_estimate){hectares, 0.55 * hectares, 1.6 * hectares};
}

static inline void sample_pair(foci_season_pair *pair, const foci_seasons *seasons, size_t first, size_t second) {
    const foci_persistence *made = &seasons->persistence;
    const double cell_ha = seasons->grid.cell * seasons->grid.cell / 10000;
    double both = 0, one = 0, other = 0, all = 0;
    for (size_t cell = 0; cell < seasons->grid.columns * seasons->grid.rows; cell++) {
        const double share = seasons->grid.share[cell] * cell_ha;
        if (!(share > 0))
            continue;
        const double a = made->chance[first][cell], b = made->chance[second][cell];
        all += share;
        both += share * a * b;
        one += share * a * (1 - b);
        other += share * b * (1 - a);
    }
    *pair = (foci_season_pair){.first = first,
                               .second = second,
                               .verdict = "came back",
                               .rho = 0.6135,
                               .rho_low = 0.2,
                               .rho_high = 0.9,
                               .rho_none = 0.1217,
                               .p = 0.0131,
                               .ratio = 4.94,
                               .correlation = NAN,
                               .effective = NAN,
                               .both = sample_area(both),
                               .only_first = sample_area(one),
                               .only_second = sample_area(other),
                               .neither = sample_area(all - both - one - other),
                               .by_chance = sample_area((both + one) * (both + other) / all),
                               .jaccard = both / (both + one + other),
                               .dice = 2 * both / (2 * both + one + other),
                               .kappa = 0.4321};
}

static inline bool sample_persistence(foci_seasons *seasons, foci_error *err) {
    foci_persistence *made = &seasons->persistence;
    const size_t cells = seasons->grid.columns * seasons->grid.rows;
    made->seasons = made->compared = seasons->count;
    made->method = "numbers set by hand";
    made->pairs = foci_new_array(seasons->count * (seasons->count - 1) / 2, sizeof *made->pairs, err);
    made->hot_seasons = foci_new_array(cells, sizeof(double), err);
    made->class_code = foci_new_array(cells, sizeof(int), err);
    bool ok = made->pairs && made->hot_seasons && made->class_code;
    for (size_t s = 0; s < seasons->count; s++)
        ok = (made->chance[s] = foci_new_array(cells, sizeof(double), err)) && ok;
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
        ok = (made->class_chance[code] = foci_new_array(cells, sizeof(double), err)) && ok;
    if (!ok)
        return false;
    double hectares[FOCI_CLASS_UNSURE] = {0}, hot[FOCI_SEASONS_MOST] = {0};
    for (size_t cell = 0; cell < cells; cell++) {
        const double share = seasons->grid.share[cell];
        for (size_t s = 0; s < seasons->count; s++)
            made->chance[s][cell] = share > 0 ? seasons->rounds[s].surface.chance[cell] : NAN;
        if (share > 0) {
            sample_classes(made, cell);
        } else {
            made->hot_seasons[cell] = NAN;
            made->class_code[cell] = -1;
        }
        for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
            if (share > 0)
                hectares[code] += share * made->class_chance[code][cell] / 400;
            else
                made->class_chance[code][cell] = NAN;
        for (size_t s = 0; s < seasons->count && share > 0; s++)
            hot[s] += share * made->chance[s][cell] / 400;
    }
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
        made->classes[code] = sample_area(hectares[code]);
    for (size_t s = 0; s < seasons->count; s++)
        made->hot[s] = sample_area(hot[s]);
    for (size_t a = 0; a < seasons->count; a++)
        for (size_t b = a + 1; b < seasons->count; b++)
            sample_pair(&made->pairs[made->pair_count++], seasons, a, b);
    return true;
}

static inline bool sample_sentences(foci_seasons *seasons, foci_error *err) {
    const foci_estimate *always = &seasons->persistence.classes[FOCI_CLASS_ALWAYS];
    return foci_sentences_add(&seasons->sentences, err,
                              "Hotspots came back: about %.1f ha (%.1f to %.1f) were hot in every season",
                              always->value, always->low, always->high) &&
           foci_sentences_add(
               &seasons->sentences, err,
               "Had the seasons nothing to do with each other, about 0.3 ha (0.1 to 0.6) would have been "
               "hot in all of them.") &&
           foci_sentences_add(&seasons->cautions, err,
                              "An estimate from scouting stops, not a diagnosis and not a recommendation. Dig and look "
                              "before anyone treats.") &&
           foci_sentences_add(&seasons->cautions, err,
                              "These are %zu seasons only: a third may look different. A wet corner comes back too, "
                              "with or without the disease.",
                              seasons->count) &&
           foci_sentences_add(&seasons->cautions, err,
                              "Rotation, variety and weather change what is seen in a season; the soil keeps what is "
                              "not seen.") &&
           foci_sentences_add(&seasons->cautions, err,
                              "The label is the law: crop, disease, rate and intervals are on it. Local rules come "
                              "first.") &&
           foci_sentences_add(&seasons->warnings, err,
                              "The seasons were rated by different people: the thresholds may not mean the same.");
}

static inline bool sample_seasons_grid(foci_grid *out, const foci_grid *grid, foci_error *err) {
    double *share = foci_new_array(grid->columns * grid->rows, sizeof *share, err);
    if (!share)
        return false;
    memcpy(share, grid->share, grid->columns * grid->rows * sizeof *share);
    *out = *grid;
    out->share = share;
    return true;
}

/* `count` seasons that were compared; on failure `*out` is empty. */
static inline bool sample_seasons_of(foci_seasons *out, const sample_plan *plan, size_t count, foci_error *err) {
    *out = (foci_seasons){.rounds = foci_new_array(count, sizeof *out->rounds, err),
                          .surveys = foci_new_array(count, sizeof *out->surveys, err),
                          .keys = foci_new_array(count, sizeof *out->keys, err)};
    bool ok = out->rounds && out->surveys && out->keys;
    snprintf(out->made, sizeof out->made, "2026-01-09T08:00:00Z");
    for (size_t s = 0; ok && s < count; s++) {
        out->count++;
        ok = sample_season(&out->rounds[s], plan, s, count, err) &&
             (out->surveys[s] = foci_format_text(err, "surveys/%zu", 2026 - count + s));
        memset(out->keys[s], 'a' + (int)s, 64);
    }
    ok = ok && sample_seasons_grid(&out->grid, &out->rounds[0].grid, err) && sample_persistence(out, err) &&
         foci_class_places_make(&out->places, &out->persistence, &out->grid, &out->rounds[0].field, SAMPLE_SPECK_HA,
                                err) &&
         sample_sentences(out, err);
    if (!ok)
        foci_seasons_free(out);
    return ok;
}

/* What is left where the second season cannot be compared: no class, no area. */
static inline bool sample_seasons_uncompare(foci_seasons *seasons, foci_error *err) {
    foci_persistence *made = &seasons->persistence;
    const foci_estimate none = {NAN, NAN, NAN};
    static const char why[] = "it shows no pattern";
    foci_class_places_free(&seasons->places);
    for (size_t s = 0; s < seasons->count; s++) {
        free(made->chance[s]);
        made->chance[s] = NULL;
        made->hot[s] = none;
    }
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++) {
        free(made->class_chance[code]);
        made->class_chance[code] = NULL;
        made->classes[code] = none;
    }
    free(made->hot_seasons);
    free(made->class_code);
    made->hot_seasons = NULL;
    made->class_code = NULL;
    made->compared = 0;
    for (size_t i = 0; i < made->pair_count; i++) {
        foci_season_pair *pair = &made->pairs[i];
        *pair = (foci_season_pair){.first = pair->first,
                                   .second = pair->second,
                                   .verdict = "no comparison",
                                   .why_not = why,
                                   .reason = pair->second,
                                   .rho = NAN,
                                   .rho_low = NAN,
                                   .rho_high = NAN,
                                   .rho_none = NAN,
                                   .p = NAN,
                                   .ratio = NAN,
                                   .correlation = NAN,
                                   .effective = NAN,
                                   .both = none,
                                   .only_first = none,
                                   .only_second = none,
                                   .neither = none,
                                   .by_chance = none,
                                   .jaccard = NAN,
                                   .dice = NAN,
                                   .kappa = NAN};
    }
    foci_sentences_free(&seasons->sentences);
    return foci_sentences_add(&seasons->sentences, err, "No comparison: %s shows no pattern to compare",
                              seasons->rounds[1].season);
}

/* 60 x 40 cells of 5 m, 40 stops each season. */
static inline bool sample_seasons_make(foci_seasons *out, size_t count, foci_error *err) {
    const sample_plan plan = {60, 40, 8, 5, 2, 34};
    return sample_seasons_of(out, &plan, count, err);
}

#endif
