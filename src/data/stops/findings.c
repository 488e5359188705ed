#include "fieldfoci/checks.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "fieldfoci/words.h"

static void finding_free(foci_finding *finding) {
    for (size_t i = 0; i < finding->stop_count; i++)
        free(finding->stops[i]);
    free(finding->stops);
    free(finding->text);
    free(finding->trust);
    *finding = (foci_finding){0};
}

static char *sentence(const char *format, va_list arguments, foci_error *err) {
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    char *text = foci_new_array((size_t)(length < 0 ? 0 : length) + 1, 1, err);
    if (text) {
        vsnprintf(text, (size_t)(length < 0 ? 0 : length) + 1, format, arguments);
        foci_words_one_line(text); /* it holds names and cells of files */
    }
    return text;
}

static bool name_stops(foci_finding *finding, const foci_stops *of, const size_t *stops, size_t count,
                       foci_error *err) {
    finding->stops = foci_new_array(count, sizeof *finding->stops, err);
    if (!finding->stops)
        return false;
    for (size_t i = 0; i < count; i++) {
        finding->stops[i] = foci_copy_text(of->items[stops[i]].name, err);
        if (!finding->stops[i])
            return false;
        finding->stop_count++;
    }
    return true;
}

bool foci_findings_add(foci_findings *findings, const char *what, foci_severity_of_finding severity,
                       const foci_stops *of, const size_t *stops, size_t stop_count, foci_error *err,
                       const char *format, ...) {
    foci_finding finding = {.what = what, .severity = severity};
    size_t capacity = findings->count;
    bool ok = false;
    va_list arguments;
    va_start(arguments, format);
    finding.text = sentence(format, arguments, err);
    va_end(arguments);
    if (!finding.text || !name_stops(&finding, of, stops, stops ? stop_count : 0, err) ||
        !foci_grow_array((void **)&findings->items, &capacity, findings->count + 1, sizeof *findings->items, err))
        goto done;
    findings->items[findings->count++] = finding;
    finding = (foci_finding){0};
    ok = true;
done:
    finding_free(&finding);
    return ok;
}

bool foci_findings_trust(foci_findings *findings, foci_error *err, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    char *text = sentence(format, arguments, err);
    va_end(arguments);
    if (!text)
        return false;
    free(findings->items[findings->count - 1].trust);
    findings->items[findings->count - 1].trust = text;
    return true;
}

bool foci_findings_add_notes(foci_findings *findings, const char *file, const foci_notes *notes, foci_error *err) {
    foci_text text = {0};
    bool ok = true;
    for (size_t i = 0; ok && i < notes->count; i++)
        ok = foci_text_add(&text, err, "%s%s", i ? "; " : "", notes->items[i]);
    ok = ok && (!notes->count ||
                foci_findings_add(findings, FOCI_HOW_READ, FOCI_NOTE, NULL, NULL, 0, err, "%s: %s.", file, text.text));
    foci_text_free(&text);
    return ok;
}

void foci_findings_free(foci_findings *findings) {
    for (size_t i = 0; i < findings->count; i++)
        finding_free(&findings->items[i]);
    free(findings->items);
    *findings = (foci_findings){0};
}
