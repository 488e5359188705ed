/* Zones: the field cut into what to treat, where to dig and look first, and what to leave. */
#ifndef FIELDFOCI_ZONES_H
#define FIELDFOCI_ZONES_H

#include "fieldfoci/hotspots.h"

typedef enum { FOCI_ZONE_LEAVE, FOCI_ZONE_DIG, FOCI_ZONE_TREAT, FOCI_ZONE_END } foci_zone_code;

/* "leave", "dig", "treat". */
FOCI_API const char *foci_zone_name(foci_zone_code code);

typedef struct {
    foci_zone_code code;
    size_t parts;             /* connected parts */
    double area_ha;           /* geodesic */
    double chance, severity;  /* area-weighted means; chance NaN without chances */
    foci_multipolygon lonlat; /* WGS84; together the zones cover the field without gap or overlap */
    foci_multipolygon shape;  /* meters */
} foci_zone;

/* What driving in lanes does to the treat zone, against each cell decided by itself. Areas in hectares on the ground,
 * infected ones times severity (hectares x reading's unit). All zero without lanes. */
typedef struct {
    size_t lanes;                 /* lanes that meet the field */
    size_t runs;                  /* treated stretches */
    size_t switches;              /* changes on or off within the lanes */
    size_t unheld;                /* the same if every step of a lane went by its own value */
    double wanted_ha, treated_ha; /* treat area cell by cell, and in lanes */
    double missed_ha, extra_ha;   /* wanted but not treated, treated but not wanted */
    double wanted, missed, extra; /* the same as infected areas */
} foci_zones_lanes;

typedef struct {
    foci_zone items[FOCI_ZONE_END]; /* by code; an absent one has no polygon and area 0 */
    signed char *code;              /* per cell (with lanes: at its center), -1 outside the field; owned */
    foci_zones_lanes lanes;
} foci_zones;

typedef struct {
    double dig_chance;       /* below treat_chance and at least this: dig */
    double margin;           /* meters by which hotspots are widened for position error */
    double swath;            /* width of a lane, meters; 0: no lanes, zones are made of cells */
    double least_run;        /* shortest stretch of a lane in one zone, meters; 0: one step */
    double row_heading;      /* of the lanes, degrees clockwise from grid north; NaN: north */
    bool has_lane_through;   /* else the first lane's left side lies on the field's leftmost corner */
    foci_point lane_through; /* on the middle of one lane; meters, work system */
} foci_zones_options;

/* Dig from a chance of 0.2, no margin, no lanes. */
FOCI_API foci_zones_options foci_zones_options_make(void);

/* Treat where a hotspot is or, by margin, near, but not where no stop speaks for the ground (what would be treated
 * there is dug); dig where the chance is at least dig_chance (so also in patches too
 * small to keep as hotspots), else leave. Without chances (inverse distance) there is no dig zone but for such small
 * patches.
 *
 * With a swath the zones are made of lanes, cut into steps no longer than a cell and a fifth of the least run. A lane
 * is treated in the sequence of runs with the largest sum of area x (chance - treat_chance) - so of the expected net,
 * where treat_chance is cost / loss -, all runs from the first to the last step in the field at least least_run long;
 * within a run that is not treated, dig and leave are told apart the same way by dig_chance. Ties go to the fewest
 * switches. For the margin a place counts with the largest chance of the hotspots' cells within it; a patch too small
 * to keep counts as just below treat_chance, and so does ground that no stop speaks for (hot->unspoken). Without
 * chances it is severity against the threshold. The field's rim in an outermost lane that it reaches by less than a
 * tenth of the swath goes with the next lane. FOCI_BAD_SETTING where there would be too many steps, for a
 * chance outside 0 to 1 and for a length below 0. */
FOCI_API bool foci_zones_draw(foci_zones *out, const foci_hotspots *hotspots, const foci_surface *surface,
                              const foci_grid *grid, const foci_field *field, const foci_hotspots_options *hot,
                              const foci_zones_options *options, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_zones_free(foci_zones *zones);

#endif
