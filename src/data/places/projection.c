#include "data/places/projection.h"

#include <geodesic.h>
#include <math.h>
#include <proj.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/longitudes.h"
#include "base/memory.h"

static const double wgs84_radius = 6378137.0, wgs84_flattening = 1 / 298.257223563;

/* ---- reference systems ---- */

static void say_nothing(void *data, int level, const char *message) {
    (void)data, (void)level, (void)message;
}

/* Without its database the library knows no code, and what fails later would be laid at the user's door. */
static bool has_database(PJ_CONTEXT *context, foci_error *err) {
    PJ *known = proj_create(context, "EPSG:4326");
    const char *path = known ? NULL : proj_context_get_database_path(context);
    if (!known)
        foci_fail(err, FOCI_NO_FILE, path ? path : "proj.db", 0,
                  "the map library's database of reference systems cannot be read; install PROJ's data anew, or let "
                  "PROJ_DATA and PROJ_LIB name no other folder");
    proj_destroy(known);
    return known != NULL;
}

static PJ_CONTEXT *new_context(foci_error *err) {
    PJ_CONTEXT *context = proj_context_create();
    if (!context) {
        foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory for a map projection");
        return NULL;
    }
    proj_log_func(context, NULL, say_nothing);
    proj_context_set_enable_network(context, 0); /* whatever the environment says */
    if (has_database(context, err))
        return context;
    proj_context_destroy(context);
    return NULL;
}

/* NULL where the library does not know it as a reference system. */
static PJ *new_crs(PJ_CONTEXT *context, const char *crs, foci_error *err) {
    PJ *made = proj_create(context, crs);
    if (made && !proj_is_crs(made) && strstr(crs, "proj=")) { /* "+proj=utm +zone=17" alone means the bare formulas */
        proj_destroy(made);
        char *typed = foci_format_text(err, "%s +type=crs", crs);
        made = typed ? proj_create(context, typed) : NULL;
        free(typed);
    }
    if (made && !proj_is_crs(made)) {
        proj_destroy(made);
        made = NULL;
    }
    return made;
}

/* Takes `crs`; gives the horizontal system inside a bound or compound one. */
static PJ *horizontal_part(PJ_CONTEXT *context, PJ *crs) {
    for (int depth = 0; crs && depth < 4; depth++) {
        PJ *part = NULL;
        if (proj_get_type(crs) == PJ_TYPE_COMPOUND_CRS)
            part = proj_crs_get_sub_crs(context, crs, 0);
        else if (proj_get_type(crs) == PJ_TYPE_BOUND_CRS)
            part = proj_get_source_crs(context, crs);
        else
            break;
        proj_destroy(crs);
        crs = part;
    }
    return crs;
}

static bool unit_is_metre(PJ_CONTEXT *context, const PJ *crs) {
    PJ *system = proj_crs_get_coordinate_system(context, crs);
    double first = 0, second = 0;
    bool ok = system && proj_cs_get_axis_info(context, system, 0, NULL, NULL, NULL, &first, NULL, NULL, NULL) &&
              proj_cs_get_axis_info(context, system, 1, NULL, NULL, NULL, &second, NULL, NULL, NULL);
    proj_destroy(system);
    return ok && first == 1 && second == 1;
}

static bool is_sphere(PJ_CONTEXT *context, const PJ *crs) {
    PJ *ellipsoid = proj_get_ellipsoid(context, crs);
    double inverse_flattening = NAN;
    bool ok = ellipsoid && proj_ellipsoid_get_parameters(context, ellipsoid, NULL, NULL, NULL, &inverse_flattening);
    proj_destroy(ellipsoid);
    return ok && inverse_flattening == 0;
}

static bool is_web_mercator(PJ_CONTEXT *context, const PJ *crs) {
    PJ *conversion = proj_crs_get_coordoperation(context, crs);
    const char *method = NULL;
    bool found = false;
    if (conversion && proj_coordoperation_get_method_info(context, conversion, &method, NULL, NULL) && method)
        found = strcmp(method, "Popular Visualisation Pseudo Mercator") == 0 ||
                strcmp(method, "Mercator (Spherical)") == 0 ||
                (strncmp(method, "Mercator", 8) == 0 && is_sphere(context, crs));
    proj_destroy(conversion);
    return found;
}

static foci_box area_of_use(PJ_CONTEXT *context, const PJ *crs) {
    foci_box box = {NAN, NAN, NAN, NAN};
    double west = 0, south = 0, east = 0, north = 0;
    if (proj_get_area_of_use(context, crs, &west, &south, &east, &north, NULL) && west > -1000)
        box = (foci_box){west, south, east, north};
    return box;
}

static void describe(foci_crs_facts *facts, PJ_CONTEXT *context, const PJ *crs) {
    const char *name = proj_get_name(crs), *authority = proj_get_id_auth_name(crs, 0), *code = proj_get_id_code(crs, 0);
    PJ_TYPE type = proj_get_type(crs);
    snprintf(facts->name, sizeof facts->name, "%s", name ? name : "");
    if (authority && code)
        snprintf(facts->code, sizeof facts->code, "%s:%s", authority, code);
    facts->geographic = type == PJ_TYPE_GEOGRAPHIC_2D_CRS || type == PJ_TYPE_GEOGRAPHIC_3D_CRS;
    facts->projected = type == PJ_TYPE_PROJECTED_CRS;
    facts->metres = facts->projected && unit_is_metre(context, crs);
    facts->web_mercator = facts->projected && is_web_mercator(context, crs);
    facts->area_of_use = area_of_use(context, crs);
}

static bool unknown_system(const char *crs, const char *option, foci_error *err) {
    return foci_fail(err, FOCI_BAD_SETTING, option, 0,
                     "'%.80s' is not a known coordinate reference system; give a code such as EPSG:32617", crs);
}

bool foci_crs_describe(foci_crs_facts *out, const char *crs, const char *option, foci_error *err) {
    foci_crs_facts facts = {0};
    PJ_CONTEXT *context = new_context(err);
    if (!context)
        return false;
    PJ *made = horizontal_part(context, new_crs(context, crs, err));
    if (made) {
        describe(&facts, context, made);
        *out = facts;
    } else {
        unknown_system(crs, option, err);
    }
    proj_destroy(made);
    proj_context_destroy(context);
    return made != NULL;
}

bool foci_crs_same(const char *a, const char *b) {
    foci_error ignored = {0};
    PJ_CONTEXT *context = new_context(&ignored);
    if (!context)
        return false;
    PJ *first = horizontal_part(context, new_crs(context, a, &ignored));
    PJ *second = horizontal_part(context, new_crs(context, b, &ignored));
    bool same = first && second &&
                proj_is_equivalent_to_with_ctx(context, first, second, PJ_COMP_EQUIVALENT_EXCEPT_AXIS_ORDER_GEOGCRS);
    proj_destroy(first);
    proj_destroy(second);
    proj_context_destroy(context);
    return same;
}

bool foci_utm_code(foci_point lonlat, char code[16], foci_error *err) {
    if (!isfinite(lonlat.x) || !isfinite(lonlat.y) || fabs(lonlat.x) > 360 || lonlat.y > 84 || lonlat.y < -80)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0,
                         "longitude %g, latitude %g lies in no UTM zone (80 S to 84 N); name a system with {work-crs}",
                         lonlat.x, lonlat.y);
    double turned = fmod(lonlat.x + 540, 360); /* 0 at the antimeridian */
    unsigned zone = (unsigned)(turned / 6) % 60 + 1;
    snprintf(code, 16, "EPSG:32%c%02u", lonlat.y < 0 ? '7' : '6', zone);
    return true;
}

/* ---- transformations ---- */

struct foci_projection {
    PJ_CONTEXT *context;
    PJ *operation;
    bool from_degrees, to_degrees;
};

void foci_projection_close(foci_projection *projection) {
    if (!projection)
        return;
    proj_destroy(projection->operation);
    proj_context_destroy(projection->context);
    free(projection);
}

static bool is_geographic(PJ_CONTEXT *context, const PJ *crs) {
    PJ *part = horizontal_part(context, proj_clone(context, crs));
    PJ_TYPE type = part ? proj_get_type(part) : PJ_TYPE_UNKNOWN;
    proj_destroy(part);
    return type == PJ_TYPE_GEOGRAPHIC_2D_CRS || type == PJ_TYPE_GEOGRAPHIC_3D_CRS;
}

bool foci_projection_open(foci_projection **out, const char *from, const char *to, foci_error *err) {
    PJ *source = NULL, *target = NULL, *raw = NULL;
    bool ok = false;
    foci_projection *projection = foci_new_array(1, sizeof *projection, err);
    if (!projection)
        return false;
    projection->context = new_context(err);
    if (!projection->context)
        goto done;
    source = new_crs(projection->context, from, err);
    target = new_crs(projection->context, to, err);
    if (!source || !target) {
        unknown_system(source ? to : from, source ? to : from, err);
        goto done;
    }
    raw = proj_create_crs_to_crs_from_pj(projection->context, source, target, NULL, NULL);
    if (raw)
        projection->operation = proj_normalize_for_visualization(projection->context, raw);
    if (!projection->operation) {
        foci_fail(err, FOCI_BAD_SETTING, to, 0, "no way is known from '%.80s' to '%.80s'", from, to);
        goto done;
    }
    projection->from_degrees = is_geographic(projection->context, source);
    projection->to_degrees = is_geographic(projection->context, target);
    *out = projection;
    projection = NULL;
    ok = true;
done:
    proj_destroy(raw);
    proj_destroy(source);
    proj_destroy(target);
    foci_projection_close(projection);
    return ok;
}

static size_t transform(PJ *operation, PJ_DIRECTION direction, foci_point *points, size_t count) {
    size_t lost = 0;
    for (size_t i = 0; i < count; i++) {
        PJ_COORD place = proj_coord(points[i].x, points[i].y, 0, HUGE_VAL);
        bool ok = isfinite(points[i].x) && isfinite(points[i].y);
        if (ok) {
            proj_errno_reset(operation);
            place = proj_trans(operation, direction, place);
            ok = proj_errno(operation) == 0 && isfinite(place.xy.x) && isfinite(place.xy.y);
        }
        points[i] = ok ? (foci_point){place.xy.x, place.xy.y} : (foci_point){NAN, NAN};
        lost += !ok;
    }
    return lost;
}

size_t foci_projection_forward(const foci_projection *projection, foci_point *points, size_t count) {
    return transform(projection->operation, PJ_FWD, points, count);
}

size_t foci_projection_inverse(const foci_projection *projection, foci_point *points, size_t count) {
    return transform(projection->operation, PJ_INV, points, count);
}

bool foci_projection_shape(foci_multipolygon *out, const foci_projection *projection, bool inverse,
                           const foci_multipolygon *shape, foci_error *err) {
    foci_multipolygon copy = {0};
    if (!foci_multipolygon_copy(&copy, shape, err))
        return false;
    size_t lost = 0;
    for (size_t p = 0; p < copy.count; p++)
        for (size_t r = 0; r < copy.polygons[p].count; r++) {
            foci_ring *ring = &copy.polygons[p].rings[r];
            lost += transform(projection->operation, inverse ? PJ_INV : PJ_FWD, ring->points, ring->count);
        }
    if (lost) {
        foci_multipolygon_free(&copy);
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0,
                         "%zu corners of the shape cannot be brought into the other reference system", lost);
    }
    if ((inverse ? projection->from_degrees : projection->to_degrees) && !foci_longitudes_unwrap(&copy, NULL)) {
        foci_multipolygon_free(&copy);
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "the shape goes around a pole, which cannot be mapped");
    }
    *out = copy;
    return true;
}

bool foci_meridian_convergence(double *degrees, const char *crs, foci_point lonlat, foci_error *err) {
    PJ *east_first = NULL; /* the formulas of the library fail where north comes first */
    bool ok = false;
    PJ_CONTEXT *context = new_context(err);
    if (!context)
        return false;
    PJ *made = horizontal_part(context, new_crs(context, crs, err));
    if (!made) {
        unknown_system(crs, crs, err);
        goto done;
    }
    if (proj_get_type(made) != PJ_TYPE_PROJECTED_CRS) {
        foci_fail(err, FOCI_BAD_SETTING, crs, 0, "not a projected reference system; name one in meters");
        goto done;
    }
    east_first = proj_normalize_for_visualization(context, made);
    if (!east_first) {
        unknown_system(crs, crs, err);
        goto done;
    }
    PJ_FACTORS factors = proj_factors(east_first, proj_coord(proj_torad(lonlat.x), proj_torad(lonlat.y), 0, 0));
    if (proj_errno(east_first) || !isfinite(factors.meridian_convergence)) {
        foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "longitude %g, latitude %g lies outside the reference system", lonlat.x,
                  lonlat.y);
        goto done;
    }
    *degrees = proj_todeg(factors.meridian_convergence);
    ok = true;
done:
    proj_destroy(east_first);
    proj_destroy(made);
    proj_context_destroy(context);
    return ok;
}

/* ---- on the ellipsoid ---- */

static double ring_area(const struct geod_geodesic *earth, const foci_ring *ring) {
    struct geod_polygon polygon;
    geod_polygon_init(&polygon, 0);
    for (size_t i = 0; i < ring->count; i++)
        geod_polygon_addpoint(earth, &polygon, ring->points[i].y, ring->points[i].x);
    double area = 0;
    geod_polygon_compute(earth, &polygon, 0, 1, &area, NULL);
    return fabs(area);
}

double foci_geodesic_area(const foci_multipolygon *lonlat) {
    struct geod_geodesic earth;
    geod_init(&earth, wgs84_radius, wgs84_flattening);
    double sum = 0;
    for (size_t p = 0; p < lonlat->count; p++)
        for (size_t r = 0; r < lonlat->polygons[p].count; r++)
            sum += (r == 0 ? 1 : -1) * ring_area(&earth, &lonlat->polygons[p].rings[r]);
    return sum;
}

double foci_geodesic_distance(foci_point from, foci_point to) {
    struct geod_geodesic earth;
    geod_init(&earth, wgs84_radius, wgs84_flattening);
    double distance = NAN;
    geod_inverse(&earth, from.y, from.x, to.y, to.x, &distance, NULL, NULL);
    return distance;
}

const char *foci_projection_version(void) {
    return proj_info().version;
}
