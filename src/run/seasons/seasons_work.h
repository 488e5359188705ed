/* A comparison on its way: each season's survey, read back and not yet one of the comparison's rounds. */
#ifndef FOCI_RUN_SEASONS_WORK_H
#define FOCI_RUN_SEASONS_WORK_H

#include "fieldfoci/comparison.h"

typedef struct {
    const foci_settings *settings; /* of the comparison; borrowed */
    const foci_execution *how;     /* hears that a history is waited for, and may stop that; borrowed */
    size_t count;
    foci_survey surveys[FOCI_SEASONS_MOST]; /* oldest first, in one work system: the newest one's */
    char *names[FOCI_SEASONS_MOST];         /* what each was called; owned */
    char keys[FOCI_SEASONS_MOST][65];       /* what each is, by content */
    const char *why_not[FOCI_SEASONS_MOST]; /* why it cannot be compared; NULL where it can; static */
    double row_heading;                     /* common to all, degrees clockwise from grid north; NaN: none */
    double *values[FOCI_SEASONS_MOST];      /* scores: on the scale that the season's own fit chose; owned */
} foci_seasons_work;

/* seasons_read.c */
bool foci_seasons_work_read(foci_seasons_work *work, foci_error *err) FOCI_MUST_CHECK;
void foci_seasons_work_free(foci_seasons_work *work);

/* seasons_judge.c: what must not be compared is an error, or goes on for a reason; what should be known is a warning.
 */
bool foci_seasons_work_judge(foci_seasons *seasons, foci_seasons_work *work, foci_error *err) FOCI_MUST_CHECK;

/* seasons_surfaces.c: the common grid, and each season's own surface on it and own verdict; the rounds then belong to
 * `seasons`. */
bool foci_seasons_work_estimate(foci_seasons *seasons, foci_seasons_work *work, const foci_execution *how,
                                foci_error *err) FOCI_MUST_CHECK;

#endif
