/* The readings, and how the surface came from them. */
#include "show/report/report_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "fieldfoci/cross_validation.h"
#include "decide/words/report_words.h"
#include "show/map/variogram_picture.h"
#include "show/report/report_viewer.h"

enum { BARS = 12 };

static void count_bars(size_t counts[BARS], const foci_readings *readings) {
    const double width = (readings->spread.max - readings->spread.min) / BARS;
    for (size_t i = 0; i < BARS; i++)
        counts[i] = 0;
    for (size_t i = 0; i < readings->count; i++) {
        const double at = width > 0 ? (readings->values[i] - readings->spread.min) / width : 0;
        counts[at >= BARS ? BARS - 1 : (size_t)fmax(at, 0)]++;
    }
}

static void add_bars(foci_html *html, const foci_survey *round, const size_t counts[BARS]) {
    const foci_reading_range *spread = &round->readings.spread;
    size_t most = 1;
    for (size_t i = 0; i < BARS; i++)
        most = counts[i] > most ? counts[i] : most;
    for (size_t i = 0; i < BARS; i++) {
        const double height = 150.0 * (double)counts[i] / (double)most, x = 20 + 46.0 * (double)i;
        foci_report_add(html, "<rect x=\"%.0f\" y=\"%.1f\" width=\"44\" height=\"%.1f\" />", x, 175 - height, height);
        if (counts[i] > 0)
            foci_report_add(html, "<text x=\"%.0f\" y=\"%.1f\">%zu</text>\n", x + 22, 169 - height, counts[i]);
    }
    foci_html_raw(html, "<path d=\"M16 175H576\" />\n");
    char least[FOCI_WORDS_SIZE], greatest[FOCI_WORDS_SIZE], threshold[FOCI_WORDS_SIZE];
    foci_words_reading(least, round, spread->min);
    foci_words_reading(greatest, round, spread->max);
    foci_report_add(html, "<text class=\"start\" x=\"20\" y=\"196\">%s</text>", least);
    foci_report_add(html, "<text class=\"end\" x=\"572\" y=\"196\">%s</text>\n", greatest);
    if (round->threshold > spread->min && round->threshold < spread->max) {
        const double x = 20 + 552 * (round->threshold - spread->min) / (spread->max - spread->min);
        foci_words_reading(threshold, round, round->threshold);
        foci_report_add(html,
                        "<path class=\"threshold\" d=\"M%.1f 8V181\" /><text x=\"%.1f\" y=\"214\">threshold "
                        "%s</text>\n",
                        x, fmin(fmax(x, 70), 520), threshold);
    }
}

void foci_report_histogram(foci_html *html, const foci_survey *round) {
    char line[6 * FOCI_WORDS_SIZE];
    size_t counts[BARS];
    if (round->readings.count == 0)
        return;
    foci_words_readings(line, round);
    count_bars(counts, &round->readings);
    foci_html_raw(html, "<figure>\n<svg class=\"bars\" role=\"img\" viewBox=\"0 0 592 222\" "
                        "xmlns=\"http://www.w3.org/2000/svg\" aria-label=\"");
    foci_html_text(html, foci_report_histogram_seen);
    foci_html_text(html, line);
    foci_html_raw(html, "\">\n");
    add_bars(html, round, counts);
    foci_html_raw(html, "</svg>\n<figcaption>");
    foci_html_text(html, foci_report_histogram_caption);
    foci_html_text(html, line);
    foci_html_raw(html, "</figcaption>\n</figure>\n");
}

/* Of counts the true shares' semivariances, without a line: their model stands on the logit scale. */
void foci_report_variogram(foci_html *html, const foci_survey *round) {
    const foci_fit_summary *facts = &round->model.facts;
    const bool counts = round->stops.kind == FOCI_READING_COUNT;
    const foci_variogram *model =
        facts->variogram.kind && !facts->logit && facts->lambda == 1 ? &facts->variogram : NULL;
    foci_semivariances bins = {0};
    foci_picture picture = {0};
    if (html->err.status != FOCI_OK || round->readings.count < FOCI_STOPS_FOR_MAP ||
        !(round->readings.spread.max > round->readings.spread.min))
        return;
    if ((counts ? foci_semivariances_of_shares(&bins, &round->readings, 0, 0, &html->err)
                : foci_semivariances_make(&bins, &round->readings, 0, 0, &html->err)) &&
        foci_variogram_picture_bytes(&picture, &bins, model, round->stops.unit, round->made, &html->err)) {
        foci_html_raw(html, "<figure>\n");
        foci_html_picture(html, picture.png, picture.size,
                          model ? foci_report_unlike_seen_line : foci_report_unlike_seen);
        foci_html_raw(html, "<figcaption>");
        foci_html_text(html, foci_report_unlike);
        foci_html_text(html, model ? foci_report_line : foci_report_no_line);
        foci_html_raw(html, "</figcaption>\n</figure>\n");
    }
    free(picture.png);
    foci_semivariances_free(&bins);
}

static void interval_row(foci_html *html, const char *name, const foci_interval *interval) {
    char middle[FOCI_WORDS_SIZE], low[FOCI_WORDS_SIZE], high[FOCI_WORDS_SIZE];
    if (isnan(interval->median))
        return;
    snprintf(middle, sizeof middle, "%.3g", interval->median);
    snprintf(low, sizeof low, "%.3g", interval->low);
    snprintf(high, sizeof high, "%.3g", interval->high);
    foci_html_row(html, (const char *const[]){name, middle, low, high, NULL});
}

static void number_row(foci_html *html, const char *name, double number) {
    char text[FOCI_WORDS_SIZE];
    if (isnan(number))
        return;
    snprintf(text, sizeof text, "%.3g", number);
    foci_html_row(html, (const char *const[]){name, text, NULL});
}

/* In statistical words, for who knows them. */
static void add_method(foci_html *html, const foci_survey *round) {
    if (!round->model.method || html->err.status != FOCI_OK)
        return;
    char *line = foci_words_method(round, &html->err);
    if (line)
        foci_html_element(html, "p", line);
    free(line);
}

void foci_report_model(foci_html *html, const foci_survey *round) {
    static const char *const heads[] = {"Parameter", "Middle", "5 %", "95 %", NULL};
    static const char *const checks[] = {"Each stop foretold from the others", "Number", NULL};
    const foci_fit_summary *facts = &round->model.facts;
    add_method(html, round);
    if (round->model.method && !isnan(facts->range.median)) {
        foci_html_table(html, foci_report_of_model, heads);
        interval_row(html, "Practical range along the rows, m", &facts->range);
        interval_row(html, "Range across / along the rows", &facts->ratio);
        interval_row(html, "Nugget / sill", &facts->nugget_share);
        interval_row(html, "Deviation of the surface, logit scale", &facts->sigma);
        interval_row(html, "Deviation from stop to stop, logit scale", &facts->tau);
        foci_html_table_end(html);
    }
    if (round->has_cross_validation) {
        foci_html_table(html, foci_report_of_cross_check, checks);
        number_row(html, "Mean error (0 is best)", round->cross_validation.mean_error);
        number_row(html, "Root mean squared error", round->cross_validation.rmse);
        number_row(html, "Mean squared deviation ratio (1 is best)",
                   round->cross_validation.mean_squared_deviation_ratio);
        number_row(html, "Share inside their 90 % bounds (0.9 is best)", round->cross_validation.coverage_90);
        foci_html_table_end(html);
    }
}
