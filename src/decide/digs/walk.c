#include "fieldfoci/walk.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

#define LEAST_GAIN 1e-9

enum { STARTS = 20, LONGEST_RUN = 3 };

/* So many places are set out from all the starts; of more, fewer starts: each takes the square of the places. */
#define PLACES_ALL_STARTS 500

/* Ways between the places; place `count` is the hub: the way from it is how a walk begins, the way to it how one ends
 * (0 where that costs nothing). A route has the hub at both ends, count + 2 numbers. */
typedef struct {
    size_t count;
    double *way; /* way[from * (count + 1) + to] */
} ways;

static double way_between(const ways *w, size_t from, size_t to) {
    return w->way[from * (w->count + 1) + to];
}

static double distance(foci_point a, foci_point b) {
    return hypot(a.x - b.x, a.y - b.y);
}

static bool ways_make(ways *out, const foci_point *places, size_t count, const foci_point *start, bool open,
                      foci_error *err) {
    ways w = {.count = count};
    size_t side = count + 1;
    w.way = foci_new_array(side, side * sizeof *w.way, err);
    if (!w.way)
        return false;
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < count; j++)
            w.way[i * side + j] = distance(places[i], places[j]);
        w.way[count * side + i] = start ? distance(*start, places[i]) : 0;
        w.way[i * side + count] = start && !open ? distance(places[i], *start) : 0;
    }
    *out = w;
    return true;
}

static double route_length(const ways *w, const size_t *route) {
    double length = 0;
    for (size_t i = 0; i <= w->count; i++)
        length += way_between(w, route[i], route[i + 1]);
    return length;
}

/* best[set x n + last]: the shortest way from the hub through all of `set`, ending at `last`, which is in it. */
static void fill_subsets(double *best, unsigned char *before, const ways *w) {
    size_t n = w->count, sets = (size_t)1 << n;
    for (size_t i = 0; i < sets * n; i++)
        best[i] = INFINITY;
    for (size_t last = 0; last < n; last++)
        best[((size_t)1 << last) * n + last] = way_between(w, n, last);
    for (size_t set = 1; set < sets; set++)
        for (size_t last = 0; last < n; last++) {
            if (!(set >> last & 1))
                continue;
            double so_far = best[set * n + last];
            for (size_t next = 0; next < n; next++) {
                if (set >> next & 1)
                    continue;
                size_t longer = (set | (size_t)1 << next) * n + next;
                double length = so_far + way_between(w, last, next);
                if (length < best[longer]) {
                    best[longer] = length;
                    before[longer] = (unsigned char)last;
                }
            }
        }
}

/* n <= FOCI_WALK_EXACT. */
static bool find_exactly(size_t *route, const ways *w, foci_error *err) {
    size_t n = w->count, sets = (size_t)1 << n, set = sets - 1, last = 0;
    bool ok = false;
    unsigned char *before = NULL;
    double *best = foci_new_array(sets, n * sizeof *best, err), shortest = INFINITY;
    if (!best)
        goto done;
    before = foci_new_array(sets, n, err);
    if (!before)
        goto done;
    fill_subsets(best, before, w);
    for (size_t i = 0; i < n; i++) {
        double length = best[set * n + i] + way_between(w, i, n);
        if (length < shortest) {
            shortest = length;
            last = i;
        }
    }
    for (size_t i = n; i > 0; i--) {
        size_t previous = before[set * n + last];
        route[i] = last;
        set &= ~((size_t)1 << last);
        last = previous;
    }
    ok = true;
done:
    free(best);
    free(before);
    return ok;
}

static void turn(size_t *route, size_t first, size_t last) {
    for (; first < last; first++, last--) {
        size_t held = route[first];
        route[first] = route[last];
        route[last] = held;
    }
}

/* 2-opt: one pass over all stretches that could be walked the other way round. */
static bool turn_stretches(size_t *route, const ways *w) {
    bool gained = false;
    for (size_t first = 1; first < w->count; first++)
        for (size_t last = first + 1; last <= w->count; last++) {
            size_t before = route[first - 1], a = route[first], b = route[last], after = route[last + 1];
            double old = way_between(w, before, a) + way_between(w, b, after);
            if (way_between(w, before, b) + way_between(w, a, after) < old - LEAST_GAIN) {
                turn(route, first, last);
                gained = true;
            }
        }
    return gained;
}

/* Where a run fits best: between route[after] and the next, the run taken out; turned round or not. */
typedef struct {
    double gain;
    size_t after;
    bool turned;
} move;

static move best_move(const size_t *route, const ways *w, size_t first, size_t run) {
    move best = {.gain = LEAST_GAIN};
    size_t last = first + run - 1, a = route[first], b = route[last];
    double freed = way_between(w, route[first - 1], a) + way_between(w, b, route[last + 1]) -
                   way_between(w, route[first - 1], route[last + 1]);
    for (size_t after = 0; after <= w->count; after++) {
        if (after + 1 >= first && after <= last)
            continue;
        size_t from = route[after], to = route[after + 1];
        double gap = freed + way_between(w, from, to);
        double straight = gap - way_between(w, from, a) - way_between(w, b, to);
        double turned = gap - way_between(w, from, b) - way_between(w, a, to);
        if (straight > best.gain)
            best = (move){straight, after, false};
        if (turned > best.gain)
            best = (move){turned, after, true};
    }
    return best;
}

static void move_run(size_t *route, size_t first, size_t run, move to) {
    size_t held[LONGEST_RUN], target = to.after < first ? to.after + 1 : to.after + 1 - run;
    memcpy(held, route + first, run * sizeof *held);
    if (target < first)
        memmove(route + target + run, route + target, (first - target) * sizeof *route);
    else
        memmove(route + first, route + first + run, (target - first) * sizeof *route);
    memcpy(route + target, held, run * sizeof *held);
    if (to.turned)
        turn(route, target, target + run - 1);
}

/* Or-opt: one pass over all runs of up to three places that could be visited elsewhere. */
static bool move_runs(size_t *route, const ways *w) {
    bool gained = false;
    for (size_t run = 1; run <= LONGEST_RUN && run < w->count; run++)
        for (size_t first = 1; first + run <= w->count + 1; first++) {
            move best = best_move(route, w, first, run);
            if (!(best.gain > LEAST_GAIN))
                continue;
            move_run(route, first, run, best);
            gained = true;
        }
    return gained;
}

static void improve(size_t *route, const ways *w) {
    bool gained = true;
    while (gained) {
        gained = false;
        while (turn_stretches(route, w))
            gained = true;
        while (move_runs(route, w))
            gained = true;
    }
}

static void go_to_nearest(size_t *route, const ways *w, size_t first) {
    size_t n = w->count;
    for (size_t i = 0; i < n; i++)
        route[i + 1] = i;
    turn(route, 1, first + 1);
    turn(route, 2, first + 1);
    for (size_t i = 2; i <= n; i++) {
        size_t nearest = i;
        for (size_t k = i + 1; k <= n; k++)
            if (way_between(w, route[i - 1], route[k]) < way_between(w, route[i - 1], route[nearest]))
                nearest = k;
        size_t held = route[i];
        route[i] = route[nearest];
        route[nearest] = held;
    }
}

static bool find_nearly(size_t *route, const ways *w, foci_error *err) {
    const size_t n = w->count, part = n * n / (PLACES_ALL_STARTS * PLACES_ALL_STARTS) + 1;
    const size_t starts = part < STARTS ? STARTS / part : 1, step = (n + starts - 1) / starts;
    size_t *attempt = foci_new_array(n + 2, sizeof *attempt, err);
    double shortest = INFINITY;
    if (!attempt)
        return false;
    for (size_t first = 0; first < n; first += step) {
        attempt[0] = attempt[n + 1] = n;
        go_to_nearest(attempt, w, first);
        improve(attempt, w);
        double length = route_length(w, attempt);
        if (length < shortest) {
            shortest = length;
            memcpy(route, attempt, (n + 2) * sizeof *route);
        }
    }
    free(attempt);
    return true;
}

/* The first leg of a walk round is the shorter of the two at its start. */
static void prefer_nearer(size_t *order, const foci_point *places, size_t count, const foci_walk_options *options) {
    size_t first = options->start ? 0 : 1;
    if (options->open || count < first + 2)
        return;
    foci_point start = options->start ? *options->start : places[order[0]];
    if (distance(start, places[order[count - 1]]) < distance(start, places[order[first]]))
        turn(order, first, count - 1);
}

/* A walk round that begins nowhere in particular begins at the first place. */
static bool find_order(size_t *order, const foci_point *places, size_t count, const foci_walk_options *options,
                       foci_error *err) {
    bool from_first = !options->start && !options->open;
    size_t skipped = from_first ? 1 : 0, n = count - skipped;
    ways w = {0};
    bool ok = false;
    size_t *route = foci_new_array(n + 2, sizeof *route, err);
    if (!route)
        goto done;
    route[0] = route[n + 1] = n;
    if (!ways_make(&w, places + skipped, n, from_first ? &places[0] : options->start, options->open, err))
        goto done;
    if (n > 0 && !(count <= FOCI_WALK_EXACT ? find_exactly(route, &w, err) : find_nearly(route, &w, err)))
        goto done;
    order[0] = 0;
    for (size_t i = 0; i < n; i++)
        order[i + skipped] = route[i + 1] + skipped;
    prefer_nearer(order, places, count, options);
    ok = true;
done:
    free(route);
    free(w.way);
    return ok;
}

double foci_walk_length(const size_t *order, const foci_point *places, size_t count, const foci_walk_options *options) {
    double length = 0;
    if (count == 0)
        return 0;
    foci_point first = places[order[0]], last = places[order[count - 1]];
    for (size_t i = 1; i < count; i++)
        length += distance(places[order[i - 1]], places[order[i]]);
    if (options->start)
        length += distance(*options->start, first);
    if (!options->open)
        length += distance(last, options->start ? *options->start : first);
    return length;
}

foci_walk_options foci_walk_options_make(void) {
    return (foci_walk_options){0};
}

bool foci_walk_find(foci_walk *out, const foci_point *places, size_t count, const foci_walk_options *options,
                    foci_error *err) {
    foci_walk walk = {.count = count, .exact = count <= FOCI_WALK_EXACT};
    bool ok = false;
    walk.order = foci_new_array(count, sizeof *walk.order, err);
    if (!walk.order)
        goto done;
    if (count > 0 && !find_order(walk.order, places, count, options, err))
        goto done;
    walk.length = foci_walk_length(walk.order, places, count, options);
    *out = walk;
    walk = (foci_walk){0};
    ok = true;
done:
    foci_walk_free(&walk);
    return ok;
}

void foci_walk_free(foci_walk *walk) {
    free(walk->order);
    *walk = (foci_walk){0};
}
