#include "base/dates.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

const foci_date_order foci_date_orders[] = {
    {"day-first", true},
    {"month-first", false},
    {0},
};

static bool is_blank(char c) {
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

static const char *skip_blanks(const char *text) {
    while (is_blank(*text))
        text++;
    return text;
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* `count` digits as a number, or -1. */
static int digits_of(const char *text, int count) {
    int number = 0;
    for (int i = 0; i < count; i++) {
        if (!is_digit(text[i]))
            return -1;
        number = 10 * number + (text[i] - '0');
    }
    return number;
}

static int days_in(int year, int month) {
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return month == 2 && leap ? 29 : days[month - 1];
}

/* One or two digits, or `most`; moves on behind them. -1 where there are none or more. */
static int take_digits(const char **text, int most) {
    int number = 0, count = 0;
    for (; is_digit(**text); ++*text, count++)
        if (count < most)
            number = 10 * number + (**text - '0');
    return count >= 1 && count <= most ? number : -1;
}

/* "", or "T" or blanks and a time such as 14:05, 2:05 PM, 14:05:30.250, 14:05:30Z, 14:05+02:00. */
static bool is_time_or_nothing(const char *text) {
    if (*skip_blanks(text) == '\0')
        return true;
    if (*text != 'T' && *text != 't' && !is_blank(*text))
        return false;
    text = skip_blanks(text + 1);
    const int hours = take_digits(&text, 2);
    if (hours < 0 || hours > 24 || *text != ':')
        return false;
    const int minutes = digits_of(text + 1, 2);
    if (minutes < 0 || minutes > 59)
        return false;
    text += 3;
    text += strspn(text, "0123456789:.+- Zz\t\r\n");
    if ((*text == 'A' || *text == 'a' || *text == 'P' || *text == 'p') && (text[1] == 'M' || text[1] == 'm'))
        text += 2;
    return text[strspn(text, " \t\r\n")] == '\0';
}

bool foci_date_parse(const char *text, char date[11]) {
    if (!text)
        return false;
    text = skip_blanks(text);
    int year = digits_of(text, 4);
    if (year < 1 || (text[4] != '-' && text[4] != '/'))
        return false;
    int month = digits_of(text + 5, 2);
    if (month < 1 || month > 12 || text[7] != text[4])
        return false;
    int day = digits_of(text + 8, 2);
    if (day < 1 || day > days_in(year, month) || !is_time_or_nothing(text + 10))
        return false;
    memcpy(date, text, 10);
    date[4] = date[7] = '-';
    date[10] = '\0';
    return true;
}

/* An English month by three letters or more, as 1 to 12; moves on behind it and a point. 0 where there is none. */
static int take_month(const char **text) {
    static const char *const names[] = {"january", "february", "march",     "april",   "may",      "june",
                                        "july",    "august",   "september", "october", "november", "december"};
    size_t length = 0;
    while (((*text)[length] >= 'a' && (*text)[length] <= 'z') || ((*text)[length] >= 'A' && (*text)[length] <= 'Z'))
        length++;
    for (int i = 0; length >= 3 && i < 12; i++)
        if (length <= strlen(names[i]) && strncasecmp(*text, names[i], length) == 0) {
            *text += length + ((*text)[length] == '.');
            return i + 1;
        }
    return 0;
}

/* The same mark twice: a slash, a point or a hyphen (blanks behind it allowed), or of named months a blank or comma. */
static bool skip_mark(const char **text, char *mark, bool named) {
    const char *at = named ? skip_blanks(*text) : *text;
    const bool sign = *at && strchr(named ? ",-/" : "/.-", *at);
    if ((!sign && (!named || at == *text)) || (!named && *mark && *at != *mark))
        return false;
    *mark = *at;
    *text = skip_blanks(at + sign);
    return true;
}

bool foci_late_year_split(foci_late_year *out, const char *text) {
    foci_late_year parts = {0};
    char mark = '\0';
    if (!text)
        return false;
    text = skip_blanks(text);
    const int before = take_month(&text); /* July 14, 2026 */
    if (before && !skip_mark(&text, &mark, true))
        return false;
    parts.first = take_digits(&text, 2);
    if (parts.first < 0)
        return false;
    const char *behind = text + (strspn(text, " -./"));
    const int after = before ? 0 : take_month(&behind); /* 14 July 2026 */
    parts.named = before || after;
    parts.second = before ? before : after;
    if (after)
        text = behind;
    else if (!before && (!skip_mark(&text, &mark, false) || (parts.second = take_digits(&text, 2)) < 0))
        return false;
    if (!skip_mark(&text, &mark, parts.named))
        return false;
    const char *year = text;
    parts.year = take_digits(&text, 4);
    parts.short_year = text - year == 2;
    if (parts.year < 0 || (text - year != 4 && !parts.short_year) || !is_time_or_nothing(text))
        return false;
    parts.year += parts.short_year ? 2000 : 0;
    *out = parts;
    return true;
}

bool foci_late_year_date(const foci_late_year *parts, bool day_first, char date[11]) {
    const bool day_is_first = parts->named || day_first;
    const int day = day_is_first ? parts->first : parts->second, month = day_is_first ? parts->second : parts->first;
    if (parts->year < 1 || parts->year > 9999 || month < 1 || month > 12 || day < 1 ||
        day > days_in(parts->year, month))
        return false;
    snprintf(date, 11, "%04u-%02u-%02u", (unsigned)parts->year % 10000U, (unsigned)month % 100U, (unsigned)day % 100U);
    return true;
}
