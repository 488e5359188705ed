#include "support/support.h"

#include <unistd.h>

#include "data/files/crs_text.h"

static void test_codes_and_definitions(void **state) {
    (void)state;
    static const char *const fine[] = {
        "",
        "EPSG:4326",
        "ESRI:102003",
        "urn:ogc:def:crs:OGC:1.3:CRS84",
        "urn:ogc:def:crs:EPSG::26915",
        "http://www.opengis.net/def/crs/EPSG/0/4326",
        "WGS 84 / UTM zone 15N",
        "+proj=utm +zone=15 +datum=WGS84 +units=m +no_defs",
        /* EPSG:3857 as PROJ strings and WKT 1 have it */
        "+proj=merc +a=6378137 +b=6378137 +units=m +nadgrids=@null +wktext +no_defs",
        "PROJCS[\"WGS 84 / Pseudo-Mercator\",EXTENSION[\"PROJ4\",\"+proj=merc +nadgrids=@null +no_defs\"]]",
        "GEOGCS[\"Unknown\",EXTENSION[\"PROJ4_GRIDS\",\"@null\"]]",
        "GEOGCRS[\"WGS 84\",REMARK[\"see https://example.org/wgs84\"]]",
    };
    static const char *const away[] = {
        "+proj=longlat +ellps=clrk66 +nadgrids=/nowhere/fifo +no_defs",
        "+proj=longlat +ellps=clrk66 +nadgrids=@null,secret.gsb",
        "+proj=utm +zone=15 +geoidgrids=egm96_15.gtx",
        "+init=/nowhere/initf:1",
        "init=epsg:26915",
        "+proj=tinshift +file=/etc/shadow",
        "+proj=defmodel +model=model.json",
        "GEOGCS[\"Unknown\",EXTENSION[\"PROJ4_GRIDS\",\"/nowhere/fifo\"]]",
        "BOUNDCRS[SOURCECRS[x],PARAMETERFILE[\"Latitude and longitude difference file\",\"a.gsb\"]]",
        "http://127.0.0.1:8931/x",
        "https://www.opengis.net.example.org/def/crs/EPSG/0/4326",
        "/vsicurl/http://127.0.0.1/x.prj",
        " ./x.prj",
        "{\"type\": \"GeographicCRS\"}",
    };
    foci_error err = {0};
    for (size_t i = 0; i < sizeof fine / sizeof *fine; i++)
        assert_done(foci_crs_text_check(fine[i], "field.prj", &err), err);
    for (size_t i = 0; i < sizeof away / sizeof *away; i++) {
        if (!foci_crs_text_leads_away(away[i]))
            print_error("let through: %s\n", away[i]);
        assert_fails(foci_crs_text_check(away[i], "field.prj", &err), err, FOCI_BAD_INPUT, "WGS84");
        assert_string_equal(err.source, "field.prj");
    }
}

static bool check_text(const char *text, foci_error *err) {
    char path[] = "/tmp/fieldfoci-crs-XXXXXX";
    int handle = mkstemp(path);
    assert_true(handle >= 0);
    assert_int_equal(write(handle, text, strlen(text)), (long)strlen(text));
    close(handle);
    bool ok = foci_crs_text_check_geojson(path, err);
    unlink(path);
    return ok;
}

static void test_geojson(void **state) {
    (void)state;
    static const char *const fine[] = {
        "{\"type\": \"Point\", \"coordinates\": [1e3, -2.5]}",
        "\xEF\xBB\xBF{\"crs\": null, \"note\": \"+init=/x:1\", \"a/b\": {\"crs \": \"/x\"}}",
        "{\"crs\": {\"type\": \"name\", \"properties\": {\"name\": \"EPSG:4326\"}}, \"note\": \"/x \\\" /y\"}",
        "{\"crs\": 7, \"name\": \"/x\"}\n\x1E{\"name\": \"\\u002Fx\\\\\"}\n",
        "{\"name\": \"crs\", \"next\": \"/x\", \"list\": [\"crs\", \"/x\"]}",
    };
    static const char *const away[] = {
        "{\"crs\": \"/x\"}",
        "{\"crs\": {\"type\": \"link\", \"properties\": {\"href\": \"http://127.0.0.1:8931/x\"}}}",
        "{\"CRS\" : {\"properties\": [1, {\"name\": \"+init=/x:1\"}]}}",
        "{\"\\u0063r\\u0073\": {\"name\": \"\\u002binit=/x:1\"}}",
        "{\"geometry\": {\"type\": \"Point\", \"crs\": {\"properties\": {\"name\": \"+proj=utm +nadgrids=x\"}}}}",
        "{\"crs\": {\"a\": {}, \"b\": [], \"name\": \"\\/x\"}}",
    };
    static const char *const broken[] = {
        "{'crs': '/x'}", "{/* */ \"crs\": null}", "{\"crs\": \"EPSG:", "}", "load({})",
    };
    foci_error err = {0};
    for (size_t i = 0; i < sizeof fine / sizeof *fine; i++)
        assert_done(check_text(fine[i], &err), err);
    for (size_t i = 0; i < sizeof away / sizeof *away; i++)
        assert_fails(check_text(away[i], &err), err, FOCI_BAD_INPUT, "leads to another file or address");
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++)
        assert_fails(check_text(broken[i], &err), err, FOCI_BAD_INPUT, "not valid JSON");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_codes_and_definitions),
        cmocka_unit_test(test_geojson),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
