#include "estimate/gaussian/observations.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "estimate/space/pools.h"

enum { ARRAYS = 6 };

/* Room for the stops of `shape`: its numbers of stops, response, frame and columns. */
static bool open_like(foci_observations *out, const foci_observations *shape, foci_error *err) {
    const size_t n = shape->count;
    foci_observations made = *shape;
    made.along = foci_new_array(n, (ARRAYS + shape->columns.count) * sizeof *made.along, err);
    if (!made.along)
        return false;
    made.across = made.along + n;
    made.readings = made.across + n;
    made.checked = made.readings + n;
    made.error = made.checked + n;
    made.constant = made.error + n;
    made.f = made.constant + n;
    made.rows = n;
    *out = made;
    return true;
}

static void fill_columns(foci_observations *stops) {
    for (size_t s = 0; s < stops->seasons; s++) {
        const size_t from = stops->first[s];
        foci_columns_fill(stops->f + from, stops->rows, &stops->columns, s, stops->along + from, stops->across + from,
                          foci_observations_in(stops, s));
    }
}

static bool check_season(const foci_response *response, const foci_season_readings *season, foci_error *err) {
    if (season->count > 0 && response->counts != (season->checked != NULL))
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "counts and scores cannot be read together; give one kind");
    for (size_t i = 0; i < season->count; i++) {
        if (!isfinite(season->places[i].x) || !isfinite(season->places[i].y))
            return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)i + 1, "the stop has no place; leave it out");
        if (!response->check(season->readings[i], season->checked ? season->checked[i] : 0, i + 1, err))
            return false;
    }
    return true;
}

static void fill_season(foci_observations *stops, size_t s, const foci_season_readings *season) {
    const size_t first = stops->first[s];
    foci_frame_turn(&stops->frame, season->places, season->count, stops->along + first, stops->across + first);
    for (size_t i = 0; i < season->count; i++) {
        const double reading = season->readings[i], checked = season->checked ? season->checked[i] : 0;
        stops->readings[first + i] = reading;
        stops->checked[first + i] = checked;
        stops->constant[first + i] = stops->response->constant(reading, checked);
    }
}

bool foci_observations_make_in(foci_observations *out, const foci_frame *frame, const foci_response *response,
                               const foci_season_readings *seasons, size_t count, const foci_columns *columns,
                               foci_error *err) {
    if (count == 0 || count > FOCI_SEASONS_TOGETHER)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "%zu seasons cannot be read together; give 1 to %d", count,
                         FOCI_SEASONS_TOGETHER);
    foci_observations made = {.seasons = count, .response = response, .frame = *frame};
    if (columns)
        made.columns = *columns;
    for (size_t s = 0; s < count; s++) {
        if (!check_season(response, &seasons[s], err))
            return false;
        made.first[s + 1] = made.first[s] + seasons[s].count;
    }
    made.count = made.first[count];
    if (!open_like(&made, &made, err))
        return false;
    for (size_t s = 0; s < count; s++)
        fill_season(&made, s, &seasons[s]);
    if (made.columns.scale > 0)
        fill_columns(&made);
    else
        foci_observations_settle(&made);
    *out = made;
    return true;
}

bool foci_observations_make(foci_observations *out, const foci_response *response, const foci_season_readings *seasons,
                            size_t count, const foci_columns *columns, double heading, foci_error *err) {
    const foci_frame frame =
        foci_frame_make(count > 0 ? seasons[0].places : NULL, count > 0 ? seasons[0].count : 0, heading);
    return foci_observations_make_in(out, &frame, response, seasons, count, columns, err);
}

void foci_observations_free(foci_observations *stops) {
    free(stops->along);
    *stops = (foci_observations){0};
}

size_t foci_observations_in(const foci_observations *stops, size_t season) {
    return stops->first[season + 1] - stops->first[season];
}

double foci_observations_constant(const foci_observations *stops) {
    double sum = 0;
    for (size_t i = 0; i < stops->count; i++)
        sum += stops->constant[i];
    return sum;
}

static void copy_stop(foci_observations *to, size_t i, const foci_observations *from, size_t j) {
    to->along[i] = from->along[j];
    to->across[i] = from->across[j];
    to->readings[i] = from->readings[j];
    to->checked[i] = from->checked[j];
    to->error[i] = from->error[j];
    to->constant[i] = from->constant[j];
    for (size_t k = 0; k < from->columns.count; k++)
        to->f[i + k * to->rows] = from->f[j + k * from->rows];
}

/* Numbers of stops of those listed. */
static void count_picked(foci_observations *out, const foci_observations *from, const size_t *which, size_t count) {
    out->count = count;
    for (size_t s = 0, i = 0; s < from->seasons; s++) {
        while (i < count && which[i] < from->first[s + 1])
            i++;
        out->first[s + 1] = i;
    }
}

void foci_observations_pick_again(foci_observations *out, const foci_observations *from, const size_t *which,
                                  size_t count) {
    count_picked(out, from, which, count);
    out->rows = count;
    for (size_t i = 0; i < count; i++)
        copy_stop(out, i, from, which[i]);
}

bool foci_observations_pick(foci_observations *out, const foci_observations *from, const size_t *which, size_t count,
                            foci_error *err) {
    foci_observations picked = *from;
    count_picked(&picked, from, which, count);
    if (!open_like(&picked, &picked, err))
        return false;
    foci_observations_pick_again(&picked, from, which, count);
    *out = picked;
    return true;
}

void foci_observations_settle(foci_observations *stops) {
    foci_columns_settle(&stops->columns, stops->along, stops->across, stops->count);
    fill_columns(stops);
}

bool foci_observations_turn(foci_observations *out, const foci_observations *from, double heading, foci_error *err) {
    const foci_frame none = foci_frame_make(NULL, 0, heading), *old = &from->frame;
    foci_observations turned = {0};
    if (!open_like(&turned, from, err))
        return false;
    for (size_t i = 0; i < from->count; i++) {
        copy_stop(&turned, i, from, i);
        const double along = from->along[i], across = from->across[i];
        const foci_point place = {along * old->east + across * old->north, along * old->north - across * old->east};
        foci_frame_turn(&none, &place, 1, &turned.along[i], &turned.across[i]);
    }
    turned.frame.east = none.east;
    turned.frame.north = none.north;
    foci_observations_settle(&turned);
    *out = turned;
    return true;
}

/* Adds each stop to its pool; `members` has a number for each pool. */
static void fill_pools(foci_observations *pools, const foci_observations *from, const size_t *pool, double *members) {
    for (size_t i = 0; i < from->count; i++)
        members[pool[i]]++;
    for (size_t i = 0; i < from->count; i++) {
        const size_t p = pool[i];
        pools->along[p] += from->along[i] / members[p];
        pools->across[p] += from->across[i] / members[p];
        pools->readings[p] += from->response->counts ? from->readings[i] : from->readings[i] / members[p];
        pools->checked[p] += from->checked[i];
    }
    for (size_t p = 0; p < pools->count; p++)
        pools->constant[p] = pools->response->constant(pools->readings[p], pools->checked[p]);
    fill_columns(pools);
}

bool foci_observations_pool(foci_observations *out, const foci_observations *from, size_t most, foci_error *err) {
    const size_t n = from->count;
    foci_observations pools = *from;
    bool ok = false;
    double *members = NULL;
    foci_point *places = foci_new_array(n, sizeof *places, err);
    size_t *pool = places ? foci_new_array(n, sizeof *pool, err) : NULL;
    if (!pool)
        goto done;
    for (size_t i = 0; i < n; i++)
        places[i] = (foci_point){from->across[i], from->along[i]};
    if (!foci_pools_make(pool, &pools.count, places, n, most, err))
        goto done;
    pools.first[1] = pools.count;
    members = foci_new_array(pools.count, sizeof *members, err);
    if (!members || !open_like(&pools, &pools, err))
        goto done;
    fill_pools(&pools, from, pool, members);
    *out = pools;
    ok = true;
done:
    free(places);
    free(pool);
    free(members);
    return ok;
}

foci_observations foci_observations_season(const foci_observations *stops, size_t season) {
    const size_t from = stops->first[season];
    foci_observations alone = *stops;
    alone.seasons = 1;
    alone.count = alone.first[1] = foci_observations_in(stops, season);
    alone.first[0] = 0;
    alone.along += from;
    alone.across += from;
    alone.readings += from;
    alone.checked += from;
    alone.error += from;
    alone.constant += from;
    alone.f += from;
    for (size_t k = 0; k < alone.columns.count; k++) {
        foci_column *column = &alone.columns.column[k];
        if (column->season != FOCI_EVERY_SEASON)
            column->season = (size_t)column->season == season ? 0 : FOCI_NO_SEASON;
    }
    return alone;
}
