#include "fieldfoci/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define ACRES_SPELT_SMALLER 0.095 /* below it a tenth of an acre would read 0.0 */
#define SQUARE_FEET_PER_ACRE 43560.0

/* With a comma in front of every three digits: "1,490.7". */
static void grouped(char text[FOCI_WORDS_SIZE], const char *plain) {
    size_t used = 0;
    const size_t whole = strspn(plain, "0123456789");
    for (size_t i = 0; plain[i] && used + 2 < FOCI_WORDS_SIZE; i++) {
        if (i > 0 && i < whole && (whole - i) % 3 == 0)
            text[used++] = ',';
        text[used++] = plain[i];
    }
    text[used] = '\0';
}

void foci_words_decimal(char text[FOCI_WORDS_SIZE], double number, int decimals) {
    char plain[FOCI_WORDS_SIZE];
    snprintf(plain, sizeof plain, "%.*f", decimals, number);
    grouped(text, plain);
}

/* To two digits: "1,000", "83", "0.66". */
static void two_digits(char text[FOCI_WORDS_SIZE], double number) {
    const double step = number > 0 ? pow(10, floor(log10(number)) - 1) : 1;
    char plain[FOCI_WORDS_SIZE];
    snprintf(plain, sizeof plain, "%.10g", step * round(number / step));
    grouped(text, plain);
}

foci_measures foci_words_other(foci_measures measures) {
    return measures == FOCI_ACRES ? FOCI_HECTARES : FOCI_ACRES;
}

const char *foci_words_area_unit(foci_measures measure) {
    return measure == FOCI_HECTARES ? "ha" : "acres";
}

void foci_words_area(char text[FOCI_WORDS_SIZE], double hectares, foci_measures first) {
    const double acres = hectares * FOCI_ACRES_PER_HECTARE;
    char american[FOCI_WORDS_SIZE], metric[FOCI_WORDS_SIZE], number[FOCI_WORDS_SIZE];
    if (acres < ACRES_SPELT_SMALLER) {
        two_digits(number, acres * SQUARE_FEET_PER_ACRE);
        snprintf(american, sizeof american, "%.40s sq ft", number);
        two_digits(number, hectares * 10000);
        snprintf(metric, sizeof metric, "%.40s sq m", number);
    } else {
        foci_words_decimal(number, acres, 1);
        snprintf(american, sizeof american, "%.40s acres", number);
        foci_words_decimal(number, hectares, acres < 0.5 ? 2 : 1);
        snprintf(metric, sizeof metric, "%.40s ha", number);
    }
    const bool swapped = first == FOCI_HECTARES;
    snprintf(text, FOCI_WORDS_SIZE, "%.45s (%.45s)", swapped ? metric : american, swapped ? american : metric);
}

void foci_words_range(char text[FOCI_WORDS_SIZE], double hectares, double low, double high, foci_measures measure) {
    const double per_hectare = measure == FOCI_HECTARES ? 1 : FOCI_ACRES_PER_HECTARE, most = high * per_hectare;
    const int decimals = most < 0.95 ? 2 : most < 99.95 ? 1 : 0;
    char middle[FOCI_WORDS_SIZE], from[FOCI_WORDS_SIZE], to[FOCI_WORDS_SIZE];
    foci_words_decimal(middle, hectares * per_hectare, decimals);
    foci_words_decimal(from, low * per_hectare, decimals);
    foci_words_decimal(to, most, decimals);
    if (isnan(hectares))
        snprintf(text, FOCI_WORDS_SIZE, "not compared");
    else
        snprintf(text, FOCI_WORDS_SIZE, "%.24s (%.24s to %.24s)", middle, from, to);
}

void foci_words_area_range(char text[FOCI_WORDS_SIZE], double hectares, double low, double high, foci_measures first) {
    char numbers[FOCI_WORDS_SIZE];
    foci_words_range(numbers, hectares, low, high, first);
    const size_t number = strcspn(numbers, " ");
    if (isnan(hectares))
        snprintf(text, FOCI_WORDS_SIZE, "%s", numbers);
    else
        snprintf(text, FOCI_WORDS_SIZE, "%.*s %s%s", (int)number, numbers, foci_words_area_unit(first),
                 numbers + number);
}

void foci_words_length(char text[FOCI_WORDS_SIZE], double meters, foci_measures first) {
    char feet[FOCI_WORDS_SIZE], metric[FOCI_WORDS_SIZE];
    two_digits(feet, meters * FOCI_FEET_PER_METER);
    two_digits(metric, meters);
    if (first == FOCI_HECTARES)
        snprintf(text, FOCI_WORDS_SIZE, "%.40s m (%.40s ft)", metric, feet);
    else
        snprintf(text, FOCI_WORDS_SIZE, "%.40s ft (%.40s m)", feet, metric);
}

typedef struct {
    long year, month, day;
} day_parts;

static const char *const months[] = {"January", "February", "March",     "April",   "May",      "June",
                                     "July",    "August",   "September", "October", "November", "December"};

static bool parse_day(day_parts *parts, const char *date) {
    if (strlen(date) < 10 || date[4] != '-' || date[7] != '-')
        return false;
    *parts = (day_parts){strtol(date, NULL, 10), strtol(date + 5, NULL, 10), strtol(date + 8, NULL, 10)};
    return parts->month >= 1 && parts->month <= 12;
}

void foci_words_date(char text[FOCI_WORDS_SIZE], const char *date) {
    day_parts at = {0};
    if (parse_day(&at, date))
        snprintf(text, FOCI_WORDS_SIZE, "%s %ld, %ld", months[at.month - 1], at.day, at.year);
    else
        snprintf(text, FOCI_WORDS_SIZE, "%s", date);
}

void foci_words_dates(char text[FOCI_WORDS_SIZE], const char *first, const char *last) {
    char from[FOCI_WORDS_SIZE], to[FOCI_WORDS_SIZE];
    day_parts a = {0}, b = {0};
    foci_words_date(from, first);
    foci_words_date(to, last);
    const bool days = parse_day(&a, first) && parse_day(&b, last) && a.year == b.year;
    if (strcmp(from, to) == 0)
        snprintf(text, FOCI_WORDS_SIZE, "%s", to);
    else if (days && a.month == b.month)
        snprintf(text, FOCI_WORDS_SIZE, "%s %ld-%ld, %ld", months[a.month - 1], a.day, b.day, a.year);
    else if (days)
        snprintf(text, FOCI_WORDS_SIZE, "%s %ld to %.60s", months[a.month - 1], a.day, to);
    else
        snprintf(text, FOCI_WORDS_SIZE, "%.40s to %.40s", from, to);
}
