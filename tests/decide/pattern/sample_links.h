/* Neighbour lists and readings of published examples. */
#ifndef FOCI_TESTS_SAMPLE_LINKS_H
#define FOCI_TESTS_SAMPLE_LINKS_H

#include "decide/pattern/links.h"
#include "support/support.h"

/* Links from a text: "1:2 5 6|2:1 3 6 7|...", stops counted from 1. */
static inline foci_links sample_links_from(const char *text, size_t count) {
    foci_links links = {.count = count};
    links.first = calloc(count + 1, sizeof *links.first);
    links.to = calloc(strlen(text) + 1, sizeof *links.to);
    size_t filled = 0;
    const char *place = text;
    for (size_t i = 0; i < count; i++) {
        char *end = NULL;
        assert_int_equal(strtoul(place, &end, 10), i + 1);
        assert_int_equal(*end, ':');
        for (place = end + 1; *place != '|' && *place != '\0'; place = end)
            links.to[filled++] = strtoul(place, &end, 10) - 1;
        place += *place == '|';
        links.first[i + 1] = filled;
    }
    assert_int_equal(*place, '\0');
    return links;
}

/* Each stop's links made to sum to 1. */
static inline void sample_links_standardise(foci_links *links) {
    links->weights = calloc(links->first[links->count] + 1, sizeof *links->weights);
    for (size_t i = 0; i < links->count; i++)
        for (size_t k = links->first[i]; k < links->first[i + 1]; k++)
            links->weights[k] = 1 / (double)(links->first[i + 1] - links->first[i]);
}

static inline foci_links sample_links_within(const foci_point *places, size_t count, double band) {
    foci_error err = {0};
    foci_links links = {0};
    assert_done(foci_links_make(&links, places, count, band, &err), err);
    return links;
}

/* rows x columns, cells that share a side are neighbours (rook). */
static inline foci_links sample_links_grid(size_t rows, size_t columns) {
    foci_point places[400];
    for (size_t i = 0; i < rows * columns; i++)
        places[i] = (foci_point){(double)(i % columns), (double)(i / columns)};
    return sample_links_within(places, rows * columns, 1.2);
}

/* Six points of the documentation of a general spatial-statistics library; neighbours within 15. */
enum { SIX = 6 };
static const foci_point six_places[SIX] = {{10, 10}, {20, 10}, {40, 10}, {15, 20}, {30, 20}, {30, 30}};
static const double six_values[SIX] = {2, 3, 3.2, 5, 8, 7};

/* Crime in 49 areas of Columbus, Ohio (Anselin 1988, Spatial Econometrics: Methods and Models). */
enum { COLUMBUS = 49 };
static const double columbus_crime[COLUMBUS] = {
    18.801754, 32.38776,  38.425858, 0.178269,  15.72598,  30.626781, 50.73151,  26.066658, 48.585487, 34.000835,
    36.868774, 20.048504, 19.145592, 18.905146, 27.822861, 16.241299, 0.223797,  30.515917, 33.705048, 40.969742,
    52.79443,  41.968163, 39.175053, 53.710938, 25.962263, 22.541491, 26.645266, 29.028488, 36.663612, 42.445076,
    56.919785, 61.299175, 60.750446, 68.892044, 38.297871, 54.838711, 56.705669, 62.275448, 46.716129, 57.066132,
    54.521965, 43.962486, 40.074074, 23.974028, 17.677214, 14.305556, 19.100863, 16.530533, 16.49189};

static inline foci_links sample_links_columbus(void) {
    return sample_links_from(
        "1:2 5 6|2:1 3 6 7|3:2 4 7 37 38 39|4:3 37 39 40|5:1 6|6:1 2 5 7|7:2 3 6 8 9 18 36 38|8:7 18|9:7 18 20 32 36 "
        "38|10:11 17 18 19|11:10 12 17|12:11 13 17|13:12 14 16 17|14:13 15 16|15:14 16|16:13 14 15 17 23|17:10 11 12 "
        "13 16 18 19 21 22 23|18:7 8 9 10 17 19 20|19:10 17 18 20 21 31|20:9 18 19 31 32|21:17 19 22 31|22:17 21 23 "
        "31|23:16 17 22 24 25 29 31|24:23 25 29 30 31 33|25:23 24 26 27 29|26:25 27 28|27:25 26 28 29|28:26 27 29 "
        "30|29:23 24 25 27 28 30|30:24 28 29 31 33 34|31:19 20 21 22 23 24 30 32 33|32:9 20 31 33 34 35 36|33:24 30 "
        "31 32 34 35|34:30 32 33 35 43|35:32 33 34 36 41 42 43|36:7 9 32 35 37 38 40 42|37:3 4 36 38 39 40 42|38:3 7 "
        "9 36 37|39:3 4 37 40|40:4 36 37 39 41 42|41:35 40 42|42:35 36 37 40 41|43:34 35 44|44:43 45 46 49|45:44 "
        "46|46:44 45 47 48 49|47:46 48|48:46 47|49:44 46",
        COLUMBUS);
}

#endif
