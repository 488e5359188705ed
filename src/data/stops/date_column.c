#include "data/stops/date_column.h"

#include <string.h>

#define NO_ROW ((size_t)-1)

/* The first row of each kind. */
typedef struct {
    size_t day_first, month_first; /* leaves no choice */
    size_t open;                   /* both could be, and the dates would differ */
    size_t short_year;
} order_signs;

static const char *text_at(const foci_table *table, size_t row, size_t column) {
    return table->cells[row * table->column_count + column].text;
}

static void keep_first(size_t *row, size_t now) {
    if (*row == NO_ROW)
        *row = now;
}

static order_signs look_over(const foci_table *table, size_t column) {
    order_signs signs = {NO_ROW, NO_ROW, NO_ROW, NO_ROW};
    for (size_t i = 0; i < table->row_count; i++) {
        foci_late_year parts;
        char by_day[11] = "", by_month[11] = "";
        if (!foci_late_year_split(&parts, text_at(table, i, column)))
            continue;
        if (parts.short_year)
            keep_first(&signs.short_year, i);
        if (parts.named)
            continue;
        const bool day = foci_late_year_date(&parts, true, by_day),
                   month = foci_late_year_date(&parts, false, by_month);
        if (day && month && strcmp(by_day, by_month) != 0)
            keep_first(&signs.open, i);
        else if (day != month)
            keep_first(day ? &signs.day_first : &signs.month_first, i);
    }
    return signs;
}

static bool fail_date(const foci_table *table, const char *file, size_t row, size_t column, const char *what,
                      foci_error *err) {
    return foci_fail(err, FOCI_BAD_INPUT, file, foci_table_row(table, row), "\"%.40s\" %s", text_at(table, row, column),
                     what);
}

static bool contradiction(const foci_table *table, const char *file, const order_signs *signs, size_t column,
                          foci_error *err) {
    const bool day_later = signs->day_first > signs->month_first;
    const size_t first = day_later ? signs->month_first : signs->day_first;
    return foci_fail(
        err, FOCI_BAD_INPUT, file, foci_table_row(table, day_later ? signs->day_first : signs->month_first),
        "\"%.30s\" has the %s first, but \"%.30s\" in row %ld the %s; write all dates as YYYY-MM-DD",
        text_at(table, day_later ? signs->day_first : signs->month_first, column), day_later ? "day" : "month",
        text_at(table, first, column), foci_table_row(table, first), day_later ? "month" : "day");
}

bool foci_date_column_settle(const foci_date_order **order, foci_table *table, const char *file, size_t column,
                             const foci_date_order *given, foci_error *err) {
    const order_signs signs = look_over(table, column);
    *order = given;
    if (given) {
        const size_t against = given->day_first ? signs.month_first : signs.day_first;
        return against == NO_ROW ||
               fail_date(table, file, against, column,
                         given->day_first ? "cannot have the day first, as {dates} says; correct one of the two"
                                          : "cannot have the month first, as {dates} says; correct one of the two",
                         err);
    }
    if (signs.short_year != NO_ROW)
        return fail_date(table, file, signs.short_year, column,
                         "has a year of two digits, and may begin with it; say {dates} day-first or month-first where "
                         "it does not, or write YYYY-MM-DD",
                         err);
    if (signs.day_first != NO_ROW && signs.month_first != NO_ROW)
        return contradiction(table, file, &signs, column, err);
    if (signs.day_first == NO_ROW && signs.month_first == NO_ROW)
        return signs.open == NO_ROW ||
               fail_date(table, file, signs.open, column,
                         "can be read with the day or the month first; say {dates} day-first or month-first", err);
    const bool day = signs.day_first != NO_ROW;
    const size_t sign = day ? signs.day_first : signs.month_first;
    *order = &foci_date_orders[day ? 0 : 1];
    return foci_notes_add(&table->notes, err, "dates in column \"%.60s\" have the %s first (row %ld: \"%.30s\")",
                          table->columns[column], day ? "day" : "month", foci_table_row(table, sign),
                          text_at(table, sign, column));
}

bool foci_date_column_read(const char *text, const foci_date_order *order, char date[11]) {
    foci_late_year parts;
    if (foci_date_parse(text, date))
        return true;
    if (!foci_late_year_split(&parts, text))
        return false;
    if (order)
        return foci_late_year_date(&parts, order->day_first, date);
    /* nothing had to be settled: the month has its name, or both readings are the same day */
    return foci_late_year_date(&parts, true, date);
}
