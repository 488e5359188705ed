#include "show/exports/export_gpx.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "base/memory.h"
#include "base/text.h"
#include "decide/words/fixed_words.h"
#include "data/files/vector_file.h"
#include "fieldfoci/words.h"

/* Length of the UTF-8 character at `text`, 0 where there is none that XML 1.0 can hold. */
static size_t character_length(const unsigned char *text) {
    unsigned char first = text[0];
    if (first < 0x80)
        return first >= 0x20 || first == '\t' || first == '\n' ? 1 : 0;
    size_t length = first >= 0xf0 && first <= 0xf4 ? 4 : first >= 0xe0 ? 3 : 2;
    if (first < 0xc2 || first > 0xf4)
        return 0;
    unsigned long code = first & (0xffU >> (length + 1));
    for (size_t i = 1; i < length; i++) {
        if ((text[i] & 0xc0) != 0x80)
            return 0;
        code = code << 6 | (text[i] & 0x3f);
    }
    static const unsigned long least[] = {0, 0, 0x80, 0x800, 0x10000};
    bool forbidden = code < least[length] || code > 0x10ffff || (code >= 0xd800 && code <= 0xdfff) || code == 0xfffe ||
                     code == 0xffff;
    return forbidden ? 0 : length;
}

static bool add_escaped(foci_text *out, const char *text, foci_error *err) {
    while (*text) {
        size_t length = character_length((const unsigned char *)text);
        bool ok = false;
        if (length == 0)
            ok = foci_text_add(out, err, "?");
        else if (*text == '&')
            ok = foci_text_add(out, err, "&amp;");
        else if (*text == '<')
            ok = foci_text_add(out, err, "&lt;");
        else if (*text == '>')
            ok = foci_text_add(out, err, "&gt;");
        else
            ok = foci_text_add(out, err, "%.*s", (int)length, text);
        if (!ok)
            return false;
        text += length > 0 ? length : 1;
    }
    return true;
}

static bool add_element(foci_text *out, const char *indent, const char *name, const char *text, foci_error *err) {
    if (!text || !text[0])
        return true;
    return foci_text_add(out, err, "%s<%s>", indent, name) && add_escaped(out, text, err) &&
           foci_text_add(out, err, "</%s>\n", name);
}

/* A wptType: its parts have a fixed order. Longitude 180 is no GPX longitude, -180 is. */
static bool add_place(foci_text *out, const char *indent, const char *element, const foci_gpx_place *place,
                      foci_error *err) {
    char inner[16];
    double east = place->lonlat.x, north = place->lonlat.y;
    if (!(fabs(east) <= 180 && fabs(north) <= 90))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "%s lies at %g,%g, which is no longitude and latitude",
                         place->name, east, north);
    if (east > 180 - 5e-9)
        east = -180;
    snprintf(inner, sizeof inner, "%s  ", indent);
    return foci_text_add(out, err, "%s<%s lat=\"%.8f\" lon=\"%.8f\">\n", indent, element, north, east) &&
           add_element(out, inner, "name", place->name, err) &&
           add_element(out, inner, "desc", place->description, err) &&
           add_element(out, inner, "type", place->type, err) && foci_text_add(out, err, "%s</%s>\n", indent, element);
}

static bool add_route(foci_text *out, const foci_gpx *gpx, foci_error *err) {
    if (!foci_text_add(out, err, "  <rte>\n") || !add_element(out, "    ", "name", gpx->title, err))
        return false;
    if (gpx->start && !add_place(out, "    ", "rtept", gpx->start, err))
        return false;
    for (size_t i = 0; i < gpx->count; i++)
        if (!add_place(out, "    ", "rtept", &gpx->places[i], err))
            return false;
    const foci_gpx_place *end = gpx->start ? gpx->start : gpx->places;
    if (gpx->closed && gpx->count > 0 && !add_place(out, "    ", "rtept", end, err))
        return false;
    return foci_text_add(out, err, "  </rte>\n");
}

static bool add_file(foci_text *out, const foci_gpx *gpx, foci_error *err) {
    if (!foci_text_add(out, err,
                       "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                       "<gpx version=\"1.1\" creator=\"fieldfoci %s\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n"
                       "  <metadata>\n",
                       FOCI_VERSION) ||
        !add_element(out, "    ", "name", gpx->title, err) ||
        !add_element(out, "    ", "desc", gpx->description, err) || !add_element(out, "    ", "time", gpx->time, err) ||
        !foci_text_add(out, err, "  </metadata>\n"))
        return false;
    for (size_t i = 0; i < gpx->count; i++)
        if (!add_place(out, "  ", "wpt", &gpx->places[i], err))
            return false;
    return add_route(out, gpx, err) && foci_text_add(out, err, "</gpx>\n");
}

/* A file without waypoints has no layer to read. */
static bool read_again(const char *path, size_t count, foci_error *err) {
    foci_table table = {0};
    if (count == 0)
        return true;
    if (!foci_table_read_layer(&table, path, "waypoints", err))
        return false;
    bool whole = table.row_count == count;
    foci_table_free(&table);
    return whole || foci_fail(err, FOCI_NO_FILE, path, 0, "the file does not hold what was written; is the disk full?");
}

bool foci_gpx_write(const foci_gpx *gpx, const char *path, foci_error *err) {
    foci_text text = {0};
    bool ok = add_file(&text, gpx, err) && foci_deliver_bytes(path, text.text, text.length, false, err);
    if (ok && !read_again(path, gpx->count, err)) {
        foci_unfinished_remove(path);
        ok = false;
    }
    foci_text_free(&text);
    return ok;
}

bool foci_gpx_write_digs(const foci_dig_points *digs, const char *field, const char *time,
                         const foci_sentences *cautions, const char *path, foci_error *err) {
    const foci_gpx_place start = {.lonlat = digs->start_lonlat, .name = digs->at_gate ? "GATE" : "START"};
    foci_gpx gpx = {.time = time, .count = digs->count, .start = &start, .closed = true};
    char *title = NULL, *description = NULL, *said = NULL;
    char walk[FOCI_WORDS_SIZE];
    bool ok = false;
    foci_gpx_place *places = foci_new_array(digs->count, sizeof *places, err);
    if (!places)
        goto done;
    title = field && field[0] ? foci_format_text(err, "Dig checks in %s", field) : foci_copy_text("Dig checks", err);
    if (!title)
        goto done;
    foci_words_length(walk, digs->walk, FOCI_ACRES);
    said = foci_sentences_join(cautions, " ", err);
    if (!said)
        goto done;
    description =
        foci_format_text(err,
                         "%zu places to dig and look, in walking order: %s from the %s through all and "
                         "back, in straight lines; mind ditches and ponds%s%s",
                         digs->count, walk, digs->at_gate ? "gate" : "field's corner", *said ? ". " : "", said);
    if (!description)
        goto done;
    for (size_t i = 0; i < digs->count; i++) {
        const foci_dig_point *dig = &digs->items[i];
        places[i] =
            (foci_gpx_place){dig->lonlat, dig->name, foci_words_waypoint(dig, err), foci_dig_why_name(dig->why)};
        if (!places[i].description)
            goto done;
    }
    gpx.title = title;
    gpx.description = description;
    gpx.places = places;
    ok = foci_gpx_write(&gpx, path, err);
done:
    for (size_t i = 0; places && i < digs->count; i++)
        free((char *)places[i].description);
    free(places);
    free(title);
    free(said);
    free(description);
    return ok;
}
