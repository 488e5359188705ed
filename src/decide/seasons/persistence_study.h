/* The seasons of a comparison, ready for the joint model. */
#ifndef FOCI_DECIDE_PERSISTENCE_STUDY_H
#define FOCI_DECIDE_PERSISTENCE_STUDY_H

#include "decide/seasons/persistence_cells.h"
#include "estimate/seasons/joint_fit.h"
#include "fieldfoci/persistence.h"

typedef struct {
    size_t given; /* its place in the order given */
    const char *key;
    foci_season_readings readings; /* scores: scaled to mean 0 and deviation 1 */
    double threshold;              /* on the scale of the surface */
    double *scaled;                /* owned */
} foci_study_season;

/* Everything else is borrowed. */
typedef struct {
    const foci_grid *grid;
    const foci_persistence_options *options;
    bool scores;
    size_t given;                           /* seasons in all */
    const char *why_not[FOCI_SEASONS_MOST]; /* in the order given; NULL: it can be read together with others */
    bool flat[FOCI_SEASONS_MOST];           /* that is since its surface does not vary ... */
    bool cold[FOCI_SEASONS_MOST];           /* ... and none of its readings reaches the threshold */
    size_t count;                           /* those that can, in the order of their keys */
    foci_study_season seasons[FOCI_SEASONS_MOST];
    foci_coarse_cells cells;
} foci_study;

/* A season whose readings are all the same cannot be read with others. Errors: as foci_persistence_make. */
bool foci_study_open(foci_study *out, const foci_persistence_season *seasons, size_t count, const foci_grid *grid,
                     const foci_persistence_options *options, foci_error *err) FOCI_MUST_CHECK;
void foci_study_close(foci_study *study);

/* Takes out a season whose surface does not vary, for this reason (borrowed). */
void foci_study_leave_out(foci_study *study, size_t season, const char *why_not);

/* Some of the seasons read together, still in the order of their keys. */
typedef struct {
    size_t count;
    size_t given[FOCI_SEASONS_MOST];
    const char *keys[FOCI_SEASONS_MOST];
    double threshold[FOCI_SEASONS_MOST];
    foci_joint joint;
} foci_together;

/* `chosen`: `count` numbers of study->seasons, rising. */
bool foci_together_make(foci_together *out, const foci_study *study, const size_t *chosen, size_t count,
                        const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
void foci_together_free(foci_together *together);

/* The first season whose own surface has no spread (deviation of its means at its stops below a thousandth on the scale
 * of the surface); together->count for none. */
size_t foci_together_flat(const foci_together *together);

/* The class of each of the 2^count patterns; bit s: season s is hot. */
void foci_together_classes(unsigned char *group, const foci_together *together);

#endif
