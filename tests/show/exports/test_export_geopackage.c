#include <gdal.h>
#include <ogr_api.h>

#include "data/files/vector_file.h"
#include "show/exports/export_round.h"

static OGRLayerH layer_named(GDALDatasetH file, const char *name, const char *const *columns) {
    OGRLayerH layer = GDALDatasetGetLayerByName(file, name);
    assert_non_null(layer);
    OGRFeatureDefnH definition = OGR_L_GetLayerDefn(layer);
    int count = 0;
    for (; columns[count]; count++)
        assert_string_equal(OGR_Fld_GetNameRef(OGR_FD_GetFieldDefn(definition, count)), columns[count]);
    assert_int_equal(OGR_FD_GetFieldCount(definition), count);
    return layer;
}

static GDALDatasetH open_geopackage(void) {
    GDALAllRegister();
    GDALDatasetH file = GDALOpenEx(path_of("survey.gpkg"), GDAL_OF_VECTOR, NULL, NULL, NULL);
    assert_non_null(file);
    return file;
}

static double number(OGRFeatureH feature, const char *column) {
    int field = OGR_F_GetFieldIndex(feature, column);
    assert_true(field >= 0);
    return OGR_F_IsFieldSetAndNotNull(feature, field) ? OGR_F_GetFieldAsDouble(feature, field) : NAN;
}

static const char *word(OGRFeatureH feature, const char *column) {
    int field = OGR_F_GetFieldIndex(feature, column);
    assert_true(field >= 0);
    return OGR_F_IsFieldSetAndNotNull(feature, field) ? OGR_F_GetFieldAsString(feature, field) : "(blank)";
}

static void assert_stop(OGRLayerH layer, const char *name, const char *used, const char *why, double estimate,
                        double chance) {
    OGRFeatureH feature = OGR_L_GetNextFeature(layer);
    assert_non_null(feature);
    assert_string_equal(word(feature, "stop"), name);
    assert_string_equal(word(feature, "used"), used);
    assert_string_equal(word(feature, "why"), why);
    assert_near(number(feature, "estimate"), estimate, 1e-12);
    assert_near(number(feature, "chance"), chance, 1e-12);
    OGR_F_Destroy(feature);
}

static void test_stops_of_counts(void **unused) {
    (void)unused;
    static const char *const columns[] = {"stop",     "hits",   "checked", "date",  "used", "why",
                                          "estimate", "chance", "east",    "north", NULL};
    foci_survey round = make_round(FOCI_READING_COUNT);
    round.stops.items[1].own = round.stops.items[1].place; /* came in the work system */
    write_file(&round, "survey.gpkg");
    GDALDatasetH file = open_geopackage();
    OGRLayerH layer = layer_named(file, "stops", columns);
    assert_int_equal(OGR_L_GetFeatureCount(layer, 1), 5);
    assert_stop(layer, "A1", "yes", "(blank)", 14.785, 0.72);
    assert_stop(layer, "A2", "no", "no reading", 11.385, 0.55);
    assert_stop(layer, "A3", "no", "outside the field", NAN, NAN);
    assert_stop(layer, "A4", "no", "no place", NAN, NAN);
    assert_stop(layer, "A5", "yes", "pooled", 14.785, 0.72);

    OGR_L_ResetReading(layer);
    OGRFeatureH first = OGR_L_GetNextFeature(layer), second = OGR_L_GetNextFeature(layer);
    assert_near(number(first, "hits"), 7, 0);
    assert_near(number(first, "checked"), 20, 0);
    assert_string_equal(word(first, "date"), "2025-08-12");
    assert_near(OGR_G_GetX(OGR_F_GetGeometryRef(first), 0), -80.8583, 1e-12);
    assert_near(OGR_G_GetY(OGR_F_GetGeometryRef(first), 0), 37.9981, 1e-12);
    assert_near(number(second, "hits"), NAN, 0);
    assert_string_equal(word(second, "date"), "(blank)");
    assert_near(number(first, "east"), NAN, 0);
    assert_near(number(first, "north"), NAN, 0);
    assert_near(number(second, "east"), round.stops.items[1].place.x, 0);
    assert_near(number(second, "north"), round.stops.items[1].place.y, 0);
    OGR_F_Destroy(first);
    OGR_F_Destroy(second);
    OGRFeatureH fourth = OGR_L_GetFeature(layer, 4);
    assert_null(OGR_F_GetGeometryRef(fourth));
    assert_near(number(fourth, "hits"), 3.5, 0);
    OGR_F_Destroy(fourth);
    GDALClose(file);
    foci_survey_free(&round);
}

static void test_stops_of_scores(void **unused) {
    (void)unused;
    static const char *const columns[] = {"stop",     "value",  "date", "used",  "why",
                                          "estimate", "chance", "east", "north", NULL};
    foci_survey round = make_round(FOCI_READING_VALUE);
    free(round.surface.chance);
    round.surface.chance = NULL;
    write_file(&round, "survey.gpkg");
    GDALDatasetH file = open_geopackage();
    OGRLayerH layer = layer_named(file, "stops", columns);
    OGRFeatureH first = OGR_L_GetNextFeature(layer);
    assert_near(number(first, "value"), 35, 0);
    assert_near(number(first, "estimate"), 14.785, 1e-12);
    assert_near(number(first, "chance"), NAN, 0);
    OGR_F_Destroy(first);
    GDALClose(file);
    foci_survey_free(&round);
}

/* Through the project's own reader, which takes the first layer: the boundary must come back to the last digit. */
static void test_field_comes_back(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_table table = {0};
    foci_survey round = make_round(FOCI_READING_COUNT);
    write_file(&round, "survey.gpkg");
    assert_done(foci_table_read(&table, path_of("survey.gpkg"), NULL, &err), err);
    assert_string_equal(table.layer, "field");
    assert_int_equal(table.row_count, 1);
    assert_int_equal(table.column_count, 2);
    assert_string_equal(table.columns[0], "name");
    assert_string_equal(table.columns[1], "area_ha");
    assert_string_equal(table.cells[0].text, "Long acre");
    assert_near(table.cells[1].number, round.field.area_ha, 1e-12);
    assert_true(foci_crs_same(table.crs, "EPSG:4326"));
    assert_int_equal(table.shapes[0].area.polygons[0].count, 2);
    assert_near(foci_multipolygon_area(&table.shapes[0].area), foci_multipolygon_area(&round.field.lonlat), 0);
    foci_table_free(&table);
    foci_survey_free(&round);
}

static foci_multipolygon shape_of(OGRFeatureH feature) {
    foci_error err = {0};
    OGRGeometryH area = OGR_F_GetGeometryRef(feature);
    foci_multipolygon shape = {0};
    assert_non_null(area);
    shape.count = (size_t)OGR_G_GetGeometryCount(area);
    shape.polygons = foci_new_array(shape.count, sizeof *shape.polygons, &err);
    for (size_t p = 0; p < shape.count; p++) {
        OGRGeometryH polygon = OGR_G_GetGeometryRef(area, (int)p);
        foci_polygon *to = &shape.polygons[p];
        to->count = (size_t)OGR_G_GetGeometryCount(polygon);
        to->rings = foci_new_array(to->count, sizeof *to->rings, &err);
        for (size_t r = 0; r < to->count; r++) {
            OGRGeometryH ring = OGR_G_GetGeometryRef(polygon, (int)r);
            to->rings[r].count = (size_t)OGR_G_GetPointCount(ring) - 1; /* the file repeats the first point */
            to->rings[r].points = foci_new_array(to->rings[r].count, sizeof(foci_point), &err);
            for (size_t i = 0; i < to->rings[r].count; i++)
                to->rings[r].points[i] = (foci_point){OGR_G_GetX(ring, (int)i), OGR_G_GetY(ring, (int)i)};
        }
    }
    return shape;
}

static void test_hotspots_and_zones_come_back(void **unused) {
    (void)unused;
    static const char *const hotspot_columns[] = {"id",   "area_ha", "peak",     "mean",      "chance", "stops",
                                                  "over", "along_m", "across_m", "supported", NULL};
    static const char *const zone_columns[] = {"zone", "area_ha", "chance", "severity", "cautions", NULL};
    static const char *const zone_order[] = {"treat", "dig", "leave"};
    foci_survey round = make_round(FOCI_READING_COUNT);
    foci_error err = {0};
    assert_done(foci_sentences_add(&round.cautions, &err, "The label is the law.") &&
                    foci_sentences_add(&round.cautions, &err, "Keep setbacks."),
                err);
    write_file(&round, "survey.gpkg");
    GDALDatasetH file = open_geopackage();
    OGRLayerH layer = layer_named(file, "hotspots", hotspot_columns);
    assert_int_equal(OGR_L_GetFeatureCount(layer, 1), 3);
    for (size_t i = 0; i < 3; i++) {
        const foci_hotspot *spot = &round.hotspots.items[i];
        OGRFeatureH feature = OGR_L_GetNextFeature(layer);
        foci_multipolygon shape = shape_of(feature);
        assert_near(number(feature, "id"), spot->id, 0);
        assert_near(number(feature, "area_ha"), spot->area_ha, 0);
        assert_near(number(feature, "peak"), spot->peak, 0);
        assert_near(number(feature, "mean"), spot->mean, 0);
        assert_near(number(feature, "chance"), spot->chance, 0);
        assert_near(number(feature, "stops"), (double)spot->stops, 0);
        assert_near(foci_geodesic_area(&shape) / 1e4, spot->area_ha, 1e-12);
        foci_multipolygon_free(&shape);
        OGR_F_Destroy(feature);
    }
    layer = layer_named(file, "zones", zone_columns);
    assert_int_equal(OGR_L_GetFeatureCount(layer, 1), 3);
    for (int i = 0; i < 3; i++) {
        const foci_zone *zone = &round.zones.items[2 - i];
        OGRFeatureH feature = OGR_L_GetNextFeature(layer);
        foci_multipolygon shape = shape_of(feature);
        assert_string_equal(word(feature, "zone"), zone_order[i]);
        assert_string_equal(word(feature, "cautions"), "The label is the law.\nKeep setbacks.");
        assert_near(number(feature, "area_ha"), zone->area_ha, 0);
        assert_near(number(feature, "chance"), zone->chance, 0);
        assert_near(number(feature, "severity"), zone->severity, 0);
        assert_near(foci_geodesic_area(&shape) / 1e4, zone->area_ha, 1e-12);
        foci_multipolygon_free(&shape);
        OGR_F_Destroy(feature);
    }
    GDALClose(file);
    foci_survey_free(&round);
}

static void test_digs_come_back(void **unused) {
    (void)unused;
    static const char *const columns[] = {"id", "visit", "chance", "why", "name", NULL};
    foci_survey round = make_round(FOCI_READING_COUNT);
    write_file(&round, "survey.gpkg");
    GDALDatasetH file = open_geopackage();
    OGRLayerH layer = layer_named(file, "digs", columns);
    assert_int_equal(OGR_L_GetFeatureCount(layer, 1), 2);
    for (size_t i = 0; i < 2; i++) {
        const foci_dig_point *dig = &round.digs.items[i];
        OGRFeatureH feature = OGR_L_GetNextFeature(layer);
        assert_non_null(feature);
        assert_int_equal(OGR_F_GetFieldAsInteger(feature, 0), dig->id);
        assert_int_equal(OGR_F_GetFieldAsInteger(feature, 1), dig->visit);
        assert_near(OGR_F_GetFieldAsDouble(feature, 2), dig->chance, 0);
        assert_string_equal(OGR_F_GetFieldAsString(feature, 3), foci_dig_why_name(dig->why));
        assert_string_equal(OGR_F_GetFieldAsString(feature, 4), dig->name);
        assert_near(OGR_G_GetX(OGR_F_GetGeometryRef(feature), 0), dig->lonlat.x, 0);
        OGR_F_Destroy(feature);
    }
    GDALClose(file);
    foci_survey_free(&round);
}

/* The layers are there all the same, so that a project that shows them opens. */
static void test_nothing_found_leaves_empty_layers(void **unused) {
    (void)unused;
    foci_survey round = make_round(FOCI_READING_COUNT);
    foci_hotspots_free(&round.hotspots);
    foci_zones_free(&round.zones);
    round.has_zones = false;
    write_file(&round, "survey.gpkg");
    GDALDatasetH file = open_geopackage();
    assert_int_equal(GDALDatasetGetLayerCount(file), 6); /* with the styles */
    assert_int_equal(OGR_L_GetFeatureCount(GDALDatasetGetLayerByName(file, "hotspots"), 1), 0);
    assert_int_equal(OGR_L_GetFeatureCount(GDALDatasetGetLayerByName(file, "zones"), 1), 0);
    assert_int_equal(OGR_L_GetFeatureCount(GDALDatasetGetLayerByName(file, "field"), 1), 1);
    GDALClose(file);
    foci_survey_free(&round);
}

static void test_an_absent_zone_is_left_out(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_survey round = make_round(FOCI_READING_COUNT);
    foci_hotspots_free(&round.hotspots);
    foci_zones_free(&round.zones);
    round.hotspots_options.treat_chance = 0.95;
    assert_done(foci_hotspots_find(&round.hotspots, &round.surface, &round.grid, &round.field, &round.readings,
                                   &round.hotspots_options, &err),
                err);
    assert_done(foci_zones_draw(&round.zones, &round.hotspots, &round.surface, &round.grid, &round.field,
                                &round.hotspots_options, &round.zones_options, &err),
                err);
    write_file(&round, "survey.gpkg");
    GDALDatasetH file = open_geopackage();
    OGRLayerH layer = GDALDatasetGetLayerByName(file, "zones");
    assert_int_equal(OGR_L_GetFeatureCount(layer, 1), 2);
    OGRFeatureH feature = OGR_L_GetNextFeature(layer);
    assert_string_equal(word(feature, "zone"), "dig");
    OGR_F_Destroy(feature);
    GDALClose(file);
    foci_survey_free(&round);
}

static void test_geopackage_says_where_it_comes_from(void **unused) {
    (void)unused;
    foci_survey round = make_round(FOCI_READING_COUNT);
    write_file(&round, "survey.gpkg");
    GDALDatasetH file = open_geopackage();
    assert_string_equal(GDALGetMetadataItem(file, "program", NULL), "fieldfoci " FOCI_VERSION);
    assert_string_equal(GDALGetMetadataItem(file, "made", NULL), "2025-06-15T15:06:40Z");
    assert_string_equal(GDALGetMetadataItem(file, "season", NULL), "2025");
    assert_string_equal(GDALGetMetadataItem(file, "threshold", NULL), "10.385");
    assert_string_equal(GDALGetMetadataItem(file, "unit", NULL), "percent of units infected");
    GDALClose(file);
    foci_survey_free(&round);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_stops_of_counts),
        cmocka_unit_test(test_stops_of_scores),
        cmocka_unit_test(test_field_comes_back),
        cmocka_unit_test(test_hotspots_and_zones_come_back),
        cmocka_unit_test(test_digs_come_back),
        cmocka_unit_test(test_nothing_found_leaves_empty_layers),
        cmocka_unit_test(test_an_absent_zone_is_left_out),
        cmocka_unit_test(test_geopackage_says_where_it_comes_from),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
