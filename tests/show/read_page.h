/* A PDF as bytes: what stands in it uncompressed. */
#ifndef FOCI_TESTS_READ_PAGE_H
#define FOCI_TESTS_READ_PAGE_H

#include "show/read_picture.h"

static inline bool page_holds(const char *path, const char *words) {
    const size_t length = strlen(words);
    size_t size = 0;
    bool found = false;
    char *bytes = file_bytes(path, &size);
    for (size_t i = 0; i + length <= size && !found; i++)
        found = memcmp(bytes + i, words, length) == 0;
    free(bytes);
    return found;
}

/* One page of this paper on its side. A4 is 297 by 210 mm of 72/25.4 points. */
static inline void assert_paper(const char *path, const char *paper) {
    assert_int_equal(page_holds(path, "/MediaBox [ 0 0 792 612 ]"), strcmp(paper, "letter") == 0);
    assert_int_equal(page_holds(path, "/MediaBox [ 0 0 841.889764 595.275591 ]"), strcmp(paper, "a4") == 0);
}

#endif
