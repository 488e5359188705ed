#include "data/files/database_handle.h"

#include <gdal.h>
#include <ogr_api.h>

void foci_database_enter(foci_database *database) {
    database->talk = (foci_gdal_talk){0};
    foci_gdal_begin(&database->talk);
    foci_gdal_date_begin();
}

void foci_database_leave(void) {
    foci_gdal_date_end();
    foci_gdal_end();
}

bool foci_database_fail(const foci_database *database, const char *what, foci_error *err) {
    return foci_fail(err, FOCI_NO_FILE, database->name, 0, "%s: %s", what,
                     database->talk.text[0] ? database->talk.text : "no reason given");
}

bool foci_database_run(foci_database *database, void *dataset, const char *statement, double *number) {
    const size_t before = database->talk.failures;
    OGRLayerH answer = GDALDatasetExecuteSQL(dataset, statement, NULL, NULL);
    OGRFeatureH row = answer && number ? OGR_L_GetNextFeature(answer) : NULL;
    if (row) {
        *number = OGR_F_GetFieldAsDouble(row, 0);
        OGR_F_Destroy(row);
    }
    if (answer)
        GDALDatasetReleaseResultSet(dataset, answer);
    return (row || !number) && database->talk.failures == before;
}
