/* A survey's folder as far as it is read back: summary, layers and surfaces, without sheets, letters and report, which
 * take most of the time of foci_survey_write and are looked at where they are drawn. */
#ifndef FOCI_TESTS_WRITE_SURVEY_H
#define FOCI_TESTS_WRITE_SURVEY_H

#include "support/support.h"

#include <sys/stat.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "fieldfoci/export.h"
#include "fieldfoci/steps.h"

static inline void write_survey_to_read(const foci_survey *survey, const char *folder) {
    foci_error err = {0};
    char path[1024];
    foci_unfinished_remove(folder);
    assert_int_equal(mkdir(folder, 0777), 0);
    for (const foci_export *row = foci_export_table; row->file; row++) {
        const char *ending = strrchr(row->file, '.');
        if (!row->applies(survey) || (strcmp(ending, ".gpkg") != 0 && strcmp(ending, ".tif") != 0))
            continue;
        snprintf(path, sizeof path, "%s/%s", folder, row->file);
        assert_done(row->write(survey, path, &err), err);
    }
    char *text = foci_survey_summary(survey, folder, &err);
    assert_non_null(text);
    snprintf(path, sizeof path, "%s/survey.json", folder);
    assert_done(foci_deliver_bytes(path, text, strlen(text), false, &err), err);
    free(text);
}

#endif
