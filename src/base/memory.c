#include "base/memory.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldfoci/secrets.h"

/* With the list of what is being written (unfinished.c) the only mutable globals: they exist for tests. */
static long fail_after = -1;
static void (*see_allocation)(void) = NULL;

void foci_memory_fail_after(long after) {
    fail_after = after;
}

void foci_memory_watch(void (*see)(void)) {
    see_allocation = see;
}

static bool must_fail(void) {
    if (see_allocation)
        see_allocation();
    if (fail_after < 0)
        return false;
    return fail_after-- == 0;
}

void *foci_new_array(size_t count, size_t size, foci_error *err) {
    void *array = NULL;
    if (count == 0)
        count = 1;
    if (size <= SIZE_MAX / count && !must_fail())
        array = calloc(count, size);
    if (!array)
        foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory for %zu x %zu bytes", count, size);
    return array;
}

bool foci_grow_array(void **array, size_t *capacity, size_t count, size_t size, foci_error *err) {
    if (count <= *capacity)
        return true;
    size_t wanted = *capacity < 8 ? 8 : *capacity;
    while (wanted < count && wanted <= SIZE_MAX / 2)
        wanted *= 2;
    if (wanted < count)
        wanted = count;
    void *grown = NULL;
    if (size <= SIZE_MAX / wanted && !must_fail())
        grown = realloc(*array, wanted * size);
    if (!grown)
        return foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory for %zu x %zu bytes", wanted, size);
    *array = grown;
    *capacity = wanted;
    return true;
}

char *foci_copy_text(const char *text, foci_error *err) {
    size_t length = strlen(text) + 1;
    char *copy = foci_new_array(length, 1, err);
    if (copy)
        memcpy(copy, text, length);
    return copy;
}

char *foci_copy_masked(const char *text, foci_error *err) {
    size_t size = strlen(text) + 1;
    char *copy = foci_new_array(size, 3, err);
    if (copy)
        foci_secrets_mask(copy, 3 * size, text);
    return copy;
}

char *foci_format_text(foci_error *err, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (length < 0) {
        foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "text could not be formatted");
        return NULL;
    }
    char *text = foci_new_array((size_t)length + 1, 1, err);
    if (!text)
        return NULL;
    va_start(arguments, format);
    vsnprintf(text, (size_t)length + 1, format, arguments);
    va_end(arguments);
    return text;
}
