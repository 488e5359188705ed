#include "show/map/map_legends.h"

#include <math.h>
#include <stdio.h>

#include "decide/words/survey_words.h"
#include "decide/words/sheet_words.h"
#include "fieldfoci/plain_number.h"

/* The nearest of a few round numbers, by ratio. */
static double round_number(double x) {
    static const double steps[] = {1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10};
    if (!(x > 0) || !isfinite(x))
        return 1;
    const double power = pow(10, floor(log10(x)));
    double best = 10 * power;
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (fabs(log(steps[i] * power / x)) < fabs(log(best / x)))
            best = steps[i] * power;
    return best;
}

static const double *severity_layer(const foci_survey *round) {
    return round->surface.estimate;
}

/* The threshold is always a break. The others follow from it and not from the data, so that maps of two rounds with
 * one threshold have the same classes; only a field far above it gets wider ones. */
static void severity_breaks(double *edges, const foci_survey *round) {
    const double threshold = round->threshold, peak = round->surface.max;
    const double most = *foci_words_suffix(round) ? fmin(round->method.most, 100) : round->method.most;
    if (!(threshold > 0)) {
        const double step = round_number(peak / 5);
        const double at[] = {step / 10, step, 2 * step, 3 * step, 4 * step};
        for (size_t i = 0; i < 5; i++)
            edges[i] = at[i];
        return;
    }
    const double none = round->readings.none < threshold ? round->readings.none : 0;
    edges[0] = none + (threshold - none) / 10;
    edges[1] = none + (threshold - none) / 2;
    edges[2] = threshold;
    edges[3] = 2 * threshold;
    edges[4] = 4 * threshold;
    if (threshold < most && 4 * threshold >= most) {
        edges[3] = threshold + (most - threshold) / 3;
        edges[4] = threshold + (most - threshold) * 2 / 3;
    } else if (isfinite(peak) && peak > 12 * threshold) {
        edges[3] = round_number(threshold * cbrt(peak / threshold));
        edges[4] = round_number(threshold * pow(peak / threshold, 2.0 / 3));
    }
}

static bool severity_mark(char *words, size_t size, const foci_survey *round, double edge) {
    if (edge != round->threshold)
        return false;
    foci_words_threshold(words, size, round);
    return true;
}

static const double *chance_layer(const foci_survey *round) {
    return round->surface.chance;
}

/* The chances that part the zones are breaks, with one more below and one above. */
static void chance_breaks(double *edges, const foci_survey *round) {
    double treat = round->hotspots_options.treat_chance, dig = round->zones_options.dig_chance;
    if (!(treat > 0 && treat <= 1))
        treat = 0.5;
    if (!(dig > 0 && dig < treat))
        dig = treat / 2;
    edges[0] = dig / 2;
    edges[1] = dig;
    edges[2] = treat < 1 ? treat : (dig + treat) / 2;
    edges[3] = treat < 1 ? (1 + treat) / 2 : treat;
}

static bool chance_mark(char *words, size_t size, const foci_survey *round, double edge) {
    if (!round->has_zones)
        return false;
    if (edge == round->hotspots_options.treat_chance && round->pattern.verdict == FOCI_VERDICT_PATCHY)
        snprintf(words, size, "hotspot");
    else if (edge == round->zones_options.dig_chance)
        snprintf(words, size, "dig and look");
    else
        return false;
    return true;
}

static const char *chance_suffix(const foci_survey *round) {
    (void)round;
    return " %";
}

/* Our own ramps, stepped down in CIE lightness along a turning hue: cream to wine for severity, ice to indigo for
 * chance. */
const foci_map_legend foci_map_legends[] = {
    [FOCI_LEGEND_SEVERITY] = {"severity",
                              "estimated severity, in the reading's unit",
                              6,
                              {0xFBF8EE, 0xF7DA98, 0xECA94D, 0xD6682A, 0xA23828, 0x5F1923},
                              "none, or below",
                              1,
                              severity_layer,
                              severity_breaks,
                              severity_mark,
                              foci_words_suffix},
    [FOCI_LEGEND_CHANCE] = {"chance",
                            "chance that severity is at or above the threshold",
                            5,
                            {0xEDF9F9, 0x99D2D6, 0x4EA5BE, 0x2670A2, 0x28386F},
                            "below",
                            100,
                            chance_layer,
                            chance_breaks,
                            chance_mark,
                            chance_suffix},
    {0},
};

size_t foci_map_legend_class(const foci_map_legend *legend, const double *edges, double value) {
    size_t which = 0;
    while (which + 1 < legend->classes && value >= edges[which])
        which++;
    return which;
}

#define PRINTED(edge) foci_number_plain(legend->shown *(edge), 3).text

void foci_map_legend_label(char *text, size_t size, const foci_map_legend *legend, const foci_survey *round,
                           const double *edges, size_t which) {
    const char *suffix = legend->suffix(round);
    if (which == 0)
        snprintf(text, size, "%s %s%s", legend->lowest, PRINTED(edges[0]), suffix);
    else if (which + 1 == legend->classes)
        snprintf(text, size, "%s%s and over", PRINTED(edges[which - 1]), suffix);
    else
        snprintf(text, size, "%s to %s%s", PRINTED(edges[which - 1]), PRINTED(edges[which]), suffix);
}
