#include "data/files/zip_members.h"

#include <cpl_vsi.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/plain_file.h"

bool foci_zip_is(bool *is, const char *file, foci_error *err) {
    char mark[4] = "";
    FILE *stream = foci_file_open(file, FOCI_MOST_OF_TABLE, err);
    if (!stream)
        return false;
    *is = fread(mark, 1, sizeof mark, stream) == sizeof mark && memcmp(mark, "PK\3\4", 4) == 0;
    fclose(stream);
    return true;
}

static char *read_whole(VSILFILE *stream, size_t size, const char *file, const char *name, foci_error *err) {
    char *text = foci_new_array(size + 1, 1, err);
    if (!text || VSIFReadL(text, 1, size, stream) == size)
        return text;
    foci_fail(err, FOCI_NO_FILE, file, 0, "is an archive whose member %.80s cannot be read; unpack it first", name);
    free(text);
    return NULL;
}

char *foci_zip_member_read(const char *file, const char *name, size_t most, foci_error *err) {
    VSIStatBufL info;
    char *text = NULL, *path = foci_format_text(err, "/vsizip/{%s}/%s", file, name);
    if (!path)
        return NULL;
    VSILFILE *stream = VSIStatL(path, &info) == 0 ? VSIFOpenL(path, "rb") : NULL;
    if (!stream)
        text = foci_copy_text("", err);
    else if ((size_t)info.st_size > most)
        foci_fail(err, FOCI_NO_FILE, file, 0, "is an archive whose member %.80s is too large; save it again", name);
    else
        text = read_whole(stream, (size_t)info.st_size, file, name, err);
    if (stream)
        VSIFCloseL(stream);
    free(path);
    return text;
}
