/* Pages of ours as their readers have them: parsed, and asked by XPath. */
#ifndef FOCI_TESTS_READ_HTML_H
#define FOCI_TESTS_READ_HTML_H

#include <libxml/parser.h>
#include <libxml/xpath.h>

#include "support/support.h"

/* An HTML page of ours is well-formed XML too; the embedded picture makes a long attribute. */
static inline xmlDocPtr parse(const char *page) {
    xmlDocPtr document =
        xmlReadMemory(page, (int)strlen(page), NULL, "UTF-8", XML_PARSE_NONET | XML_PARSE_HUGE | XML_PARSE_NOBLANKS);
    assert_non_null(document);
    return document;
}

/* What an XPath expression says as text; owned by the caller. */
static inline char *ask(xmlDocPtr document, const char *question) {
    xmlXPathContextPtr context = xmlXPathNewContext(document);
    xmlXPathObjectPtr answer = xmlXPathEvalExpression((const xmlChar *)question, context);
    assert_non_null(answer);
    xmlChar *text = xmlXPathCastToString(answer);
    char *copy = strdup((const char *)text);
    xmlFree(text);
    xmlXPathFreeObject(answer);
    xmlXPathFreeContext(context);
    return copy;
}

static inline void assert_answer(xmlDocPtr document, const char *question, const char *wanted) {
    char *answer = ask(document, question);
    if (strcmp(answer, wanted) != 0)
        print_error("%s: ", question);
    assert_string_equal(answer, wanted);
    free(answer);
}

#endif
