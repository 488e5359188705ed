/* Survey folders of an invented field, season by season, for tests that compare them. */
#ifndef FOCI_TESTS_SAMPLE_SURVEYS_H
#define FOCI_TESTS_SAMPLE_SURVEYS_H

#include "support/support.h"

#include <unistd.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "fieldfoci/comparison.h"
#include "fieldfoci/summary.h"
#include "run/run_map.h"
#include "run/write_survey.h"

static char sample_folder[] = "/tmp/foci-seasons-XXXXXX";

static inline const char *in_folder(const char *name) {
    static char paths[8][512];
    static int next = 0;
    next = (next + 1) % 8;
    snprintf(paths[next], sizeof paths[next], "%s/%s", sample_folder, name);
    return paths[next];
}

static inline void write_file(const char *name, const char *text) {
    FILE *file = fopen(in_folder(name), "w");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

/* About 380 x 440 m; moved eastwards by `east` degrees. */
static inline void write_field(const char *name, double east) {
    FILE *file = fopen(in_folder(name), "w");
    assert_non_null(file);
    fprintf(file,
            "{\"type\":\"Feature\",\"properties\":{\"name\":\"Thistledown\"},\"geometry\":{\"type\":\"Polygon\","
            "\"coordinates\":[[[%.7f,31.5001],[%.7f,31.5001],[%.7f,31.5041],[%.7f,31.5041],[%.7f,31.5001]]]}}",
            -84.5021 + east, -84.4981 + east, -84.4981 + east, -84.5021 + east, -84.5021 + east);
    assert_int_equal(fclose(file), 0);
}

/* What is there in a season: a pocket (place in steps of the stops, 0 to 6), its height in percent, and the noise's
 * seed. `flat`: the same mean without a pocket; `few`: the first 15 stops only. */
typedef struct {
    double east, north, height;
    unsigned seed;
    bool flat, few;
} sample_season;

/* The same numbers on every machine: Park and Miller (1988). */
static inline double sample_uniform(unsigned *state) {
    *state = (unsigned)((unsigned long long)*state * 48271u % 2147483647u);
    return *state / 2147483647.0;
}

/* 7 x 7 stops, a little off the grid; infected of 25 plants, and a score. */
static inline void write_stops(const char *name, const sample_season *season, int year) {
    FILE *file = fopen(in_folder(name), "w");
    unsigned state = 7919u * season->seed + 12345u;
    assert_non_null(file);
    fprintf(file, "stop,lon,lat,infected,checked,score,note,day\n");
    for (int i = 0; i < (season->few ? 15 : 49); i++) {
        const double column = i % 7 + 0.4 * (sample_uniform(&state) - 0.5);
        const double row = (int)(i / 7) + 0.4 * (sample_uniform(&state) - 0.5);
        const double away = hypot(column - season->east, row - season->north);
        const double share = season->flat ? 0.09 : 0.02 + season->height / 100 * exp(-away * away / 2.2);
        int infected = 0;
        for (int plant = 0; plant < 25; plant++)
            infected += sample_uniform(&state) < share;
        fprintf(file, "%d,%.6f,%.6f,%d,25,%.3f,%d,%d-08-1%d\n", i + 1, -84.50185 + 0.000585 * column,
                31.50035 + 0.000585 * row, infected, 0.5 + 20 * share + 0.6 * sample_uniform(&state), i % 5, year,
                i < 25 ? 0 : 1);
    }
    assert_int_equal(fclose(file), 0);
}

#ifndef SAMPLE_CELL
#define SAMPLE_CELL "10" /* what the places say; coarser where only words are asked for */
#endif

static const char *const sample_counts[] = {"--hits", "infected", "--checked", "checked", "--id", "stop", "--when",
                                            "day",    "--cell",   SAMPLE_CELL, "--digs",  "0",    NULL};
static const char *const sample_scores[] = {"--value", "score",     "--id",   "stop", "--when", "day",
                                            "--cell",  SAMPLE_CELL, "--digs", "0",    NULL};

static inline int sample_words(const char *const *words) {
    int count = 0;
    while (words[count])
        count++;
    return count;
}

/* Maps `stops` of `field` into the folder `survey`; `reading` and `more` are options, ended by NULL. */
static inline void map_survey(const char *survey, const char *stops, const char *field, const char *const *reading,
                              const char *const *more) {
    foci_settings settings = foci_settings_make();
    foci_survey made = {0};
    foci_error err = {0};
    const char *first[] = {in_folder(stops), "--field", in_folder(field)};
    assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, 3, first, &err), err);
    assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, sample_words(reading), reading, &err), err);
    assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, sample_words(more), more, &err), err);
    assert_done(run_map(&made, &settings, NULL, &err), err);
    write_survey_to_read(&made, in_folder(survey));
    foci_survey_free(&made);
    foci_settings_free(&settings);
}

#define MORE(...)                                                                                                      \
    (const char *const[]) {                                                                                            \
        __VA_ARGS__, NULL                                                                                              \
    }

/* The settings of `seasons` with these words; folders in it are names below the tests' folder already. */
static inline foci_settings seasons_settings(const char *const *words) {
    foci_settings settings = foci_settings_make();
    foci_error err = {0};
    assert_done(foci_settings_parse(&settings, FOCI_FOR_SEASONS, sample_words(words), words, &err), err);
    return settings;
}

static inline bool compare(foci_seasons *out, const char *const *words, foci_error *err) {
    foci_settings settings = seasons_settings(words);
    bool ok = foci_seasons_compare(out, &settings, NULL, err);
    foci_settings_free(&settings);
    return ok;
}

static inline bool says(const foci_sentences *sentences, const char *words) {
    for (size_t i = 0; i < sentences->count; i++)
        if (strstr(sentences->items[i], words))
            return true;
    return false;
}

static inline int sample_begin(void **state) {
    (void)state;
    if (!mkdtemp(sample_folder))
        return -1;
    setenv("SOURCE_DATE_EPOCH", "1786000000", 1);
    write_field("field.geojson", 0);
    write_stops("a.csv", &(sample_season){1.8, 2.1, 46, 1, false, false}, 2024);
    write_stops("b.csv", &(sample_season){2.1, 1.9, 41, 2, false, false}, 2026);
    return 0;
}

static inline int sample_end(void **state) {
    (void)state;
    foci_unfinished_remove(sample_folder);
    return 0;
}

#endif
