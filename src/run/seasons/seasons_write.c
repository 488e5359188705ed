/* The folder of a comparison on disk. */
#include "fieldfoci/comparison.h"

#include <stdlib.h>

#include "base/memory.h"
#include "fieldfoci/export.h"
#include "fieldfoci/summary.h"
#include "keep/folder.h"

#define SUMMARY "seasons.json"
#define OURS_MOST 16

static bool write_files(const void *content, const char *folder, foci_error *err) {
    for (const foci_seasons_export *row = foci_seasons_export_table; row->file; row++) {
        if (!row->applies(content))
            continue;
        char *path = foci_format_text(err, "%s/%s", folder, row->file);
        bool ok = path && row->write(content, path, err);
        free(path);
        if (!ok)
            return false;
    }
    return true;
}

static char *summarise(const void *content, foci_error *err) {
    return foci_seasons_summary(content, err);
}

bool foci_seasons_write(const foci_seasons *seasons, const char *folder, bool overwrite, foci_error *err) {
    const char *files[OURS_MOST] = {SUMMARY};
    size_t count = 1;
    for (const foci_seasons_export *row = foci_seasons_export_table; row->file && count + 1 < OURS_MOST; row++)
        files[count++] = row->file;
    const foci_folder_kind kind = {.mark = SUMMARY, .files = files, .write_files = write_files, .summarise = summarise};
    return foci_folder_write(&kind, seasons, folder, overwrite, err);
}
