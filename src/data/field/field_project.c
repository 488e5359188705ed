#include "fieldfoci/field.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "data/places/area_of_use.h"
#include "data/places/projection.h"

#define WGS84 "EPSG:4326"
#define WORK_SIZE 256

/* ---- where the work is done ---- */

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Of the longitudes (`axis` 0) or latitudes (1): the upper middle one, so that a stray stop moves nothing. */
static double middle(const foci_stops *stops, int axis, double *workspace) {
    size_t count = 0;
    for (size_t i = 0; i < stops->count; i++) {
        foci_point place = stops->items[i].lonlat;
        if (isfinite(place.x) && isfinite(place.y))
            workspace[count++] = axis ? place.y : place.x;
    }
    qsort(workspace, count, sizeof *workspace, by_size);
    return count ? workspace[count / 2] : NAN;
}

static bool centre_of_stops(foci_point *centre, const foci_stops *stops, foci_error *err) {
    double *workspace = foci_new_array(stops->count, sizeof *workspace, err);
    if (!workspace)
        return false;
    *centre = (foci_point){middle(stops, 0, workspace), middle(stops, 1, workspace)};
    free(workspace);
    const char *file = stops->input_count == 1 ? stops->inputs[0].file : NULL;
    if (isnan(centre->x))
        return foci_fail(err, FOCI_BAD_INPUT, file, 0, "no stop has a place; fill in the coordinates");
    if (fabs(centre->y) > 90 || fabs(centre->x) > 360)
        return foci_fail(
            err, FOCI_BAD_INPUT, file, 0,
            "longitude %g, latitude %g is nowhere on earth; swap the coordinate columns, name them with {xy} "
            "XCOLUMN,YCOLUMN, or say with {crs} what they are",
            centre->x, centre->y);
    return true;
}

/* Metres on the ground, and a name short enough to be kept. */
static bool may_work_in(const char *work_crs, const foci_crs_facts *facts, foci_error *err) {
    const char *remedy = "name a projected system in meters, such as a UTM zone (EPSG:32617)";
    if (strlen(work_crs) >= WORK_SIZE)
        return foci_fail(err, FOCI_BAD_SETTING, "{work-crs}", 0, "is longer than %d letters; give a code",
                         WORK_SIZE - 1);
    if (facts->web_mercator)
        return foci_fail(err, FOCI_BAD_SETTING, "{work-crs}", 0,
                         "%s stretches distances and areas away from the equator; %s", facts->name, remedy);
    if (!facts->projected)
        return foci_fail(err, FOCI_BAD_SETTING, "{work-crs}", 0, "%s is no projected system; %s", facts->name, remedy);
    if (!facts->metres)
        return foci_fail(err, FOCI_BAD_SETTING, "{work-crs}", 0, "%s is not in meters; %s", facts->name, remedy);
    return true;
}

static bool take_work_crs(char work[WORK_SIZE], const char *work_crs, foci_point centre, foci_findings *findings,
                          foci_error *err) {
    foci_crs_facts facts = {0};
    if (!foci_crs_describe(&facts, work_crs, "{work-crs}", err) || !may_work_in(work_crs, &facts, err))
        return false;
    snprintf(work, WORK_SIZE, "%s", work_crs);
    if (foci_area_of_use_holds(&facts.area_of_use, centre))
        return true;
    return foci_findings_add(findings, "work system", FOCI_WARNING, NULL, NULL, 0, err,
                             "The field (longitude %.4f, latitude %.4f) lies outside the area of use of %s: distances "
                             "and areas may be wrong there.",
                             centre.x, centre.y, facts.name);
}

static bool choose_work(char work[WORK_SIZE], const foci_field *field, const foci_stops *stops, const char *work_crs,
                        foci_findings *findings, foci_error *err) {
    foci_point centre = {NAN, NAN};
    if (field)
        centre = field->centre;
    else if (!centre_of_stops(&centre, stops, err))
        return false;
    if (work_crs)
        return take_work_crs(work, work_crs, centre, findings, err);
    return foci_utm_code(centre, work, err);
}

/* ---- into it ---- */

/* Where the stops go; those of a file that is in the work system already keep their coordinates. */
static bool place_stops(foci_point *places, const foci_stops *stops, const foci_projection *projection,
                        const char *work, foci_error *err) {
    bool *same = foci_new_array(stops->input_count, sizeof *same, err);
    if (!same)
        return false;
    for (size_t i = 0; i < stops->input_count; i++)
        same[i] = foci_crs_same(stops->inputs[i].crs, work);
    for (size_t i = 0; i < stops->count; i++)
        places[i] = stops->items[i].lonlat;
    foci_projection_forward(projection, places, stops->count);
    for (size_t i = 0; i < stops->count; i++)
        if (same[stops->items[i].input])
            places[i] = stops->items[i].own;
    free(same);
    return true;
}

bool foci_field_project(foci_field *field, foci_stops *stops, const char *work_crs, char *work, foci_findings *findings,
                        foci_error *err) {
    foci_projection *projection = NULL;
    foci_multipolygon shape = {0};
    foci_point *places = NULL;
    char chosen[WORK_SIZE] = "";
    bool ok = false;
    if (!choose_work(chosen, field, stops, work_crs, findings, err) ||
        !foci_projection_open(&projection, WGS84, chosen, err))
        goto done;
    places = foci_new_array(stops->count, sizeof *places, err);
    if (!places || !place_stops(places, stops, projection, chosen, err) ||
        (field && !foci_projection_shape(&shape, projection, false, &field->lonlat, err)))
        goto done;
    for (size_t i = 0; i < stops->count; i++)
        stops->items[i].place = places[i];
    memcpy(work, chosen, sizeof chosen);
    if (field) {
        foci_multipolygon_free(&field->shape);
        field->shape = shape;
        shape = (foci_multipolygon){0};
        memcpy(field->work_crs, chosen, sizeof chosen);
    }
    ok = true;
done:
    free(places);
    foci_multipolygon_free(&shape);
    foci_projection_close(projection);
    return ok;
}
