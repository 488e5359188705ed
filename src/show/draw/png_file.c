#include "show/draw/png_file.h"

#include <errno.h>
#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <sys/stat.h>

#include <png.h>

#include "base/memory.h"

#define QUICK_LEVEL 4 /* of zlib: the first that looks ahead for a longer match */

/* What libpng said before it gave up. */
typedef struct {
    char text[128];
} complaint;

static void on_error(png_structp png, png_const_charp text) {
    complaint *said = png_get_error_ptr(png);
    snprintf(said->text, sizeof said->text, "%s", errno ? strerror(errno) : text);
    png_longjmp(png, 1);
}

static void on_warning(png_structp png, png_const_charp text) {
    (void)png;
    (void)text;
}

static bool is_ascii(const char *text) {
    for (; *text; text++)
        if ((unsigned char)*text > 0x7E)
            return false;
    return true;
}

static void set_texts(png_structp png, png_infop info, const foci_png_text *texts) {
    png_text chunks[FOCI_PNG_TEXTS_MOST];
    int count = 0;
    memset(chunks, 0, sizeof chunks);
    for (; texts[count].key && count < FOCI_PNG_TEXTS_MOST; count++) {
        chunks[count].compression = is_ascii(texts[count].text) ? PNG_TEXT_COMPRESSION_NONE : PNG_ITXT_COMPRESSION_NONE;
        chunks[count].key = (png_charp)texts[count].key;
        chunks[count].text = (png_charp)texts[count].text;
    }
    png_set_text(png, info, chunks, count);
}

/* Leaves by longjmp where libpng fails: nothing in here owns anything. */
static void write_picture(png_structp png, png_infop info, const unsigned char *rgb, unsigned width, unsigned height,
                          unsigned dots_per_metre, const foci_png_text *texts) {
    png_set_IHDR(png, info, width, height, 8, PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
                 PNG_FILTER_TYPE_DEFAULT);
    png_set_pHYs(png, info, dots_per_metre, dots_per_metre, PNG_RESOLUTION_METER);
    set_texts(png, info, texts);
    png_write_info(png, info);
    for (unsigned row = 0; row < height; row++)
        png_write_row(png, rgb + (size_t)row * width * 3);
    png_write_end(png, info);
}

/* Where the picture goes: a file, or memory. */
typedef struct {
    FILE *file;
    unsigned char *bytes;
    size_t size, capacity;
    bool quick;
    foci_error err;
} destination;

static void add_bytes(png_structp png, png_bytep bytes, size_t size) {
    destination *to = png_get_io_ptr(png);
    if (!foci_grow_array((void **)&to->bytes, &to->capacity, to->size + size, 1, &to->err))
        png_error(png, "not enough memory");
    memcpy(to->bytes + to->size, bytes, size);
    to->size += size;
}

static void flush_nothing(png_structp png) {
    (void)png;
}

static bool write_png(destination *to, const char *path, const unsigned char *rgb, unsigned width, unsigned height,
                      unsigned dots_per_metre, const foci_png_text *texts, foci_error *err) {
    complaint said = {""};
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, &said, on_error, on_warning);
    png_infop info = png ? png_create_info_struct(png) : NULL;
    if (!info) {
        png_destroy_write_struct(&png, NULL);
        return foci_fail(err, FOCI_NO_MEMORY, path, 0, "not enough memory to write the picture");
    }
    if (setjmp(png_jmpbuf(png))) {
        png_destroy_write_struct(&png, &info);
        const foci_status status = to->err.status != FOCI_OK ? to->err.status : FOCI_NO_FILE;
        return foci_fail(err, status, path, 0, "the picture could not be written: %s", said.text);
    }
    errno = 0; /* what libpng complains of is the disk's doing only if this says so */
    if (to->file)
        png_init_io(png, to->file);
    else
        png_set_write_fn(png, to, add_bytes, flush_nothing);
    if (to->quick) { /* of flat colors: filters make it hardly smaller, and trying them takes longest */
        png_set_filter(png, PNG_FILTER_TYPE_BASE, PNG_FILTER_NONE);
        png_set_compression_level(png, QUICK_LEVEL);
    }
    write_picture(png, info, rgb, width, height, dots_per_metre, texts);
    png_destroy_write_struct(&png, &info);
    return true;
}

/* Never a device that somebody named as a file. */
static void remove_file(const char *path) {
    struct stat facts;
    if (stat(path, &facts) == 0 && S_ISREG(facts.st_mode))
        remove(path);
}

bool foci_png_write(const char *path, const unsigned char *rgb, unsigned width, unsigned height,
                    unsigned dots_per_metre, const foci_png_text *texts, foci_error *err) {
    FILE *file = fopen(path, "wb");
    if (!file)
        return foci_fail(err, FOCI_NO_FILE, path, 0, "cannot be written: %s", strerror(errno));
    destination to = {.file = file};
    bool ok = write_png(&to, path, rgb, width, height, dots_per_metre, texts, err);
    if (ok && (fflush(file) != 0 || ferror(file)))
        ok = foci_fail(err, FOCI_NO_FILE, path, 0, "the picture could not be written: %s", strerror(errno));
    if (fclose(file) != 0 && ok)
        ok = foci_fail(err, FOCI_NO_FILE, path, 0, "the picture could not be written: %s", strerror(errno));
    if (!ok)
        remove_file(path);
    return ok;
}

static bool write_bytes(unsigned char **out, size_t *size, destination to, const unsigned char *rgb, unsigned width,
                        unsigned height, unsigned dots_per_metre, const foci_png_text *texts, foci_error *err) {
    if (!write_png(&to, NULL, rgb, width, height, dots_per_metre, texts, err)) {
        free(to.bytes);
        return false;
    }
    *out = to.bytes;
    *size = to.size;
    return true;
}

bool foci_png_bytes(unsigned char **out, size_t *size, const unsigned char *rgb, unsigned width, unsigned height,
                    unsigned dots_per_metre, const foci_png_text *texts, foci_error *err) {
    return write_bytes(out, size, (destination){0}, rgb, width, height, dots_per_metre, texts, err);
}

bool foci_png_quick_bytes(unsigned char **out, size_t *size, const unsigned char *rgb, unsigned width, unsigned height,
                          unsigned dots_per_metre, foci_error *err) {
    static const foci_png_text none[] = {{0}};
    return write_bytes(out, size, (destination){.quick = true}, rgb, width, height, dots_per_metre, none, err);
}
