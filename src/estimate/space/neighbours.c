#include "estimate/space/neighbours.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

/* A k-d tree (Bentley 1975, Communications of the ACM 18:509-517) without nodes: the stop in the middle of a stretch of
 * `order` splits it, along the axis in `axis`; short stretches are leaves. */
enum { LEAF = 8 };

struct foci_neighbours {
    size_t count;
    foci_point *places; /* in tree order, so that a leaf lies together in memory */
    size_t *order;      /* tree order to stop number */
    unsigned char *axis;
};

static double along(foci_point place, unsigned char axis) {
    return axis == 0 ? place.x : place.y;
}

static void swap(foci_neighbours *index, size_t a, size_t b) {
    foci_point place = index->places[a];
    index->places[a] = index->places[b];
    index->places[b] = place;
    size_t stop = index->order[a];
    index->order[a] = index->order[b];
    index->order[b] = stop;
}

/* Brings the stop that belongs at `middle` there, smaller ones before it (quickselect, Hoare 1961). */
static void select_middle(foci_neighbours *index, size_t from, size_t to, size_t middle, unsigned char axis) {
    while (to - from > 1) {
        double pivot = along(index->places[from + (to - from - 1) / 2], axis);
        size_t low = from, high = to - 1;
        for (;;) {
            while (along(index->places[low], axis) < pivot)
                low++;
            while (along(index->places[high], axis) > pivot)
                high--;
            if (low >= high)
                break;
            swap(index, low++, high--);
        }
        if (middle <= high)
            to = high + 1;
        else
            from = high + 1;
    }
}

static unsigned char wider_axis(const foci_neighbours *index, size_t from, size_t to) {
    foci_point least = index->places[from], most = least;
    for (size_t i = from + 1; i < to; i++) {
        least.x = fmin(least.x, index->places[i].x);
        least.y = fmin(least.y, index->places[i].y);
        most.x = fmax(most.x, index->places[i].x);
        most.y = fmax(most.y, index->places[i].y);
    }
    return most.y - least.y > most.x - least.x;
}

static void build(foci_neighbours *index, size_t from, size_t to) {
    while (to - from > LEAF) {
        size_t middle = from + (to - from) / 2;
        unsigned char axis = wider_axis(index, from, to);
        select_middle(index, from, to, middle, axis);
        index->axis[middle] = axis;
        build(index, from, middle);
        from = middle + 1;
    }
}

bool foci_neighbours_open(foci_neighbours **out, const foci_point *places, size_t count, foci_error *err) {
    foci_neighbours *index = foci_new_array(1, sizeof *index, err);
    if (!index)
        return false;
    index->count = count;
    index->places = foci_new_array(count, sizeof *index->places, err);
    if (!index->places)
        goto done;
    index->order = foci_new_array(count, sizeof *index->order, err);
    if (!index->order)
        goto done;
    index->axis = foci_new_array(count, sizeof *index->axis, err);
    if (!index->axis)
        goto done;
    for (size_t i = 0; i < count; i++) {
        index->places[i] = places[i];
        index->order[i] = i;
    }
    build(index, 0, count);
    *out = index;
    return true;
done:
    foci_neighbours_close(index);
    return false;
}

void foci_neighbours_close(foci_neighbours *index) {
    if (!index)
        return;
    free(index->places);
    free(index->order);
    free(index->axis);
    free(index);
}

/* What one search carries: the nearest so far, as positions in the tree, nearest first. */
typedef struct {
    const foci_neighbours *index;
    foci_point place;
    size_t wanted, skip, count;
    size_t *found;
    double worst; /* squared distance of the last one once `wanted` are found, else infinity */
} search;

static double squared_distance(const search *s, size_t position) {
    double dx = s->index->places[position].x - s->place.x;
    double dy = s->index->places[position].y - s->place.y;
    return dx * dx + dy * dy;
}

/* Puts a stop into its place in the list where it belongs there. */
static void offer(search *s, size_t position) {
    size_t stop = s->index->order[position];
    double squared = squared_distance(s, position);
    if (squared > s->worst || stop == s->skip)
        return;
    size_t low = 0, high = s->count;
    while (low < high) {
        size_t middle = (low + high) / 2;
        double other = squared_distance(s, s->found[middle]);
        if (other < squared || (other == squared && s->index->order[s->found[middle]] < stop))
            low = middle + 1;
        else
            high = middle;
    }
    if (low == s->wanted)
        return;
    size_t kept = s->count < s->wanted ? s->count : s->wanted - 1;
    memmove(s->found + low + 1, s->found + low, (kept - low) * sizeof *s->found);
    s->found[low] = position;
    s->count = kept + 1;
    if (s->count == s->wanted)
        s->worst = squared_distance(s, s->found[s->wanted - 1]);
}

static void visit(search *s, size_t from, size_t to) {
    while (to - from > LEAF) {
        size_t middle = from + (to - from) / 2;
        unsigned char axis = s->index->axis[middle];
        double beyond = along(s->place, axis) - along(s->index->places[middle], axis);
        bool left = beyond < 0;
        visit(s, left ? from : middle + 1, left ? middle : to);
        offer(s, middle);
        if (beyond * beyond > s->worst)
            return;
        if (left)
            from = middle + 1;
        else
            to = middle;
    }
    for (size_t i = from; i < to; i++)
        offer(s, i);
}

size_t foci_neighbours_find(const foci_neighbours *index, foci_point place, size_t wanted, size_t skip, size_t *found) {
    if (wanted == 0)
        return 0;
    search s = {index, place, wanted, skip, 0, found, INFINITY};
    visit(&s, 0, index->count);
    for (size_t i = 0; i < s.count; i++)
        found[i] = index->order[found[i]];
    return s.count;
}
