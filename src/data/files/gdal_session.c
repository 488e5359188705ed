#include "data/files/gdal_session.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_http.h>
#include <cpl_vsi.h>
#include <errno.h>
#include <gdal.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/text.h"
#include "fieldfoci/secrets.h"
#include "fieldfoci/words.h"

static void catch_message(CPLErr kind, CPLErrorNum number, const char *message) {
    (void)number;
    foci_gdal_talk *talk = CPLGetErrorHandlerUserData();
    if (kind != CE_Warning && kind != CE_Failure && kind != CE_Fatal)
        return;
    bool failure = kind != CE_Warning;
    if (talk->failures == 0 && (failure || talk->warnings == 0)) {
        foci_secrets_mask(talk->text, sizeof talk->text, message);
        foci_words_one_line(talk->text);
    }
    if (failure)
        talk->failures++;
    else
        talk->warnings++;
}

/* What a file tells to fetch is not fetched. */
static CPLHTTPResult *fetch_nothing(const char *address, CSLConstList options, GDALProgressFunc progress,
                                    void *progress_data, CPLHTTPFetchWriteFunc write, void *write_data, void *data) {
    (void)options, (void)progress, (void)progress_data, (void)write, (void)write_data, (void)data;
    CPLHTTPResult *nothing = CPLCalloc(1, sizeof *nothing);
    nothing->nStatus = 1;
    nothing->pszErrBuf = CPLStrdup("nothing is fetched from the network");
    CPLError(CE_Failure, CPLE_NotSupported, "nothing is fetched from the network: %s", address);
    return nothing;
}

static void set_up(void) {
    GDALAllRegister();
    OSRSetPROJEnableNetwork(FALSE);
}

void foci_gdal_begin(foci_gdal_talk *talk) {
    static pthread_once_t registered = PTHREAD_ONCE_INIT;
    CPLPushErrorHandlerEx(catch_message, talk);
    CPLHTTPPushFetchCallback(fetch_nothing, NULL);
    pthread_once(&registered, set_up);
}

void foci_gdal_end(void) {
    CPLHTTPPopFetchCallback();
    CPLPopErrorHandler();
}

void foci_gdal_date_begin(void) {
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    double seconds = 0;
    struct tm parts;
    char moment[40];
    if (!epoch || !foci_number_parse(epoch, &seconds) || fabs(seconds) > 1e11)
        return;
    time_t time = (time_t)seconds;
    if (gmtime_r(&time, &parts) && strftime(moment, sizeof moment, "%Y-%m-%dT%H:%M:%S.000Z", &parts) > 0)
        CPLSetThreadLocalConfigOption("OGR_CURRENT_DATE", moment);
}

void foci_gdal_date_end(void) {
    if (getenv("SOURCE_DATE_EPOCH"))
        CPLSetThreadLocalConfigOption("OGR_CURRENT_DATE", NULL);
}

bool foci_gdal_save(const char *name, int file, const char *path, foci_error *err) {
    vsi_l_offset size = 0, done = 0;
    const GByte *bytes = VSIGetMemFileBuffer(name, &size, FALSE);
    bool ok = bytes != NULL && size > 0; /* a driver that could not make it says nothing */
    errno = ENODATA;
    while (ok && done < size) {
        ssize_t wrote = write(file, bytes + done, size - done);
        ok = wrote > 0 || (wrote < 0 && errno == EINTR);
        done += wrote > 0 ? (vsi_l_offset)wrote : 0;
    }
    ok = ok && fsync(file) == 0;
    int reason = errno;
    if (close(file) != 0 && ok) {
        ok = false;
        reason = errno;
    }
    return ok || foci_fail(err, FOCI_NO_FILE, path, 0, "cannot be written: %s", strerror(reason));
}
