/* From side to side across the field and back, stops at even distances along the way. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "decide/plan/layout_work.h"

enum { STEPS = 20000, LEAST_LEGS = 4 };

/* The place at this share of the way: the longer side of the ground is walked once, the shorter one on every leg. */
static foci_point place_at(const foci_layout_extent *e, double legs, double share) {
    const double along = e->most.x - e->least.x, across = e->most.y - e->least.y;
    const double leg = fmod(legs * share, 2), side = leg < 1 ? leg : 2 - leg;
    return along >= across ? foci_layout_extent_place(e, e->least.x + along * share, e->least.y + across * side)
                           : foci_layout_extent_place(e, e->least.x + along * side, e->least.y + across * share);
}

bool foci_layout_lay_zigzag(foci_layout_work *work, foci_error *err) {
    const size_t wanted = work->wanted - work->count;
    const foci_layout_extent e = foci_layout_extent_find(work);
    const double legs = fmax(LEAST_LEGS, floor(sqrt((double)wanted) / 1.8 + 0.5));
    foci_random draws = foci_random_stream(work->options->seed, 0);
    const double first = foci_random_share(&draws);
    size_t inside = 0, next = 0;
    bool *allowed = foci_new_array(STEPS, sizeof *allowed, err);
    if (!allowed)
        return false;
    for (size_t i = 0; i < STEPS; i++) {
        allowed[i] = foci_layout_allows(work, place_at(&e, legs, ((double)i + 0.5) / STEPS));
        inside += allowed[i];
    }
    /* What of the way lies on the ground is cut into as many even stretches as there are stops. */
    for (size_t i = 0, passed = 0; i < STEPS && next < wanted; i++) {
        if (!allowed[i])
            continue;
        passed++;
        if ((double)passed < ((double)next + first) / (double)wanted * (double)inside)
            continue;
        foci_layout_add(work, place_at(&e, legs, ((double)i + 0.5) / STEPS), FOCI_LAYOUT_REGULAR);
        next++;
    }
    free(allowed);
    return foci_layout_spread(work, NULL, 0, err);
}
