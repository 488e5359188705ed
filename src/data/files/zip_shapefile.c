#include "data/files/zip_shapefile.h"

#include <cpl_vsi.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/plain_file.h"
#include "base/text.h"
#include "data/files/crs_text.h"
#include "data/files/zip_members.h"

static bool ends_with(const char *name, const char *ending) {
    const size_t length = strlen(name), tail = strlen(ending);
    return length > tail && foci_text_same(name + length - tail, ending);
}

/* What some systems add to the archives that they make. */
static bool is_litter(const char *name) {
    const char *slash = strrchr(name, '/');
    return strncmp(name, "__MACOSX/", 9) == 0 || strncmp(slash ? slash + 1 : name, "._", 2) == 0;
}

static bool check_system(const char *name, const char *file, foci_error *err) {
    char *text = foci_zip_member_read(file, name, FOCI_MOST_OF_PROFILE, err);
    bool ok = text && foci_crs_text_check(text, file, err);
    free(text);
    return ok;
}

/* One member. The first shapefile's folder becomes `*folder`. */
static bool judge(char **folder, const VSIDIREntry *entry, const char *file, foci_error *err) {
    const char *name = entry->pszName, *slash = strrchr(name, '/');
    if (is_litter(name) || VSI_ISDIR(entry->nMode))
        return true;
    if (ends_with(name, ".prj"))
        return check_system(name, file, err);
    if (!ends_with(name, ".shp"))
        return true;
    char *own = foci_format_text(err, "%.*s", (int)(slash ? slash - name : 0), name);
    if (!own)
        return false;
    if (!*folder) {
        *folder = own;
        return true;
    }
    const bool same = strcmp(*folder, own) == 0;
    free(own);
    return same || foci_fail(err, FOCI_NO_FILE, file, 0,
                             "is an archive with shapefiles in several folders; unpack it, and name the one to read");
}

bool foci_zip_shapefile_find(char **out, const char *file, foci_error *err) {
    bool is = false, ok = true;
    char *folder = NULL;
    *out = NULL;
    if (!foci_zip_is(&is, file, err))
        return false;
    if (!is)
        return true;
    char *archive = foci_format_text(err, "/vsizip/{%s}", file);
    VSIDIR *list = archive ? VSIOpenDir(archive, -1, NULL) : NULL;
    const VSIDIREntry *entry = NULL;
    while (list && ok && (entry = VSIGetNextDirEntry(list)) != NULL)
        ok = judge(&folder, entry, file, err);
    if (list)
        VSICloseDir(list);
    if (ok && archive && folder)
        *out = *folder ? foci_format_text(err, "%s/%s", archive, folder) : foci_copy_text(archive, err);
    ok = ok && archive && (!folder || *out);
    free(folder);
    free(archive);
    return ok;
}
