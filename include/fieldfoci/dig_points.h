/* Dig checks: a few places to go and look, chosen so that each answers one of three questions. */
#ifndef FIELDFOCI_DIG_POINTS_H
#define FIELDFOCI_DIG_POINTS_H

#include "fieldfoci/execution.h"
#include "fieldfoci/zones.h"

typedef enum {
    FOCI_DIG_CONFIRM, /* in the hotspots: are they there? */
    FOCI_DIG_HIGHEST, /* where the chance (without chances: the estimate) is greatest, where there are no hotspots */
    FOCI_DIG_UNSURE,  /* where one look settles most about which ground passes the threshold */
    FOCI_DIG_OUTSIDE, /* drawn by lot from the rest: how much does the map miss? */
    FOCI_DIG_END
} foci_dig_why;

/* "confirm", "highest", "unsure", "outside"; and in words, one line without a full stop. */
FOCI_API const char *foci_dig_why_name(foci_dig_why why);
FOCI_API const char *foci_dig_why_title(foci_dig_why why);

typedef struct {
    int id; /* from 1: confirm (strongest hotspot first), highest (greatest chance first), unsure (most telling first),
               outside */
    int visit;     /* from 1 in the order of the walk */
    char name[24]; /* "D03-UNSURE": the visit first, so that lists of names are in walking order */
    foci_dig_why why;
    size_t cell;       /* of the grid: the place is its center */
    foci_point place;  /* meters, work system */
    foci_point lonlat; /* WGS84 */
    double chance;     /* of the cell; NaN without chances */
    double severity;   /* estimate of the cell, reading's unit */
    int hotspot;       /* id of the hotspot it lies in, 0: none */
} foci_dig_point;

typedef struct {
    size_t count;          /* fewer than wanted where the ground has no room for more */
    foci_dig_point *items; /* in walking order; owned */
    size_t wanted;
    bool at_gate;               /* the walk begins at the gate; else at a corner of the boundary */
    foci_point start;           /* meters */
    foci_point start_lonlat;    /* WGS84 */
    double walk;                /* meters, in straight lines, from the start through all places and back */
    size_t leave_cells;         /* from which the first of those outside were drawn, each with the same chance */
    double misclassified;       /* share of the ground expected on the wrong side of the threshold: now ... */
    double misclassified_after; /* ... and once all places were looked at; both NaN without chances */
} foci_dig_points;

typedef struct {
    size_t count;           /* places wanted */
    const foci_point *gate; /* longitude, latitude, or NULL: the walk begins at the corner nearest to the first stop */
    unsigned long seed;     /* of the draw of those outside */
    double row_heading;     /* degrees clockwise from grid north; NaN: 0 */
    double treat_chance;    /* those of the zones: an unsure place has a chance strictly between them */
    double dig_chance;
    double spacing;       /* between stops, meters; NaN or 0: that of the model */
    double units_per_dig; /* units looked at in each dig, counts only; 0: the mean of the stops */
} foci_dig_points_options;

/* Ten places between chances of 0.2 and 0.5, from the corner nearest to the first stop. */
FOCI_API foci_dig_points_options foci_dig_points_options_make(void);

/* Places are centers of cells inside the field, at least FOCI_DIG_FROM_EDGE from its edges and those of its holes (in a
 * field narrower than twenty times that: a tenth of the way to its deepest place). No place of any kind is
 * nearer than half the spacing to another.
 *
 * What is asked follows from what is there. A fifth (rounded up) is outside, always; then
 * - hotspots: one confirm in each, strongest first, then a second in the same order up to two fifths (rounded); the
 *   rest unsure;
 * - no hotspot, but ground to dig (an unclear pattern): two fifths highest in that ground, the rest unsure;
 * - neither, or no zones (zones->code NULL, hotspots {0}: no pattern found): the rest highest, in all of the field.
 * What cannot be filled so is drawn by lot, and after that the highest of what is left: fewer than wanted means that
 * the field has no room for another. FOCI_BAD_SETTING where there is no threshold, or the gate is not within 10 km of
 * the field. How each is chosen, and the evidence: docs/dig_points.md. */
FOCI_API bool foci_dig_points_choose(foci_dig_points *out, const foci_surface_model *model, const foci_surface *surface,
                                     const foci_grid *grid, const foci_field *field, const foci_readings *readings,
                                     const foci_hotspots *hotspots, const foci_zones *zones,
                                     const foci_dig_points_options *options, const foci_execution *how,
                                     foci_error *err) FOCI_MUST_CHECK;

#define FOCI_DIG_FROM_EDGE 5.0 /* meters */

FOCI_API void foci_dig_points_free(foci_dig_points *digs);

#endif
