#include "keep/history_tables.h"

#define LENGTH(array) (sizeof(array) / sizeof *(array))

/* A boundary that was drawn anew is a row of its own, so that each survey keeps the one it was made with. */
static const foci_column field_columns[] = {
    {"id", FOCI_COLUMN_TEXT}, {"name", FOCI_COLUMN_TEXT}, {"area_ha", FOCI_COLUMN_NUMBER}};

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
    {"survey", FOCI_COLUMN_TEXT},     {"number", FOCI_COLUMN_WHOLE},   {"stop", FOCI_COLUMN_TEXT},
    {"hits", FOCI_COLUMN_NUMBER},     {"checked", FOCI_COLUMN_NUMBER}, {"value", FOCI_COLUMN_NUMBER},
    {"date", FOCI_COLUMN_TEXT},       {"used", FOCI_COLUMN_TEXT},      {"why", FOCI_COLUMN_TEXT},
    {"estimate", FOCI_COLUMN_NUMBER}, {"chance", FOCI_COLUMN_NUMBER},  {"east", FOCI_COLUMN_NUMBER},
    {"north", FOCI_COLUMN_NUMBER},
};

static const foci_column zone_columns[] = {{"survey", FOCI_COLUMN_TEXT},
                                           {"zone", FOCI_COLUMN_TEXT},
                                           {"area_ha", FOCI_COLUMN_NUMBER},
                                           {"chance", FOCI_COLUMN_NUMBER},
                                           {"severity", FOCI_COLUMN_NUMBER}};

static const foci_column dig_columns[] = {{"survey", FOCI_COLUMN_TEXT},   {"id", FOCI_COLUMN_WHOLE},
                                          {"visit", FOCI_COLUMN_WHOLE},   {"name", FOCI_COLUMN_TEXT},
                                          {"chance", FOCI_COLUMN_NUMBER}, {"why", FOCI_COLUMN_TEXT}};

const char *const foci_history_row_counts[] = {
    [FOCI_HISTORY_STOPS] = "stop_rows", [FOCI_HISTORY_ZONES] = "zone_rows", [FOCI_HISTORY_DIGS] = "dig_rows"};

const foci_database_table foci_history_tables[] = {
    [FOCI_HISTORY_FIELDS] = {"fields", FOCI_SHAPE_AREA, field_columns, LENGTH(field_columns), 0, "id", NULL, NULL},
    [FOCI_HISTORY_SURVEYS] = {"surveys", FOCI_SHAPE_NONE, survey_columns, LENGTH(survey_columns), FOCI_HISTORY_COUNTS,
                              "sha256", "field_id", "fields"},
    [FOCI_HISTORY_STOPS] = {"stops", FOCI_SHAPE_POINT, stop_columns, LENGTH(stop_columns), 0, NULL, "survey",
                            "surveys"},
    [FOCI_HISTORY_ZONES] = {"zones", FOCI_SHAPE_AREA, zone_columns, LENGTH(zone_columns), 0, NULL, "survey", "surveys"},
    [FOCI_HISTORY_DIGS] = {"digs", FOCI_SHAPE_POINT, dig_columns, LENGTH(dig_columns), 0, NULL, "survey", "surveys"},
    {0},
};
