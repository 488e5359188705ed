#include "data/checks/checks.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/checks/check_tools.h"
#include "data/stops/columns.h"

/* Words are shown for this many stops; the finding's list has them all. */
#define SHOWN_CELLS 5

/* ---- how the files were read ---- */

bool foci_check_how_read(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                         const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    for (size_t i = 0; i < stops->input_count; i++)
        if (!foci_findings_add_notes(findings, stops->inputs[i].file, &stops->inputs[i].notes, err))
            return false;
    return true;
}

/* ---- classes of an ordinal scale ---- */

static bool lacks_class(const foci_stop *stop) {
    return !isnan(stop->score) && isnan(stop->value);
}

/* "have scores that are no classes of the scale (a.csv row 7: 2.5) and are left out; check the entry ..." */
static bool say_no_class(foci_findings *findings, const foci_stops *stops, const foci_stop_list *list,
                         foci_error *err) {
    const foci_reason *reason = &foci_reasons[FOCI_REASON_NO_CLASS];
    foci_text tail = {0};
    bool ok = foci_text_add(&tail, err, "%s (", list->count == 1 ? reason->why : reason->why_of);
    for (size_t i = 0; ok && i < list->count && i < SHOWN_CELLS; i++) {
        const foci_stop *stop = &stops->items[list->items[i]];
        ok = foci_text_add(&tail, err, "%s%s row %ld: %g", i ? "; " : "", stops->inputs[stop->input].file, stop->row,
                           stop->score);
    }
    ok = ok &&
         foci_text_add(&tail, err, "%s) and %s left out; it is the %s: %s.", list->count > SHOWN_CELLS ? "; ..." : "",
                       list->count == 1 ? "is" : "are", stops->scale.title, reason->remedy) &&
         foci_check_say(findings, FOCI_WARNING, stops, list, tail.text, err);
    foci_text_free(&tail);
    return ok;
}

/* Which scale the percents come from, where nothing worse is to be said of it. */
static bool say_scale(foci_findings *findings, const foci_stops *stops, foci_error *err) {
    if (stops->index)
        return foci_findings_add(findings, "", FOCI_NOTE, NULL, NULL, 0, err,
                                 "Plants were counted in each class of the %s: readings are its disease severity "
                                 "index, in percent of the worst that can be.",
                                 stops->scale.title);
    return foci_findings_add(findings, "", FOCI_NOTE, NULL, NULL, 0, err,
                             "Readings are scores of the %s, each read as %s by the middle of its class; that a class "
                             "is no amount is in the bounds.",
                             stops->scale.title, stops->scale.unit);
}

bool foci_check_ordinal(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                        const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    foci_stop_list list = {0};
    bool ok = true;
    if (stops->scale.count == 0)
        return true;
    for (size_t i = 0; ok && i < stops->count; i++) {
        if (!stops->items[i].used || !lacks_class(&stops->items[i]))
            continue;
        ok = foci_stop_list_add(&list, i, err);
        foci_stop_leave_out(&stops->items[i], FOCI_REASON_NO_CLASS);
    }
    ok = ok && (list.count > 0 ? say_no_class(findings, stops, &list, err) : say_scale(findings, stops, err));
    foci_stop_list_free(&list);
    return ok;
}

/* ---- classes that nobody called so ---- */

/* The widest range of the scales in use, in half steps: 0 to 11 (common practice, no source). */
#define HALF_STEPS 22
#define LEAST_CLASSES 4

/* Readings that go into the map: of shared places each one. */
static bool goes_in(const foci_stop *stop) {
    return stop->used || stop->pooled_into != FOCI_NOT_POOLED;
}

static bool are_like_classes(const foci_stops *stops) {
    bool seen[HALF_STEPS + 1] = {0};
    size_t readings = 0, classes = 0;
    for (size_t i = 0; i < stops->count; i++) {
        const double half_steps = 2 * stops->items[i].value;
        if (!goes_in(&stops->items[i]))
            continue;
        if (!(half_steps >= 0 && half_steps <= HALF_STEPS && half_steps == floor(half_steps)))
            return false;
        classes += !seen[(size_t)half_steps];
        seen[(size_t)half_steps] = true;
        readings++;
    }
    return readings >= (size_t)FOCI_STOPS_FOR_MAP && classes >= LEAST_CLASSES;
}

bool foci_check_like_scale(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                           const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    const bool said = stops->scale.count > 0 || stops->amounts || stops->least < stops->most;
    if (stops->kind == FOCI_READING_COUNT || said || foci_column_says_percent(stops->unit) || !are_like_classes(stops))
        return true;
    return foci_findings_add(findings, NULL, FOCI_NOTE, NULL, NULL, 0, err,
                             "The readings look like classes of a rating scale, and classes are not evenly wide: if "
                             "they are, name the scale (--scale-of leaf-spot-1-10, rust-1-9 or another), or say what "
                             "a reading can be (--limits LEAST,MOST); if they are amounts, say --scale-of none; if "
                             "infected units were counted, give --hits and --checked.");
}

/* ---- blank, and text ---- */

static bool lacks_number(const foci_stops *stops, const foci_stop *stop) {
    if (stops->kind == FOCI_READING_COUNT)
        return isnan(stop->hits) || isnan(stop->checked);
    return isnan(stop->value);
}

static bool is_blank(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)context;
    return lacks_number(stops, stop) && !stop->blank_text[0];
}

bool foci_check_blank(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                      const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    return foci_check_leave_out(findings, stops, FOCI_REASON_BLANK, is_blank, NULL, err);
}

/* "Stops 3 and 4 hold text in place of a number (a.csv:3: "many"; a.csv:4: "few") and are left out; write a number." */
static bool say_words(foci_findings *findings, const foci_stops *stops, const foci_stop_list *list,
                      const foci_reason *reason, foci_error *err) {
    foci_text tail = {0};
    bool ok = foci_text_add(&tail, err, "%s (", list->count == 1 ? reason->why : reason->why_of);
    for (size_t i = 0; i < list->count && i < SHOWN_CELLS && ok; i++) {
        const foci_stop *stop = &stops->items[list->items[i]];
        ok = foci_text_add(&tail, err, "%s%s row %ld: \"%s\"", i ? "; " : "", stops->inputs[stop->input].file,
                           stop->row, stop->blank_text);
    }
    ok = ok &&
         foci_text_add(&tail, err, "%s) and %s left out; %s.", list->count > SHOWN_CELLS ? "; ..." : "",
                       list->count == 1 ? "is" : "are", reason->remedy) &&
         foci_check_say(findings, FOCI_WARNING, stops, list, tail.text, err);
    foci_text_free(&tail);
    return ok;
}

static bool leave_out_words(foci_findings *findings, foci_stops *stops, foci_reason_kind kind, bool comma,
                            foci_error *err) {
    foci_stop_list list = {0};
    bool ok = false;
    for (size_t i = 0; i < stops->count; i++) {
        foci_stop *stop = &stops->items[i];
        if (!stop->used || !stop->blank_text[0] || foci_is_nan_word(stop->blank_text) ||
            foci_is_decimal_comma(stop->blank_text) != comma)
            continue;
        if (!foci_stop_list_add(&list, i, err))
            goto done;
        foci_stop_leave_out(stop, kind);
    }
    ok = list.count == 0 || say_words(findings, stops, &list, &foci_reasons[kind], err);
done:
    foci_stop_list_free(&list);
    return ok;
}

bool foci_check_text(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                     const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    return leave_out_words(findings, stops, FOCI_REASON_TEXT, false, err) &&
           leave_out_words(findings, stops, FOCI_REASON_DECIMAL_COMMA, true, err);
}

/* ---- impossible ---- */

static bool is_not_finite(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)context;
    return lacks_number(stops, stop) || isinf(stop->value) || isinf(stop->hits) || isinf(stop->checked);
}

static bool is_negative(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)context;
    return stops->kind == FOCI_READING_COUNT ? stop->hits < 0 : stop->value < 0 && stops->least == 0;
}

static bool is_of_none(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)context;
    return stops->kind == FOCI_READING_COUNT && stop->checked <= 0;
}

static bool is_too_many(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)context;
    return stops->kind == FOCI_READING_COUNT && stop->checked > FOCI_CHECKED_MOST;
}

static bool is_part_of_a_unit(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)context;
    return stops->kind == FOCI_READING_COUNT &&
           (stop->hits != floor(stop->hits) || stop->checked != floor(stop->checked));
}

static bool is_above_checked(const foci_stops *stops, const foci_stop *stop, const void *context) {
    (void)context;
    return stops->kind == FOCI_READING_COUNT && stop->hits > stop->checked;
}

static const struct {
    foci_reason_kind kind;
    foci_stop_test test;
} impossible[] = {
    {FOCI_REASON_NOT_FINITE, is_not_finite},
    {FOCI_REASON_NEGATIVE, is_negative},
    {FOCI_REASON_NONE_CHECKED, is_of_none},
    {FOCI_REASON_TOO_MANY_CHECKED, is_too_many},
    {FOCI_REASON_PART_OF_A_UNIT, is_part_of_a_unit},
    {FOCI_REASON_HITS_ABOVE_CHECKED, is_above_checked},
    {0},
};

/* ---- beyond what a score can be ---- */

static bool is_beyond(const foci_stops *stops, const foci_stop *stop, foci_reason_kind kind) {
    if (kind == FOCI_REASON_BELOW_LEAST)
        return stop->value < stops->least;
    return stops->most > stops->least && stop->value > stops->most;
}

/* "Stop 7 has a reading above what it can be (stop 7: 55, at most 10) and is left out; check the entry." */
static bool leave_out_beyond(foci_findings *findings, foci_stops *stops, foci_reason_kind kind, foci_error *err) {
    const foci_reason *reason = &foci_reasons[kind];
    const bool below = kind == FOCI_REASON_BELOW_LEAST;
    foci_stop_list list = {0};
    foci_text tail = {0};
    bool ok = true;
    for (size_t i = 0; ok && i < stops->count; i++) {
        foci_stop *stop = &stops->items[i];
        if (!stop->used || !is_beyond(stops, stop, kind))
            continue;
        ok = foci_stop_list_add(&list, i, err);
        foci_stop_leave_out(stop, kind);
    }
    ok = ok && foci_text_add(&tail, err, "%s (", list.count == 1 ? reason->why : reason->why_of);
    for (size_t i = 0; ok && i < list.count && i < SHOWN_CELLS; i++)
        ok = foci_text_add(&tail, err, "%s%g", i ? ", " : "", stops->items[list.items[i]].value);
    ok = ok &&
         foci_text_add(&tail, err, "%s; at %s %g) and %s left out; %s.", list.count > SHOWN_CELLS ? ", ..." : "",
                       below ? "least" : "most", below ? stops->least : stops->most, list.count == 1 ? "is" : "are",
                       reason->remedy) &&
         foci_check_say(findings, FOCI_WARNING, stops, &list, tail.text, err);
    foci_text_free(&tail);
    foci_stop_list_free(&list);
    return ok;
}

bool foci_check_impossible(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                           const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    for (size_t i = 0; impossible[i].test; i++)
        if (!foci_check_leave_out(findings, stops, impossible[i].kind, impossible[i].test, NULL, err))
            return false;
    return stops->kind == FOCI_READING_COUNT || (leave_out_beyond(findings, stops, FOCI_REASON_BELOW_LEAST, err) &&
                                                 leave_out_beyond(findings, stops, FOCI_REASON_ABOVE_MOST, err));
}

/* ---- dates ---- */

bool foci_check_date(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                     const foci_multipolygon *field_shape, foci_error *err) {
    (void)field_lonlat, (void)field_shape;
    foci_stop_list list = {0};
    char *tail = NULL;
    bool ok = false;
    for (size_t i = 0; i < stops->count; i++)
        if (stops->items[i].used && stops->items[i].date_text[0] && !foci_stop_list_add(&list, i, err))
            goto done;
    if (list.count) {
        const foci_stop *first = &stops->items[list.items[0]];
        tail = foci_format_text(err, "%s no date that can be read (%s row %ld: \"%s\"); write YYYY-MM-DD.",
                                list.count == 1 ? "has" : "have", stops->inputs[first->input].file, first->row,
                                first->date_text);
        if (!tail)
            goto done;
    }
    ok = foci_check_say(findings, FOCI_NOTE, stops, &list, tail, err);
done:
    free(tail);
    foci_stop_list_free(&list);
    return ok;
}
