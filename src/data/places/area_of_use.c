#include "data/places/area_of_use.h"

#include <math.h>

static const double slack = 0.5; /* degrees */

bool foci_area_of_use_holds(const foci_box *area, foci_point lonlat) {
    if (isnan(area->west))
        return true;
    bool from_west = lonlat.x >= area->west - slack, from_east = lonlat.x <= area->east + slack;
    bool across = area->west > area->east;
    return lonlat.y >= area->south - slack && lonlat.y <= area->north + slack &&
           (across ? from_west || from_east : from_west && from_east);
}
