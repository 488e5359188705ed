#include "base/longitudes.h"

#include <math.h>

double foci_longitude_near(double longitude, double reference, double most) {
    double turned = longitude - 360 * round((longitude - reference) / 360);
    return fabs(turned - reference) <= most ? turned : longitude;
}

/* False where the way round does not come back to where it began. */
static bool unwrap_ring(foci_ring *ring, double reference, bool *moved) {
    for (size_t i = 0; i < ring->count; i++) {
        double turned = foci_longitude_near(ring->points[i].x, reference, 180);
        *moved = *moved || turned != ring->points[i].x;
        reference = ring->points[i].x = turned;
    }
    return ring->count == 0 || fabs(reference - ring->points[0].x) <= 180;
}

static void shift(foci_multipolygon *lonlat, double degrees) {
    for (size_t p = 0; p < lonlat->count; p++)
        for (size_t r = 0; r < lonlat->polygons[p].count; r++)
            for (size_t i = 0; i < lonlat->polygons[p].rings[r].count; i++)
                lonlat->polygons[p].rings[r].points[i].x += degrees;
}

bool foci_longitudes_unwrap(foci_multipolygon *lonlat, bool *moved) {
    double reference = NAN;
    bool any = false;
    for (size_t p = 0; p < lonlat->count; p++)
        for (size_t r = 0; r < lonlat->polygons[p].count; r++) {
            foci_ring *ring = &lonlat->polygons[p].rings[r];
            if (isnan(reference) && ring->count > 0)
                reference = ring->points[0].x;
            if (!unwrap_ring(ring, reference, &any))
                return false;
        }
    const foci_box box = foci_multipolygon_box(lonlat);
    const double turns = floor(((box.west + box.east) / 2 + 180) / 360);
    if (isfinite(turns) && turns != 0) {
        shift(lonlat, -360 * turns);
        any = true;
    }
    if (moved)
        *moved = any;
    return true;
}
