#include "data/checks/checks.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/probability.h"
#include "base/text.h"
#include "fieldfoci/first_look.h"

/* Fewer give no variogram worth fitting (common practice, no source). */
/* Days; disease moves on between rounds (common practice, no source). */
#define ONE_ROUND 7

static const double two_sided_95 = 1.959963984540054;

/* What the readings that go into the map hold together. */
typedef struct {
    size_t count, zeros;
    size_t highest;     /* index into foci_stops.items */
    double total, most; /* infected units of counts, else scores */
    double checked;     /* units, of counts */
} tally;

/* All zero where no stop is used. */
static bool tally_make(tally *out, const foci_stops *stops, foci_error *err) {
    foci_readings readings = {0};
    tally sum = {.most = -INFINITY};
    bool any = false, counts = stops->kind == FOCI_READING_COUNT;
    for (size_t i = 0; i < stops->count && !any; i++)
        any = stops->items[i].used;
    *out = (tally){0};
    if (!any)
        return true;
    if (!foci_readings_make(&readings, stops, err))
        return false;
    for (size_t i = 0; i < readings.count; i++) {
        double amount = counts ? readings.hits[i] : readings.values[i] - readings.none;
        sum.zeros += amount == 0;
        sum.total += amount;
        if (counts)
            sum.checked += readings.checked[i];
        if (amount > sum.most) {
            sum.most = amount;
            sum.highest = readings.stops[i];
        }
    }
    sum.count = readings.count;
    foci_readings_free(&readings);
    *out = sum;
    return true;
}

/* ---- how the round was walked ---- */

bool foci_check_uneven_effort(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                              const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    size_t ends[2] = {0, 0}; /* the stops with the least and the most units */
    bool any = false;
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        if (!stop->used && stop->pooled_into == FOCI_NOT_POOLED)
            continue;
        if (!any || stop->checked < stops->items[ends[0]].checked)
            ends[0] = i;
        if (!any || stop->checked > stops->items[ends[1]].checked)
            ends[1] = i;
        any = true;
    }
    if (!any || stops->kind != FOCI_READING_COUNT)
        return true;
    const foci_stop *least = &stops->items[ends[0]], *most = &stops->items[ends[1]];
    if (most->checked <= 2 * least->checked)
        return true;
    return foci_findings_add(findings, NULL, FOCI_NOTE, stops, ends, 2, err,
                             "Units looked at run from %g (stop %s) to %g (stop %s): a share of few units is less sure "
                             "than one of many.",
                             least->checked, least->name, most->checked, most->name);
}

bool foci_check_few_stops(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                          const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    size_t used = 0;
    for (size_t i = 0; i < stops->count; i++)
        used += stops->items[i].used;
    if (used == 0 || used >= (size_t)FOCI_STOPS_FOR_MAP)
        return true;
    return foci_findings_add(findings, NULL, FOCI_WARNING, NULL, NULL, 0, err,
                             "Only %zu stop%s can be used: fewer than %d are too few to tell how severity varies with "
                             "distance; look at the stops themselves and their mean.",
                             used, used == 1 ? "" : "s", FOCI_STOPS_FOR_MAP) &&
           foci_findings_trust(
               findings, err,
               "Only %zu stop%s could be used. A map takes at least %d, spread evenly over the field, so "
               "%zu more; 50 or more show pockets better. Until then go by the stops themselves and "
               "their average.",
               used, used == 1 ? "" : "s", FOCI_STOPS_FOR_MAP, FOCI_STOPS_FOR_MAP - used);
}

/* Days from 1 March of year 0 in the Gregorian calendar. */
static long day_number(const char *date) {
    long year = 0, month = 0, day = 0;
    sscanf(date, "%4ld-%2ld-%2ld", &year, &month, &day);
    if (month < 3) {
        year--;
        month += 12;
    }
    return 365 * year + year / 4 - year / 100 + year / 400 + (153 * (month - 3) + 2) / 5 + day;
}

bool foci_check_days_apart(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                           const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    const char *first = NULL, *last = NULL;
    for (size_t i = 0; i < stops->count; i++) {
        const char *date = stops->items[i].used ? stops->items[i].date : "";
        if (!*date)
            continue;
        if (!first || strcmp(date, first) < 0)
            first = date;
        if (!last || strcmp(date, last) > 0)
            last = date;
    }
    long days = first ? day_number(last) - day_number(first) : 0;
    if (days <= ONE_ROUND)
        return true;
    return foci_findings_add(findings, NULL, FOCI_WARNING, NULL, NULL, 0, err,
                             "The stops were made over %ld days, from %s to %s: disease moves on in that time; map one "
                             "round at a time with --from and --to.",
                             days, first, last) &&
           foci_findings_trust(findings, err,
                               "The stops were made over %ld days: disease moves on in that time, so the map mixes "
                               "what was and what is.",
                               days);
}

/* ---- what was found ---- */

/* ---- who rated ---- */

bool foci_check_raters(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                       const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    foci_reading_groups raters = {0};
    foci_text means = {0};
    if (!foci_reading_groups_by_rater(&raters, stops, err))
        return false;
    bool ok = true;
    for (size_t i = 0; ok && i < raters.count; i++)
        ok = foci_text_add(&means, err, "%s%s %zu stop%s, mean %.3g", i ? "; " : "",
                           *raters.items[i].name ? raters.items[i].name : "nobody named", raters.items[i].stops,
                           raters.items[i].stops == 1 ? "" : "s", raters.items[i].mean);
    ok = ok &&
         (raters.count < 2 ||
          foci_findings_add(findings, NULL, FOCI_NOTE, NULL, NULL, 0, err,
                            "Not one person rated all stops (%s): part of what differs may be their eyes; let them "
                            "rate the same few stops, and compare.",
                            means.text));
    foci_text_free(&means);
    foci_reading_groups_free(&raters);
    return ok;
}

bool foci_check_all_zero(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                         const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    tally sum;
    double low = 0, high = 0;
    if (!tally_make(&sum, stops, err))
        return false;
    if (sum.count == 0 || sum.zeros < sum.count)
        return true;
    if (stops->kind != FOCI_READING_COUNT)
        return foci_findings_add(findings, NULL, FOCI_NOTE, NULL, NULL, 0, err,
                                 "No disease was found at any of %zu stop%s; this is not proof of absence.", sum.count,
                                 sum.count == 1 ? "" : "s") &&
               foci_findings_trust(findings, err,
                                   "Nothing was found at %zu stop%s. That does not prove that nothing is there.",
                                   sum.count, sum.count == 1 ? "" : "s");
    foci_wilson_interval(0, sum.checked, two_sided_95, &low, &high);
    return foci_findings_add(findings, NULL, FOCI_NOTE, NULL, NULL, 0, err,
                             "No disease was found at any of %zu stop%s (0 of %.0f units looked at); this is not proof "
                             "of absence: by the Wilson interval the field's share may still be up to %.2g %%.",
                             sum.count, sum.count == 1 ? "" : "s", sum.checked, 100 * high) &&
           foci_findings_trust(
               findings, err,
               "Nothing was found at %zu stop%s (0 of %.0f looked at). That does not prove that nothing "
               "is there: up to %.2g %% of the field's plants, pods or places looked at may have it.",
               sum.count, sum.count == 1 ? "" : "s", sum.checked, 100 * high);
}

static bool readings_are_equal(const foci_stops *stops, double *value) {
    bool any = false;
    for (size_t i = 0; i < stops->count; i++) {
        const foci_stop *stop = &stops->items[i];
        if (!stop->used && stop->pooled_into == FOCI_NOT_POOLED)
            continue;
        if (any && stop->value != *value)
            return false;
        *value = stop->value;
        any = true;
    }
    return any;
}

bool foci_check_all_equal(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                          const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    tally sum;
    double value = 0;
    if (!tally_make(&sum, stops, err))
        return false;
    if (sum.count < 2 || !readings_are_equal(stops, &value) || value == stops->least)
        return true;
    return foci_findings_add(findings, NULL, FOCI_NOTE, NULL, NULL, 0, err,
                             "All %zu readings are the same (%g): the map is flat, there is no pattern to show.",
                             sum.count, value);
}

/* "; 0 of 20, as at stop 7, still leaves up to 16 % of the units there": of the first stop where nothing was found. */
static void zero_words(char text[200], const foci_stops *stops) {
    text[0] = '\0';
    for (size_t i = 0; i < stops->count && !*text; i++) {
        const foci_stop *stop = &stops->items[i];
        double low = 0, high = 0;
        if (stops->kind != FOCI_READING_COUNT || !stop->used || stop->hits != 0 || !(stop->checked > 0))
            continue;
        foci_share_interval(0, stop->checked, &low, &high);
        snprintf(text, 200, "; 0 of %.0f, as at stop %.60s, still leaves up to %.2g %% of the units there",
                 stop->checked, stop->name, high);
    }
}

bool foci_check_mostly_zero(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                            const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    tally sum;
    char zero[200];
    if (!tally_make(&sum, stops, err))
        return false;
    if (sum.zeros == sum.count || 10 * sum.zeros <= 7 * sum.count)
        return true;
    zero_words(zero, stops);
    return foci_findings_add(findings, NULL, FOCI_NOTE, NULL, NULL, 0, err,
                             "At %zu of %zu stops nothing was found (%.0f %%): with so many zeros the chances on the "
                             "map are rough%s.",
                             sum.zeros, sum.count, 100 * (double)sum.zeros / (double)sum.count, zero) &&
           foci_findings_trust(
               findings, err,
               "Nothing was found at %zu of %zu stops: with so many zeros the chances on the map are rough.", sum.zeros,
               sum.count);
}

bool foci_check_one_stop_dominates(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                                   const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    tally sum;
    if (!tally_make(&sum, stops, err))
        return false;
    if (sum.count < 3 || sum.total <= 0 || sum.most <= sum.total / 2)
        return true;
    return foci_findings_add(findings, NULL, FOCI_NOTE, stops, &sum.highest, 1, err,
                             "Stop %s holds %.0f %% of all that was found: one hotspot hangs on one stop; look there "
                             "again before anyone acts on it.",
                             stops->items[sum.highest].name, 100 * sum.most / sum.total) &&
           foci_findings_trust(
               findings, err,
               "One stop holds %.0f %% of all that was found: look there again before anyone acts on it.",
               100 * sum.most / sum.total);
}
