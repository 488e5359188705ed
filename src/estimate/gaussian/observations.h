/* The stops of one season or several, in the frame of the rows: what every engine of a Gaussian field reads. */
#ifndef FOCI_ESTIMATE_OBSERVATIONS_H
#define FOCI_ESTIMATE_OBSERVATIONS_H

#include "base/frame.h"
#include "estimate/gaussian/columns.h"
#include "estimate/gaussian/responses.h"

/* One season's; borrowed arrays, one number a stop. */
typedef struct {
    const foci_point *places; /* metres */
    const double *readings;   /* infected units; scores */
    const double *checked;    /* units looked at; NULL: scores */
    size_t count;
} foci_season_readings;

/* The seasons one after the other, that in question first. */
typedef struct {
    size_t seasons, count;
    size_t first[FOCI_SEASONS_TOGETHER + 1]; /* of season s: first[s] ... first[s + 1] - 1 */
    const foci_response *response;
    foci_frame frame;       /* of the first season's places */
    double *along, *across; /* metres; `along` owns the block in which all arrays lie */
    double *readings, *checked;
    double *error;        /* variance of a reading's own error, known beforehand; 0 as made */
    double *constant;     /* what each reading's log-likelihood has of it alone */
    foci_columns columns; /* of the mean */
    double *f;            /* F: columns.count columns of `rows` numbers */
    size_t rows;          /* as many as stops, but in a view of one season */
} foci_observations;

/* `heading`: degrees clockwise from grid north, NaN: north. FOCI_BAD_INPUT (row = 1-based stop) for an impossible
 * reading, or a place that is no number; FOCI_BAD_SETTING for no season, more than FOCI_SEASONS_TOGETHER, or counts and
 * scores together. A season may have no stops. */
bool foci_observations_make(foci_observations *out, const foci_response *response, const foci_season_readings *seasons,
                            size_t count, const foci_columns *columns, double heading, foci_error *err) FOCI_MUST_CHECK;
void foci_observations_free(foci_observations *stops);

/* The same in a frame that is there already. */
bool foci_observations_make_in(foci_observations *out, const foci_frame *frame, const foci_response *response,
                               const foci_season_readings *seasons, size_t count, const foci_columns *columns,
                               foci_error *err) FOCI_MUST_CHECK;

/* Stops of `from` in the order of `which`, which goes through the seasons in theirs. */
bool foci_observations_pick(foci_observations *out, const foci_observations *from, const size_t *which, size_t count,
                            foci_error *err) FOCI_MUST_CHECK;

/* The same in place of what stands in `out`, which was picked from `from` and has room for so many. */
void foci_observations_pick_again(foci_observations *out, const foci_observations *from, const size_t *which,
                                  size_t count);

/* The same stops in a frame of another heading. */
bool foci_observations_turn(foci_observations *out, const foci_observations *from, double heading,
                            foci_error *err) FOCI_MUST_CHECK;

/* Centre and scale of the columns from where the stops lie, and F anew. */
void foci_observations_settle(foci_observations *stops);

/* Stops of one season put together into at most `most` pools: units added up, or scores averaged, at their middle. */
bool foci_observations_pool(foci_observations *out, const foci_observations *from, size_t most,
                            foci_error *err) FOCI_MUST_CHECK;

/* One season by itself, as the season in question: a view, not to be freed. */
foci_observations foci_observations_season(const foci_observations *stops, size_t season);

/* Sum of `constant`. */
double foci_observations_constant(const foci_observations *stops);

/* How many stops a season has. */
size_t foci_observations_in(const foci_observations *stops, size_t season);

#endif
