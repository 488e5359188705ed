/* How the layers of survey.gpkg look in a map program: as on the sheet. Styled Layer Descriptor 1.0.0 (OGC 02-070) in
 * the table "layer_styles", which such programs look for. */
#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "show/exports/export_files.h"
#include "show/map/map_legends.h"
#include "decide/words/survey_words.h"

#define INK "#1A1A1A"

/* The columns by which such programs know the table; the names are not ours. */
enum { TABLE, GEOMETRY, STYLE, SLD, STANDARD, SAID, MADE, COLUMNS };
static const foci_column style_columns[COLUMNS] = {
    [TABLE] = {"f_table_name", FOCI_COLUMN_TEXT},     [GEOMETRY] = {"f_geometry_column", FOCI_COLUMN_TEXT},
    [STYLE] = {"styleName", FOCI_COLUMN_TEXT},        [SLD] = {"styleSLD", FOCI_COLUMN_TEXT},
    [STANDARD] = {"useAsDefault", FOCI_COLUMN_WHOLE}, [SAID] = {"description", FOCI_COLUMN_TEXT},
    [MADE] = {"update_time", FOCI_COLUMN_TEXT},
};

/* ---- parts ---- */

typedef struct {
    const char *fill; /* NULL: none */
    double opacity;
    double width; /* of the outline, pixels */
    bool dashed;
} area_look;

static bool add_area(foci_text *sld, const area_look *look, foci_error *err) {
    return foci_text_add(sld, err, "<PolygonSymbolizer>") &&
           (!look->fill || foci_text_add(sld, err,
                                         "<Fill><CssParameter name=\"fill\">%s</CssParameter><CssParameter "
                                         "name=\"fill-opacity\">%.2g</CssParameter></Fill>",
                                         look->fill, look->opacity)) &&
           foci_text_add(sld, err,
                         "<Stroke><CssParameter name=\"stroke\">" INK "</CssParameter><CssParameter "
                         "name=\"stroke-width\">%.2g</CssParameter>%s</Stroke></PolygonSymbolizer>",
                         look->width, look->dashed ? "<CssParameter name=\"stroke-dasharray\">6 4</CssParameter>" : "");
}

static bool add_sign(foci_text *sld, const char *mark, const char *fill, double size, foci_error *err) {
    return foci_text_add(sld, err,
                         "<PointSymbolizer><Graphic><Mark><WellKnownName>%s</WellKnownName><Fill><CssParameter "
                         "name=\"fill\">%s</CssParameter></Fill><Stroke><CssParameter name=\"stroke\">" INK
                         "</CssParameter><CssParameter name=\"stroke-width\">1.5</CssParameter></Stroke></Mark>"
                         "<Size>%g</Size></Graphic></PointSymbolizer>",
                         mark, fill, size);
}

static bool add_label(foci_text *sld, const char *column, foci_error *err) {
    return foci_text_add(
        sld, err,
        "<TextSymbolizer><Label><ogc:PropertyName>%s</ogc:PropertyName></Label><Font><CssParameter "
        "name=\"font-size\">12</CssParameter><CssParameter name=\"font-weight\">bold</CssParameter></Font>"
        "<Halo><Radius>2</Radius><Fill><CssParameter name=\"fill\">#FFFFFF</CssParameter></Fill></Halo><Fill>"
        "<CssParameter name=\"fill\">" INK "</CssParameter></Fill></TextSymbolizer>",
        column);
}

static bool begin(foci_text *sld, const char *layer, foci_error *err) {
    return foci_text_add(sld, err,
                         "<?xml version=\"1.0\" encoding=\"UTF-8\"?><StyledLayerDescriptor version=\"1.0.0\" "
                         "xmlns=\"http://www.opengis.net/sld\" xmlns:ogc=\"http://www.opengis.net/ogc\"><NamedLayer>"
                         "<Name>%s</Name><UserStyle><Title>fieldfoci</Title><FeatureTypeStyle>",
                         layer);
}

static bool end(foci_text *sld, foci_error *err) {
    return foci_text_add(sld, err, "</FeatureTypeStyle></UserStyle></NamedLayer></StyledLayerDescriptor>");
}

/* A rule's title, escaped; its filter and symbols follow, and the caller ends it. */
static bool begin_rule(foci_text *sld, const char *title, foci_error *err) {
    return foci_text_add(sld, err, "<Rule><Title>") && foci_text_add_escaped(sld, title, err) &&
           foci_text_add(sld, err, "</Title>");
}

static bool end_rule(foci_text *sld, foci_error *err) {
    return foci_text_add(sld, err, "</Rule>");
}

static bool add_equal(foci_text *sld, const char *column, const char *value, foci_error *err) {
    return foci_text_add(sld, err,
                         "<ogc:PropertyIsEqualTo><ogc:PropertyName>%s</ogc:PropertyName><ogc:Literal>%s</ogc:Literal>"
                         "</ogc:PropertyIsEqualTo>",
                         column, value);
}

/* ---- layers ---- */

static bool field_style(foci_text *sld, const foci_survey *round, foci_error *err) {
    const area_look look = {NULL, 0, 2, false};
    (void)round;
    return begin(sld, "field", err) && begin_rule(sld, "The field", err) && add_area(sld, &look, err) &&
           end_rule(sld, err) && end(sld, err);
}

/* The reading as the layer's columns have it. */
static const char *reading_of(const foci_survey *round) {
    return round->stops.kind == FOCI_READING_VALUE
               ? "<ogc:PropertyName>value</ogc:PropertyName>"
               : "<ogc:Mul><ogc:Literal>100</ogc:Literal><ogc:Div><ogc:PropertyName>hits</ogc:PropertyName>"
                 "<ogc:PropertyName>checked</ogc:PropertyName></ogc:Div></ogc:Mul>";
}

static bool add_compared(foci_text *sld, const foci_survey *round, const char *how, double with, foci_error *err) {
    return foci_text_add(sld, err, "<ogc:PropertyIs%s>%s<ogc:Literal>%.15g</ogc:Literal></ogc:PropertyIs%s>", how,
                         reading_of(round), with, how);
}

/* Readings above `none` or from `least` on (NaN: nothing found), and below `most` (infinity: no end). */
typedef struct {
    const char *title;
    double least, most;
    const char *fill;
    double size;
} stop_look;

static bool stop_rule(foci_text *sld, const foci_survey *round, const stop_look *look, foci_error *err) {
    const double none = round->readings.none;
    return begin_rule(sld, look->title, err) && foci_text_add(sld, err, "<ogc:Filter><ogc:And>") &&
           add_equal(sld, "used", "yes", err) &&
           add_compared(sld, round, isnan(look->least) ? "LessThanOrEqualTo" : "GreaterThan", none, err) &&
           (!(look->least > none) || add_compared(sld, round, "GreaterThanOrEqualTo", look->least, err)) &&
           (isinf(look->most) || add_compared(sld, round, "LessThan", look->most, err)) &&
           foci_text_add(sld, err, "</ogc:And></ogc:Filter>") && add_sign(sld, "circle", look->fill, look->size, err) &&
           end_rule(sld, err);
}

/* As the sheet's key has them. */
static bool stops_style(foci_text *sld, const foci_survey *round, foci_error *err) {
    double edges[FOCI_LEGEND_MOST];
    char words[3][2 * FOCI_WORDS_SIZE], low[FOCI_WORDS_SIZE], high[FOCI_WORDS_SIZE];
    const double none = round->readings.none;
    foci_map_legends[FOCI_LEGEND_SEVERITY].breaks(edges, round);
    foci_words_reading(low, round, edges[2]);
    foci_words_reading(high, round, edges[3]);
    snprintf(words[0], sizeof words[0], "below %s", low);
    snprintf(words[1], sizeof words[1], "%s to %s", low, high);
    snprintf(words[2], sizeof words[2], "%s and over", high);
    const stop_look looks[] = {{"none found", NAN, INFINITY, "#FFFFFF", 9},
                               {words[0], none, edges[2], INK, 7},
                               {words[1], edges[2], edges[3], INK, 11},
                               {words[2], edges[3], INFINITY, INK, 15}};
    bool ok = begin(sld, "stops", err) && begin_rule(sld, "left out", err) && foci_text_add(sld, err, "<ogc:Filter>") &&
              add_equal(sld, "used", "no", err) && foci_text_add(sld, err, "</ogc:Filter>") &&
              add_sign(sld, "x", INK, 8, err) && end_rule(sld, err);
    for (size_t i = 0; ok && i < sizeof looks / sizeof *looks; i++)
        ok = stop_rule(sld, round, &looks[i], err);
    return ok && end(sld, err);
}

static bool hotspots_style(foci_text *sld, const foci_survey *round, foci_error *err) {
    const area_look look = {NULL, 0, 4, false};
    (void)round;
    return begin(sld, "hotspots", err) && begin_rule(sld, "hotspot, with its number", err) &&
           add_area(sld, &look, err) && add_label(sld, "id", err) && end_rule(sld, err) && end(sld, err);
}

static bool zones_style(foci_text *sld, const foci_survey *round, foci_error *err) {
    static const area_look looks[FOCI_ZONE_END] = {[FOCI_ZONE_LEAVE] = {NULL, 0, 0.5, false},
                                                   [FOCI_ZONE_DIG] = {"#FFFFFF", 0.5, 1, true},
                                                   [FOCI_ZONE_TREAT] = {"#E08A4C", 0.7, 2, false}};
    bool ok = begin(sld, "zones", err);
    for (int code = FOCI_ZONE_END - 1; ok && code >= 0; code--)
        ok = begin_rule(sld, foci_words_zone(round, (foci_zone_code)code), err) &&
             foci_text_add(sld, err, "<ogc:Filter>") &&
             add_equal(sld, "zone", foci_zone_name((foci_zone_code)code), err) &&
             foci_text_add(sld, err, "</ogc:Filter>") && add_area(sld, &looks[code], err) && end_rule(sld, err);
    return ok && end(sld, err);
}

static bool digs_style(foci_text *sld, const foci_survey *round, foci_error *err) {
    (void)round;
    return begin(sld, "digs", err) && begin_rule(sld, "dig and look here, in walking order", err) &&
           add_sign(sld, "square", "#FFFFFF", 12, err) && add_label(sld, "visit", err) && end_rule(sld, err) &&
           end(sld, err);
}

static const struct {
    const char *layer;
    bool (*style)(foci_text *sld, const foci_survey *round, foci_error *err);
} styles[] = {{"field", field_style},
              {"zones", zones_style},
              {"hotspots", hotspots_style},
              {"stops", stops_style},
              {"digs", digs_style}};

bool foci_export_styles(foci_vector_writer *writer, const foci_survey *round, foci_error *err) {
    bool ok = foci_vector_writer_layer(writer, "layer_styles", FOCI_SHAPE_NONE, style_columns, COLUMNS, err);
    for (size_t i = 0; ok && i < sizeof styles / sizeof *styles; i++) {
        foci_text sld = {0};
        ok = styles[i].style(&sld, round, err);
        const char *texts[COLUMNS] = {[TABLE] = styles[i].layer, [GEOMETRY] = "geom",        [STYLE] = "fieldfoci",
                                      [SLD] = sld.text,          [SAID] = "as on the sheet", [MADE] = round->made};
        const double numbers[COLUMNS] = {[STANDARD] = 1};
        ok = ok && foci_vector_writer_add(writer, texts, numbers, NULL, NULL, err);
        foci_text_free(&sld);
    }
    return ok;
}
