#include "show/draw/xml_file.h"

#include <libxml/tree.h>
#include <libxml/xmlstring.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"

static bool no_memory(foci_error *err) {
    return foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory for an XML document");
}

foci_xml *foci_xml_root(const char *name, foci_error *err) {
    xmlDocPtr document = xmlNewDoc(BAD_CAST "1.0");
    xmlNodePtr root = document ? xmlNewDocNode(document, NULL, BAD_CAST name, NULL) : NULL;
    if (!root) {
        xmlFreeDoc(document);
        no_memory(err);
        return NULL;
    }
    xmlDocSetRootElement(document, root);
    return (foci_xml *)root;
}

foci_xml *foci_xml_child(foci_xml *parent, const char *name, foci_error *err) {
    if (!parent)
        return NULL;
    xmlNodePtr child = xmlNewChild((xmlNodePtr)parent, NULL, BAD_CAST name, NULL);
    if (!child)
        no_memory(err);
    return (foci_xml *)child;
}

bool foci_xml_put(foci_xml *element, const char *key, foci_error *err, const char *format, ...) {
    char text[512];
    va_list values;
    if (!element)
        return false;
    va_start(values, format);
    int length = vsnprintf(text, sizeof text, format, values);
    va_end(values);
    if (length < 0 || (size_t)length >= sizeof text || !xmlCheckUTF8(BAD_CAST text))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "'%.80s' cannot be written in XML: it is too long or not UTF-8",
                         text);
    return xmlNewProp((xmlNodePtr)element, BAD_CAST key, BAD_CAST text) || no_memory(err);
}

char *foci_xml_print(const foci_xml *root, foci_error *err) {
    xmlChar *bytes = NULL;
    int size = 0;
    xmlDocDumpFormatMemoryEnc(((const xmlNode *)root)->doc, &bytes, &size, "UTF-8", 1);
    if (!bytes) {
        no_memory(err);
        return NULL;
    }
    char *text = foci_copy_text((const char *)bytes, err);
    xmlFree(bytes);
    return text;
}

void foci_xml_free(foci_xml *root) {
    if (root)
        xmlFreeDoc(((xmlNodePtr)root)->doc);
}
