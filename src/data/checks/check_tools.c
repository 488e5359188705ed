#include "data/checks/check_tools.h"

#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"

/* A sentence names this many stops; the finding's list has them all. */
#define NAMED_IN_A_SENTENCE 5

bool foci_stop_list_add(foci_stop_list *list, size_t stop, foci_error *err) {
    if (!foci_grow_array((void **)&list->items, &list->capacity, list->count + 1, sizeof *list->items, err))
        return false;
    list->items[list->count++] = stop;
    return true;
}

void foci_stop_list_free(foci_stop_list *list) {
    free(list->items);
    *list = (foci_stop_list){0};
}

char *foci_stop_list_names(const foci_stop_list *list, const foci_stops *stops, foci_error *err) {
    foci_text text = {0};
    bool cut = list->count > NAMED_IN_A_SENTENCE + 1; /* "and 1 more" would save nothing */
    size_t named = cut ? NAMED_IN_A_SENTENCE : list->count;
    bool ok = foci_text_add(&text, err, "%s", list->count == 1 ? "Stop" : "Stops");
    for (size_t i = 0; i < named && ok; i++) {
        const char *joint = i == 0 ? " " : i + 1 == named && !cut ? " and " : ", ";
        ok = foci_text_add(&text, err, "%s%s", joint, stops->items[list->items[i]].name);
    }
    if (ok && cut)
        ok = foci_text_add(&text, err, " and %zu more", list->count - named);
    if (ok)
        return text.text;
    foci_text_free(&text);
    return NULL;
}

bool foci_check_say(foci_findings *findings, foci_severity_of_finding severity, const foci_stops *stops,
                    const foci_stop_list *list, const char *tail, foci_error *err) {
    if (list->count == 0)
        return true;
    char *names = foci_stop_list_names(list, stops, err);
    if (!names)
        return false;
    bool ok = foci_findings_add(findings, NULL, severity, stops, list->items, list->count, err, "%s %s", names, tail);
    free(names);
    return ok;
}

void foci_stop_leave_out(foci_stop *stop, foci_reason_kind kind) {
    stop->used = false;
    stop->why = foci_reasons[kind].why;
}

bool foci_check_leave_out(foci_findings *findings, foci_stops *stops, foci_reason_kind kind, foci_stop_test test,
                          const void *context, foci_error *err) {
    foci_stop_list list = {0};
    char *tail = NULL;
    bool ok = false;
    const foci_reason *reason = &foci_reasons[kind];
    for (size_t i = 0; i < stops->count; i++) {
        foci_stop *stop = &stops->items[i];
        if (!stop->used || !test(stops, stop, context))
            continue;
        if (!foci_stop_list_add(&list, i, err))
            goto done;
        foci_stop_leave_out(stop, kind);
    }
    tail = foci_format_text(err, "%s and %s left out; %s.", list.count == 1 ? reason->why : reason->why_of,
                            list.count == 1 ? "is" : "are", reason->remedy);
    ok = tail && foci_check_say(findings, FOCI_WARNING, stops, &list, tail, err);
done:
    free(tail);
    foci_stop_list_free(&list);
    return ok;
}
