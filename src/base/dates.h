/* Dates as people write them. */
#ifndef FOCI_BASE_DATES_H
#define FOCI_BASE_DATES_H

#include "fieldfoci/dates.h"

/* YYYY-MM-DD (a time after it, or slashes in place of hyphens, are allowed) to YYYY-MM-DD, checked against the
 * calendar. */
bool foci_date_parse(const char *text, char date[11]);

/* A date whose year comes last: 14/7/2026, 7.14.26, 14-Jul-2026, July 14, 2026, a time may stand behind it. */
typedef struct {
    int first, second; /* as they stand; with a month by its name: day and month */
    int year;
    bool named;      /* the month has its (English) name: nothing is open but a short year */
    bool short_year; /* two digits, taken for 20.. */
} foci_late_year;

/* False where the text is not written so. */
bool foci_late_year_split(foci_late_year *out, const char *text);

/* False where the calendar has no such day. */
bool foci_late_year_date(const foci_late_year *parts, bool day_first, char date[11]);

#endif
