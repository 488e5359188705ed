/* What the `pattern` command hands out: the verdict's numbers as JSON, and the local tests in a file. */
#include "fieldfoci/survey.h"

#include <math.h>
#include <stdlib.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "data/files/vector_file.h"
#include "keep/pattern_summary.h"

char *foci_survey_pattern_summary(const foci_survey *survey, foci_error *err) {
    return foci_pattern_summary(&survey->round, err);
}

enum { TESTS = 12 };
static const foci_column columns[TESTS] = {
    {"stop", FOCI_COLUMN_TEXT},      {"reading", FOCI_COLUMN_NUMBER}, {"neighbours", FOCI_COLUMN_WHOLE},
    {"moran", FOCI_COLUMN_NUMBER},   {"moran_z", FOCI_COLUMN_NUMBER}, {"moran_p", FOCI_COLUMN_NUMBER},
    {"moran_q", FOCI_COLUMN_NUMBER}, {"gi_z", FOCI_COLUMN_NUMBER},    {"gi_p", FOCI_COLUMN_NUMBER},
    {"gi_q", FOCI_COLUMN_NUMBER},    {"hot", FOCI_COLUMN_TEXT},       {"cold", FOCI_COLUMN_TEXT},
};

static bool write_tests(const foci_round *round, const char *path, foci_error *err) {
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

bool foci_survey_write_local_tests(const foci_survey *survey, foci_error *err) {
    const foci_settings *settings = &survey->settings;
    foci_error inner = {0};
    bool ok = false;
    if (!foci_deliver_may_write(settings->out, settings->overwrite, err))
        return false;
    char *temporary = foci_deliver_beside(settings->out, err);
    if (!temporary)
        return false;
    if (write_tests(&survey->round, temporary, &inner)) {
        ok = foci_deliver_file(temporary, settings->out, settings->overwrite, err);
    } else {
        foci_deliver_pass_on(err, &inner, temporary, settings->out);
        foci_unfinished_remove(temporary);
    }
    free(temporary);
    return ok;
}
