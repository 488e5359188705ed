/* XML, out only: the only door to the XML library. All is in attributes; there is no text between elements. */
#ifndef FOCI_SHOW_XML_FILE_H
#define FOCI_SHOW_XML_FILE_H

#include "fieldfoci/error.h"

typedef struct foci_xml foci_xml; /* an element */

/* The root of a new document; NULL on failure. */
foci_xml *foci_xml_root(const char *name, foci_error *err) FOCI_MUST_CHECK;

/* A new last child, owned by its parent; NULL on failure, also where `parent` is NULL. */
foci_xml *foci_xml_child(foci_xml *parent, const char *name, foci_error *err) FOCI_MUST_CHECK;

/* Attributes stand in the order they were put. The text must be UTF-8 without control letters. False also where
 * `element` is NULL. */
bool foci_xml_put(foci_xml *element, const char *key, foci_error *err, const char *format, ...) FOCI_MUST_CHECK
    FOCI_PRINTF(4, 5);

/* Indented UTF-8 with the XML declaration; owned by the caller. */
char *foci_xml_print(const foci_xml *root, foci_error *err) FOCI_MUST_CHECK;

/* The whole document of this root; NULL is allowed. */
void foci_xml_free(foci_xml *root);

#endif
