/* What the `pattern` command hands out: the verdict's numbers as JSON, and the local tests in a file. */
#include "fieldfoci/steps.h"

#include <math.h>

#include "base/deliver.h"
#include "data/files/vector_file.h"
#include "keep/pattern_summary.h"

char *foci_survey_pattern_summary(const foci_survey *survey, foci_error *err) {
    return foci_survey_is_at(survey, FOCI_STAGE_FITTED, err) ? foci_pattern_summary(survey, err) : NULL;
}

enum { TESTS = 12 };
static const foci_column columns[TESTS] = {
    {"stop", FOCI_COLUMN_TEXT},      {"reading", FOCI_COLUMN_NUMBER}, {"neighbours", FOCI_COLUMN_WHOLE},
    {"moran", FOCI_COLUMN_NUMBER},   {"moran_z", FOCI_COLUMN_NUMBER}, {"moran_p", FOCI_COLUMN_NUMBER},
    {"moran_q", FOCI_COLUMN_NUMBER}, {"gi_z", FOCI_COLUMN_NUMBER},    {"gi_p", FOCI_COLUMN_NUMBER},
    {"gi_q", FOCI_COLUMN_NUMBER},    {"hot", FOCI_COLUMN_TEXT},       {"cold", FOCI_COLUMN_TEXT},
};

static bool write_tests(const void *content, const char *path, foci_error *err) {
    const foci_survey *round = content;
    foci_vector_writer *writer = NULL;
    if (!foci_vector_writer_open(&writer, path, err))
        return false;
    bool ok = foci_vector_writer_layer(writer, "local_tests", FOCI_SHAPE_POINT, columns, TESTS, err);
    for (size_t i = 0; ok && i < round->readings.count; i++) {
        const foci_stop *stop = &round->stops.items[round->readings.stops[i]];
        const foci_local_test *test = &round->pattern.local[i];
        const bool told = test->gi_q < 0.05;
        const char *texts[TESTS] = {stop->name};
        const double numbers[TESTS] = {NAN,
                                       round->readings.values[i],
                                       (double)test->neighbours,
                                       test->moran,
                                       test->moran_z,
                                       test->moran_p,
                                       test->moran_q,
                                       test->gi_z,
                                       test->gi_p,
                                       test->gi_q};
        texts[TESTS - 2] = told && test->gi_z > 0 ? "yes" : "no";
        texts[TESTS - 1] = told && test->gi_z < 0 ? "yes" : "no";
        ok = foci_vector_writer_add(writer, texts, numbers, &stop->lonlat, NULL, err);
    }
    if (ok)
        return foci_vector_writer_close(writer, err);
    foci_vector_writer_drop(writer);
    return false;
}

bool foci_survey_write_local_tests(const foci_survey *survey, const char *file, bool overwrite, foci_error *err) {
    return foci_survey_is_at(survey, FOCI_STAGE_FITTED, err) &&
           foci_deliver_written(file, overwrite, write_tests, survey, err);
}
