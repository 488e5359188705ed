/* What the data checks share: lists of stops, their names in a sentence, and leaving out. */
#ifndef FOCI_DATA_CHECK_TOOLS_H
#define FOCI_DATA_CHECK_TOOLS_H

#include "data/checks/reasons.h"
#include "fieldfoci/checks.h"

/* Indices into foci_stops.items; {0} is empty. */
typedef struct {
    size_t count, capacity;
    size_t *items;
} foci_stop_list;

bool foci_stop_list_add(foci_stop_list *list, size_t stop, foci_error *err) FOCI_MUST_CHECK;
void foci_stop_list_free(foci_stop_list *list);

/* "Stop 62", "Stops 29 and 29b", "Stops 1, 2, 3, 4, 5 and 7 more"; owned by the caller. */
char *foci_stop_list_names(const foci_stop_list *list, const foci_stops *stops, foci_error *err) FOCI_MUST_CHECK;

/* Adds "Stops 3 and 4 TAIL" with the stops of the list, where the list holds any. */
bool foci_check_say(foci_findings *findings, foci_severity_of_finding severity, const foci_stops *stops,
                    const foci_stop_list *list, const char *tail, foci_error *err) FOCI_MUST_CHECK;

/* Whether a used stop is to be left out for a reason; `context` as handed to foci_check_leave_out. */
typedef bool (*foci_stop_test)(const foci_stops *stops, const foci_stop *stop, const void *context);

/* Leaves out every used stop that the test finds, and says so in one finding with the reason's remedy. */
bool foci_check_leave_out(foci_findings *findings, foci_stops *stops, foci_reason_kind kind, foci_stop_test test,
                          const void *context, foci_error *err) FOCI_MUST_CHECK;

void foci_stop_leave_out(foci_stop *stop, foci_reason_kind kind);

#endif
