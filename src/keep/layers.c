#include "keep/layers.h"

#define LENGTH(array) (sizeof(array) / sizeof *(array))

/* A boundary that was drawn anew is a row of its own, so that each survey keeps the one it was made with. */
static const foci_column field_columns[] = {
    [FOCI_FIELD_ID] = {"id", FOCI_COLUMN_TEXT},
    [FOCI_FIELD_NAME] = {"name", FOCI_COLUMN_TEXT},
    [FOCI_FIELD_AREA] = {"area_ha", FOCI_COLUMN_NUMBER},
};

/* The last ones tell how many rows the survey has in the tables that follow, by which a whole entry is known. */
static const foci_column survey_columns[] = {
    {"sha256", FOCI_COLUMN_TEXT},      {"field", FOCI_COLUMN_TEXT},      {"field_id", FOCI_COLUMN_TEXT},
    {"season", FOCI_COLUMN_TEXT},      {"first_date", FOCI_COLUMN_TEXT}, {"last_date", FOCI_COLUMN_TEXT},
    {"disease", FOCI_COLUMN_TEXT},     {"kind", FOCI_COLUMN_TEXT},       {"unit", FOCI_COLUMN_TEXT},
    {"threshold", FOCI_COLUMN_NUMBER}, {"rated", FOCI_COLUMN_TEXT},      {"crop", FOCI_COLUMN_TEXT},
    {"laboratory", FOCI_COLUMN_TEXT},  {"stops", FOCI_COLUMN_WHOLE},     {"area_ha", FOCI_COLUMN_NUMBER},
    {"job", FOCI_COLUMN_TEXT},         {"made", FOCI_COLUMN_TEXT},       {"stop_rows", FOCI_COLUMN_WHOLE},
    {"zone_rows", FOCI_COLUMN_WHOLE},  {"dig_rows", FOCI_COLUMN_WHOLE},
};

static const foci_column stop_columns[] = {
    [FOCI_STOPS_SURVEY] = {"survey", FOCI_COLUMN_TEXT},     [FOCI_STOPS_NUMBER] = {"number", FOCI_COLUMN_WHOLE},
    [FOCI_STOPS_STOP] = {"stop", FOCI_COLUMN_TEXT},         [FOCI_STOPS_HITS] = {"hits", FOCI_COLUMN_NUMBER},
    [FOCI_STOPS_CHECKED] = {"checked", FOCI_COLUMN_NUMBER}, [FOCI_STOPS_VALUE] = {"value", FOCI_COLUMN_NUMBER},
    [FOCI_STOPS_DATE] = {"date", FOCI_COLUMN_TEXT},         [FOCI_STOPS_USED] = {"used", FOCI_COLUMN_TEXT},
    [FOCI_STOPS_WHY] = {"why", FOCI_COLUMN_TEXT},           [FOCI_STOPS_ESTIMATE] = {"estimate", FOCI_COLUMN_NUMBER},
    [FOCI_STOPS_CHANCE] = {"chance", FOCI_COLUMN_NUMBER},   [FOCI_STOPS_EAST] = {"east", FOCI_COLUMN_NUMBER},
    [FOCI_STOPS_NORTH] = {"north", FOCI_COLUMN_NUMBER},
};

/* The cautions go with the file, which travels alone; the table of a history ends before them. */
static const foci_column zone_columns[] = {
    [FOCI_ZONES_SURVEY] = {"survey", FOCI_COLUMN_TEXT},       [FOCI_ZONES_ZONE] = {"zone", FOCI_COLUMN_TEXT},
    [FOCI_ZONES_AREA] = {"area_ha", FOCI_COLUMN_NUMBER},      [FOCI_ZONES_CHANCE] = {"chance", FOCI_COLUMN_NUMBER},
    [FOCI_ZONES_SEVERITY] = {"severity", FOCI_COLUMN_NUMBER}, [FOCI_ZONES_CAUTIONS] = {"cautions", FOCI_COLUMN_TEXT},
};

static const foci_column dig_columns[] = {
    [FOCI_DIGS_SURVEY] = {"survey", FOCI_COLUMN_TEXT},   [FOCI_DIGS_ID] = {"id", FOCI_COLUMN_WHOLE},
    [FOCI_DIGS_VISIT] = {"visit", FOCI_COLUMN_WHOLE},    [FOCI_DIGS_NAME] = {"name", FOCI_COLUMN_TEXT},
    [FOCI_DIGS_CHANCE] = {"chance", FOCI_COLUMN_NUMBER}, [FOCI_DIGS_WHY] = {"why", FOCI_COLUMN_TEXT},
};

static const foci_column hotspot_columns[] = {
    [FOCI_HOTSPOTS_ID] = {"id", FOCI_COLUMN_WHOLE},
    [FOCI_HOTSPOTS_AREA] = {"area_ha", FOCI_COLUMN_NUMBER},
    [FOCI_HOTSPOTS_PEAK] = {"peak", FOCI_COLUMN_NUMBER},
    [FOCI_HOTSPOTS_MEAN] = {"mean", FOCI_COLUMN_NUMBER},
    [FOCI_HOTSPOTS_CHANCE] = {"chance", FOCI_COLUMN_NUMBER},
    [FOCI_HOTSPOTS_STOPS] = {"stops", FOCI_COLUMN_WHOLE},
    [FOCI_HOTSPOTS_OVER] = {"over", FOCI_COLUMN_WHOLE},
    [FOCI_HOTSPOTS_ALONG] = {"along_m", FOCI_COLUMN_NUMBER},
    [FOCI_HOTSPOTS_ACROSS] = {"across_m", FOCI_COLUMN_NUMBER},
    [FOCI_HOTSPOTS_SUPPORTED] = {"supported", FOCI_COLUMN_TEXT},
};

/* ---- survey.gpkg ---- */

#define FIELD_ORDER                                                                                                    \
    {                                                                                                                  \
        2, {                                                                                                           \
            FOCI_FIELD_NAME, FOCI_FIELD_AREA                                                                           \
        }                                                                                                              \
    }
#define ZONE_ORDER                                                                                                     \
    {                                                                                                                  \
        5, {                                                                                                           \
            FOCI_ZONES_ZONE, FOCI_ZONES_AREA, FOCI_ZONES_CHANCE, FOCI_ZONES_SEVERITY, FOCI_ZONES_CAUTIONS              \
        }                                                                                                              \
    }
#define DIG_ORDER                                                                                                      \
    {                                                                                                                  \
        5, {                                                                                                           \
            FOCI_DIGS_ID, FOCI_DIGS_VISIT, FOCI_DIGS_CHANCE, FOCI_DIGS_WHY, FOCI_DIGS_NAME                             \
        }                                                                                                              \
    }
#define HOTSPOT_ORDER                                                                                                  \
    {                                                                                                                  \
        FOCI_HOTSPOTS_COLUMNS, {                                                                                       \
            FOCI_HOTSPOTS_ID, FOCI_HOTSPOTS_AREA, FOCI_HOTSPOTS_PEAK, FOCI_HOTSPOTS_MEAN, FOCI_HOTSPOTS_CHANCE,        \
                FOCI_HOTSPOTS_STOPS, FOCI_HOTSPOTS_OVER, FOCI_HOTSPOTS_ALONG, FOCI_HOTSPOTS_ACROSS,                    \
                FOCI_HOTSPOTS_SUPPORTED                                                                                \
        }                                                                                                              \
    }
#define AFTER_READING                                                                                                  \
    FOCI_STOPS_DATE, FOCI_STOPS_USED, FOCI_STOPS_WHY, FOCI_STOPS_ESTIMATE, FOCI_STOPS_CHANCE, FOCI_STOPS_EAST,         \
        FOCI_STOPS_NORTH

const foci_layer foci_layers[] = {
    [FOCI_LAYER_FIELD] = {"field", FOCI_SHAPE_AREA, field_columns, {FIELD_ORDER, FIELD_ORDER}},
    [FOCI_LAYER_STOPS] =
        {"stops",
         FOCI_SHAPE_POINT,
         stop_columns,
         {[FOCI_READING_COUNT] = {10, {FOCI_STOPS_STOP, FOCI_STOPS_HITS, FOCI_STOPS_CHECKED, AFTER_READING}},
          [FOCI_READING_VALUE] = {9, {FOCI_STOPS_STOP, FOCI_STOPS_VALUE, AFTER_READING}}}},
    [FOCI_LAYER_ZONES] = {"zones", FOCI_SHAPE_AREA, zone_columns, {ZONE_ORDER, ZONE_ORDER}},
    [FOCI_LAYER_DIGS] = {"digs", FOCI_SHAPE_POINT, dig_columns, {DIG_ORDER, DIG_ORDER}},
    [FOCI_LAYER_HOTSPOTS] = {"hotspots", FOCI_SHAPE_AREA, hotspot_columns, {HOTSPOT_ORDER, HOTSPOT_ORDER}},
};

bool foci_layer_begin(foci_vector_writer *writer, size_t layer, foci_reading_kind kind, foci_error *err) {
    const foci_layer *of = &foci_layers[layer];
    const foci_layer_order *order = &of->order[kind];
    foci_column columns[FOCI_LAYER_COLUMNS_MOST];
    for (size_t i = 0; i < order->count; i++)
        columns[i] = of->columns[order->at[i]];
    return foci_vector_writer_layer(writer, of->name, of->shape, columns, order->count, err);
}

bool foci_layer_add(foci_vector_writer *writer, size_t layer, foci_reading_kind kind, const char *const *texts,
                    const double *numbers, const foci_point *point, const foci_multipolygon *area, foci_error *err) {
    const foci_layer_order *order = &foci_layers[layer].order[kind];
    const char *row_texts[FOCI_LAYER_COLUMNS_MOST];
    double row_numbers[FOCI_LAYER_COLUMNS_MOST];
    for (size_t i = 0; i < order->count; i++) {
        row_texts[i] = texts[order->at[i]];
        row_numbers[i] = numbers[order->at[i]];
    }
    return foci_vector_writer_add(writer, row_texts, row_numbers, point, area, err);
}

/* ---- a history ---- */

const char *const foci_history_row_counts[] = {
    [FOCI_LAYER_STOPS] = "stop_rows", [FOCI_LAYER_ZONES] = "zone_rows", [FOCI_LAYER_DIGS] = "dig_rows"};

const foci_database_table foci_history_tables[] = {
    [FOCI_LAYER_FIELD] = {"fields", FOCI_SHAPE_AREA, field_columns, LENGTH(field_columns), 0, "id", NULL, NULL},
    [FOCI_LAYER_SURVEYS] = {"surveys", FOCI_SHAPE_NONE, survey_columns, LENGTH(survey_columns), FOCI_HISTORY_COUNTS,
                            "sha256", "field_id", "fields"},
    [FOCI_LAYER_STOPS] = {"stops", FOCI_SHAPE_POINT, stop_columns, LENGTH(stop_columns), 0, NULL, "survey", "surveys"},
    [FOCI_LAYER_ZONES] = {"zones", FOCI_SHAPE_AREA, zone_columns, FOCI_ZONES_CAUTIONS, 0, NULL, "survey", "surveys"},
    [FOCI_LAYER_DIGS] = {"digs", FOCI_SHAPE_POINT, dig_columns, LENGTH(dig_columns), 0, NULL, "survey", "surveys"},
    {0},
};
