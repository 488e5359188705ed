#include "data/files/vector_layers.h"

#include <gdal.h>
#include <ogr_api.h>
#include <stdio.h>

static foci_shape_kind kind_of_type(OGRwkbGeometryType type) {
    if (type == wkbNone)
        return FOCI_SHAPE_NONE;
    if (OGR_GT_IsSubClassOf(type, wkbPoint) || OGR_GT_IsSubClassOf(type, wkbMultiPoint))
        return FOCI_SHAPE_POINT;
    if (OGR_GT_IsSurface(type) || OGR_GT_IsSubClassOf(type, wkbMultiSurface))
        return FOCI_SHAPE_AREA;
    if (OGR_GT_IsCurve(type) || OGR_GT_IsSubClassOf(type, wkbMultiCurve))
        return FOCI_SHAPE_LINE;
    return FOCI_SHAPE_OTHER;
}

/* Whether one of its features is of this kind. */
static bool has_one(OGRLayerH layer, foci_shape_kind kind) {
    OGRFeatureH feature = NULL;
    bool found = false;
    OGR_L_ResetReading(layer);
    while (!found && (feature = OGR_L_GetNextFeature(layer)) != NULL) {
        OGRGeometryH shape = OGR_F_GetGeometryRef(feature);
        if (shape) {
            foci_shape_kind own = kind_of_type(wkbFlatten(OGR_G_GetGeometryType(shape)));
            found = (own == FOCI_SHAPE_OTHER ? foci_vector_shape_kind(shape) : own) == kind;
        }
        OGR_F_Destroy(feature);
    }
    OGR_L_ResetReading(layer);
    return found;
}

/* Layers without a type of their own hold shapes of any kind. */
static bool is_of_kind(OGRLayerH layer, foci_shape_kind kind) {
    foci_shape_kind declared = kind_of_type(wkbFlatten(OGR_L_GetGeomType(layer)));
    return declared == FOCI_SHAPE_OTHER ? has_one(layer, kind) : declared == kind;
}

/* Of those with features (`any`, or of one kind): the first, and how many there are, listed with their rows. */
static size_t gather(OGRLayerH *first, GDALDatasetH dataset, bool any, foci_shape_kind kind, char *list, size_t size) {
    size_t found = 0, used = 0;
    list[0] = '\0';
    for (int i = 0; i < GDALDatasetGetLayerCount(dataset); i++) {
        OGRLayerH layer = GDALDatasetGetLayer(dataset, i);
        GIntBig rows = layer ? OGR_L_GetFeatureCount(layer, TRUE) : 0;
        if (rows <= 0 || (!any && !is_of_kind(layer, kind)))
            continue;
        if (found++ == 0)
            *first = layer;
        if (used < size)
            used += (size_t)snprintf(list + used, size - used, "%s\"%s\" (%lld rows)", used ? ", " : "",
                                     OGR_L_GetName(layer), (long long)rows);
    }
    return found;
}

static bool no_such_layer(GDALDatasetH dataset, const char *file, const char *name, foci_error *err) {
    char list[300];
    OGRLayerH first = NULL;
    size_t found = gather(&first, dataset, true, FOCI_SHAPE_NONE, list, sizeof list);
    return foci_fail(err, FOCI_BAD_INPUT, file, 0, "has no layer '%.100s'; those with features are: %s", name,
                     found ? list : "none");
}

/* `first` is NULL where there is none. */
static bool choose_of_kind(OGRLayerH *first, GDALDatasetH dataset, const char *file, const foci_layer_choice *choice,
                           foci_error *err) {
    char list[300];
    size_t found = gather(first, dataset, false, choice->kind, list, sizeof list);
    const char *what = choice->kind == FOCI_SHAPE_AREA ? "layers of polygons" : "layers of points";
    if (found == 0 && choice->kind == FOCI_SHAPE_POINT) {
        found = gather(first, dataset, false, FOCI_SHAPE_NONE, list, sizeof list);
        what = "tables";
    }
    if (found == 0 && choice->kind == FOCI_SHAPE_AREA) {
        found = gather(first, dataset, false, FOCI_SHAPE_LINE, list, sizeof list);
        what = "layers of lines";
    }
    return found <= 1 ||
           foci_fail(err, FOCI_BAD_INPUT, file, 0, "has %zu %s: %s; %s", found, what, list, choice->remedy);
}

bool foci_vector_layer_choose(void **layer, void *dataset, const char *file, const foci_layer_choice *choice,
                              foci_error *err) {
    OGRLayerH found = NULL;
    char list[300];
    int count = GDALDatasetGetLayerCount(dataset);
    if (choice->name) {
        found = GDALDatasetGetLayerByName(dataset, choice->name);
        *layer = found;
        return found || no_such_layer(dataset, file, choice->name, err);
    }
    if (count > 1 && choice->kind != FOCI_SHAPE_NONE && !choose_of_kind(&found, dataset, file, choice, err))
        return false;
    if (!found && gather(&found, dataset, true, FOCI_SHAPE_NONE, list, sizeof list) == 0)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, count > 0 ? "holds no features" : "holds no layer");
    *layer = found;
    return true;
}
