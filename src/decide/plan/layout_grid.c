/* A square grid along the rows from a random start, each stop moved by up to a quarter of the spacing. Evidence for the
 * quarter, the close pairs and the search of the spacing: docs/plan.md. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "decide/plan/layout_work.h"

#define JITTER 0.25     /* of the spacing, each way */
#define CLOSE 0.2       /* of the spacing, from a stop to the one beside it */
#define PAIRS_IN 10     /* one of so many stops stands beside another */
#define CORRECTION 0.35 /* power of found / wanted by which the spacing is changed */

enum { TRIES = 25, DIRECTIONS = 16 };

/* One grid; how many stops it has, of which no more than `room` are kept. */
static size_t try_grid(foci_point *places, size_t room, const foci_layout_work *work, const foci_layout_extent *e,
                       double spacing, foci_random *draws) {
    const double first_along = e->least.x - spacing * foci_random_share(draws);
    const double first_across = e->least.y - spacing * foci_random_share(draws);
    size_t found = 0;
    const size_t lines = (size_t)ceil((e->most.x - first_along) / spacing) + 2;
    const size_t columns = (size_t)ceil((e->most.y - first_across) / spacing) + 2;
    for (size_t line = 0; line < lines; line++)
        for (size_t column = 0; column < columns; column++) {
            const double along = first_along + (double)line * spacing;
            const double across = first_across + (double)column * spacing;
            const double a = along + spacing * JITTER * (2 * foci_random_share(draws) - 1);
            const double b = across + spacing * JITTER * (2 * foci_random_share(draws) - 1);
            foci_point place = foci_layout_extent_place(e, a, b);
            if (!foci_layout_allows(work, place))
                place = foci_layout_extent_place(e, along, across);
            if (!foci_layout_allows(work, place))
                continue;
            if (found < room)
                places[found] = place;
            found++;
        }
    return found;
}

static double apart(foci_point a, foci_point b) {
    return hypot(a.x - b.x, a.y - b.y);
}

/* Takes out, one by one, the stop that is nearest to another one. */
static void drop(foci_point *places, size_t found, size_t wanted) {
    for (; found > wanted; found--) {
        size_t nearest = 0;
        double least = INFINITY;
        for (size_t i = 1; i < found; i++)
            for (size_t k = 0; k < i; k++)
                if (apart(places[i], places[k]) < least) {
                    least = apart(places[i], places[k]);
                    nearest = i;
                }
        places[nearest] = places[found - 1];
    }
}

/* Beside stops drawn by lot. */
static void add_pairs(foci_layout_work *work, size_t pairs, double spacing, foci_random *draws, size_t *order) {
    const size_t alone = work->count;
    foci_random_order(draws, order, alone);
    for (size_t i = 0; i < alone && pairs > 0; i++) {
        const foci_point beside = work->stops[order[i]].place;
        const double first = foci_random_share(draws);
        for (int turn = 0; turn < DIRECTIONS; turn++) {
            const double angle = 2 * M_PI * (first + (double)turn / DIRECTIONS);
            const foci_point place = {beside.x + CLOSE * spacing * cos(angle), beside.y + CLOSE * spacing * sin(angle)};
            if (!foci_layout_allows(work, place))
                continue;
            foci_layout_add(work, place, FOCI_LAYOUT_PAIR);
            pairs--;
            break;
        }
    }
}

/* Of all tries the one whose number is nearest to what is wanted, and not more than a quarter above. */
static bool fill(foci_point *best, size_t *count, const foci_layout_work *work, size_t wanted, double *spacing,
                 foci_random *draws, foci_error *err) {
    const size_t room = wanted + wanted / 4 + 1;
    const foci_layout_extent e = foci_layout_extent_find(work);
    foci_point *attempt = foci_new_array(room, sizeof *attempt, err);
    double trial = sqrt(work->area / (double)wanted);
    if (!attempt)
        return false;
    *count = 0;
    for (int i = 0; i < TRIES && *count != wanted; i++) {
        const size_t found = try_grid(attempt, room, work, &e, trial, draws);
        const size_t off = found > wanted ? found - wanted : wanted - found;
        const size_t off_now = *count > wanted ? *count - wanted : wanted - *count;
        if (found <= room && off < off_now) {
            *count = found;
            *spacing = trial;
            for (size_t k = 0; k < found; k++)
                best[k] = attempt[k];
        }
        trial *= pow(fmin(fmax((double)found / (double)wanted, 0.25), 4), CORRECTION);
    }
    free(attempt);
    return true;
}

bool foci_layout_lay_grid(foci_layout_work *work, foci_error *err) {
    const size_t wanted = work->wanted - work->count;
    const size_t pairs = work->options->close_pairs ? wanted / PAIRS_IN : 0, alone = wanted - pairs;
    foci_random draws = foci_random_stream(work->options->seed, 0);
    double spacing = sqrt(work->area / (double)wanted);
    size_t count = 0, *order = NULL;
    bool ok = false;
    foci_point *places = foci_new_array(alone + alone / 4 + 1, sizeof *places, err);
    if (!places)
        return false;
    order = foci_new_array(work->wanted, sizeof *order, err);
    if (!order || !fill(places, &count, work, alone, &spacing, &draws, err))
        goto done;
    if (count > alone) {
        drop(places, count, alone);
        count = alone;
    }
    for (size_t i = 0; i < count; i++)
        foci_layout_add(work, places[i], FOCI_LAYOUT_REGULAR);
    if (count == alone)
        add_pairs(work, pairs, spacing, &draws, order);
    ok = foci_layout_spread(work, NULL, 0, err);
done:
    free(places);
    free(order);
    return ok;
}
