/* Where to stop: places in a field for a coming survey, in walking order. Designs and evidence: docs/plan.md. */
#ifndef FIELDFOCI_LAYOUT_H
#define FIELDFOCI_LAYOUT_H

#include <stdint.h>

#include "fieldfoci/execution.h"
#include "fieldfoci/field.h"

#define FOCI_LAYOUT_FROM_EDGE                                                                                          \
    10.0                        /* meters: wheel tracks and the headland say little of the field (common practice)     \
                                 */
#define FOCI_LAYOUT_CLOSEST 1.0 /* meters: nobody tells stops apart that are nearer than that */
enum { FOCI_LAYOUT_MOST = 5000 };

/* What is known of the field beforehand, on a scale where it is normal: a survey of this season, or of earlier ones.
 * Everything is borrowed. */
typedef struct {
    /* Mean (count numbers) and covariance (count x count) of the surface at the places (meters, work system). */
    bool (*at)(double *mean, double *covariance, const void *what, const foci_point *places, size_t count,
               foci_error *err);
    const void *what;
    double threshold;        /* on that scale; NaN where none is known */
    bool logit;              /* the scale is log(p / (1 - p)) of a share of infected units */
    double units;            /* looked at in a stop to come, of a share */
    double noise;            /* error variance of a reading to come, beyond the binomial of a share */
    const foci_point *there; /* stops that it comes from and that need no other beside them, meters ... */
    size_t there_count;      /* ... 0 where it is of another season */
} foci_layout_knowledge;

typedef struct foci_layout_pattern foci_layout_pattern;
struct foci_layout_work; /* the patterns' own business */

typedef struct {
    const foci_layout_pattern *pattern; /* NULL: the first, a grid */
    size_t count;                       /* stops, beside those of `again` */
    double margin; /* meters to stay away from edges and holes; NaN: FOCI_LAYOUT_FROM_EDGE, less in a small field */
    double row_heading;     /* degrees clockwise from grid north; NaN: 0 */
    bool close_pairs;       /* a tenth of a grid's stops stands beside another, to tell the nugget: for scores only */
    const foci_point *gate; /* longitude, latitude; NULL: the walk begins at a corner of the field */
    const foci_layout_knowledge *knowledge; /* NULL: nothing is known */
    const foci_point
        *again; /* the first stops, which stay where they are, meters; they need not lie within the margin */
    size_t again_count;
    uint64_t seed;
} foci_layout_options;

/* A grid of 50 stops, nothing known. */
FOCI_API foci_layout_options foci_layout_options_make(void);

/* Why a stop is where it is. */
typedef enum {
    FOCI_LAYOUT_REGULAR, /* of a grid or a zigzag */
    FOCI_LAYOUT_PAIR,    /* close to another one */
    FOCI_LAYOUT_GAP,     /* where what is known is least certain */
    FOCI_LAYOUT_AGAIN,   /* was looked at before */
    FOCI_LAYOUT_SPREAD,  /* where the next stop is farthest */
    FOCI_LAYOUT_END
} foci_layout_why;

/* "grid", "pair", "gap", "again", "spread". */
FOCI_API const char *foci_layout_why_name(foci_layout_why why);

typedef struct {
    foci_point place;  /* meters, work system */
    foci_point lonlat; /* WGS84 */
    foci_layout_why why;
    size_t again; /* index into the options' `again`; FOCI_OPEN: none */
} foci_layout_stop;

typedef struct {
    size_t count;
    foci_layout_stop *items; /* in walking order; owned */
    double margin;           /* as used, meters */
    double ground;           /* square meters that a stop may lie on */
    size_t there;            /* stops of the knowledge that are there already */
    double spacing;          /* of all of them: sqrt(ground / (count + there)), meters */
    bool at_gate;            /* the walk begins at the gate; else at a corner of the boundary */
    foci_point start, start_lonlat;
    double walk;            /* meters in straight lines, from the start through all stops and back */
    double variance, after; /* mean over the ground of what is not known: before, and with all stops; NaN without
                               knowledge */
} foci_layout;

/* A row of the catalog: exactly as many places as are wanted. */
struct foci_layout_pattern {
    const char *name, *title;
    bool learns; /* goes by what is known of the field */
    bool again;  /* goes to stops that are there already, beside new ones */
    bool (*lay)(struct foci_layout_work *work, foci_error *err); /* its own business */
};

/* grid, zigzag, gaps, again; ends with a row of zeros. */
FOCI_API extern const foci_layout_pattern foci_layout_patterns[];

/* `field` in the work system. FOCI_BAD_SETTING: a margin that leaves no ground, stops nearer to each other than
 * FOCI_LAYOUT_CLOSEST, a gate that is not within 10 km. The same options give the same places. */
FOCI_API bool foci_layout_make(foci_layout *out, const foci_field *field, const foci_layout_options *options,
                               const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Puts places that are given (their `place` is set) into walking order and fills the rest; takes over `stops`. */
FOCI_API bool foci_layout_of(foci_layout *out, const foci_field *field, foci_layout_stop **stops, size_t count,
                             const foci_point *gate, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_layout_free(foci_layout *layout);

#endif
