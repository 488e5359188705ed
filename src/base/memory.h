/* All heap goes through here, so that tests can make the n-th allocation fail. Freed by free(). */
#ifndef FOCI_BASE_MEMORY_H
#define FOCI_BASE_MEMORY_H

#include "fieldfoci/error.h"

/* Zeroed; NULL and FOCI_NO_MEMORY on failure or where count x size overflows. count 0 gives a valid pointer. */
void *foci_new_array(size_t count, size_t size, foci_error *err) FOCI_MUST_CHECK;

/* Grows `*array` to at least `count` elements, keeping what is there; on failure `*array` stays as it was. New elements
 * are not zeroed. `*capacity` is in elements. */
bool foci_grow_array(void **array, size_t *capacity, size_t count, size_t size, foci_error *err) FOCI_MUST_CHECK;

char *foci_copy_text(const char *text, foci_error *err) FOCI_MUST_CHECK;

/* A copy to be shown or kept: passwords in it are masked (secrets.h). */
char *foci_copy_masked(const char *text, foci_error *err) FOCI_MUST_CHECK;

/* Formatted text of any length. */
char *foci_format_text(foci_error *err, const char *format, ...) FOCI_MUST_CHECK FOCI_PRINTF(2, 3);

/* Test hook: the allocation after `after` more ones fails; -1 switches it off. */
void foci_memory_fail_after(long after);

/* Test hook: `see` is called at each allocation; NULL switches it off. */
void foci_memory_watch(void (*see)(void));

#endif
