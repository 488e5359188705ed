#include "fieldfoci/surface.h"

#include <math.h>

foci_surface_options foci_surface_options_make(void) {
    return (foci_surface_options){.area = NAN,
                                  .row_heading = NAN,
                                  .most = INFINITY,
                                  .threshold = NAN,
                                  .fit = foci_fit_method_find("restricted-likelihood"),
                                  .power = 2};
}
