#include "base/plain_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/memory.h"

static bool judge(const struct stat *info, const char *file, long most, foci_error *err) {
    if (S_ISDIR(info->st_mode))
        return foci_fail(err, FOCI_NO_FILE, file, 0, "is a folder; name a file in it");
    if (!S_ISREG(info->st_mode))
        return foci_fail(err, FOCI_NO_FILE, file, 0, "is a pipe or a device; name an ordinary file");
    if (info->st_size > most)
        return foci_fail(err, FOCI_NO_FILE, file, 0, "is larger than the %ld MB that can be read; name the right file",
                         most >> 20);
    return true;
}

/* Not to wait where a pipe has no writer: what is opened is judged before a byte is read. */
static int open_file(const char *file, long most, struct stat *info, foci_error *err) {
    int handle = open(file, O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
    if (handle < 0) {
        if (errno == ENOENT || errno == ENOTDIR)
            foci_fail(err, FOCI_NO_FILE, file, 0, "no such file");
        else
            foci_fail(err, FOCI_NO_FILE, file, 0, "cannot be opened: %s", strerror(errno));
        return -1;
    }
    if (fstat(handle, info) == 0 ? judge(info, file, most, err)
                                 : foci_fail(err, FOCI_NO_FILE, file, 0, "cannot be read: %s", strerror(errno)))
        return handle;
    close(handle);
    return -1;
}

FILE *foci_file_open(const char *file, long most, foci_error *err) {
    struct stat info;
    int handle = open_file(file, most, &info, err);
    FILE *stream = handle < 0 ? NULL : fdopen(handle, "rb");
    if (handle >= 0 && !stream) {
        foci_fail(err, FOCI_NO_MEMORY, file, 0, "cannot be opened: %s", strerror(errno));
        close(handle);
    }
    return stream;
}

bool foci_file_check(const char *file, long most, foci_error *err) {
    struct stat info;
    int handle = open_file(file, most, &info, err);
    if (handle < 0)
        return false;
    close(handle);
    return info.st_size > 0 || foci_fail(err, FOCI_NO_FILE, file, 0, "the file is empty (0 bytes)");
}

char *foci_file_read(const char *file, long most, size_t *size, foci_error *err) {
    char *bytes = NULL;
    size_t capacity = 0, got = 0, read = 0;
    bool ok = false;
    FILE *stream = foci_file_open(file, most, err);
    if (!stream)
        return NULL;
    do {
        if (!foci_grow_array((void **)&bytes, &capacity, read + 65536, 1, err))
            goto done;
        got = fread(bytes + read, 1, capacity - read - 1, stream);
        read += got;
        if (read > (size_t)most) { /* it grew */
            foci_fail(err, FOCI_NO_FILE, file, 0, "is larger than the %ld MB that can be read; name the right file",
                      most >> 20);
            goto done;
        }
    } while (got > 0);
    if (ferror(stream)) {
        foci_fail(err, FOCI_NO_FILE, file, 0, "cannot be read: %s", strerror(errno));
        goto done;
    }
    bytes[read] = '\0';
    *size = read;
    ok = true;
done:
    fclose(stream);
    if (ok)
        return bytes;
    free(bytes);
    return NULL;
}
