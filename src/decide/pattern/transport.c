#include "decide/pattern/transport.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

/* The primal network simplex (Dantzig 1951; Cunningham 1976, Mathematical Programming 11:105-116: a strongly feasible
 * tree never cycles; Ahuja, Magnanti & Orlin 1993, Network Flows, chapter 11). The basis is a tree that hangs from an
 * artificial root. Each stop knows the arc to its parent. An arc from i to j costs distance - price_i + price_j beyond
 * what the tree charges; that is 0 for the tree's own arcs. */
enum { NOBODY = -1 };

typedef struct {
    int parent, depth;
    int first_child, next, previous; /* siblings, so that a whole branch can be walked */
    bool sends;                      /* the arc leads from here to the parent */
    int64_t flow;                    /* on that arc */
    double length;                   /* of that arc */
    double price;
} branch;

struct foci_transport {
    int count;
    double *distances;                        /* count x count */
    double *costs;                            /* sinks x sources, a row per sink */
    double *prices;                           /* of the sources, beside each other for the search */
    branch *tree;                             /* count, and the root */
    int *sources, *sinks, *source_at, *stack; /* source_at: a stop's place among the sources */
    int source_count, sink_count;
    double artificial; /* length of an arc to the root: longer than any way round */
};

bool foci_transport_open(foci_transport **out, const foci_point *places, size_t count, foci_error *err) {
    foci_transport *work = foci_new_array(1, sizeof *work, err);
    if (!work)
        return false;
    work->count = (int)count;
    if (!(work->distances = foci_new_array(count * count, sizeof *work->distances, err)) ||
        !(work->costs = foci_new_array(count * count, sizeof *work->costs, err)) ||
        !(work->prices = foci_new_array(count, sizeof *work->prices, err)) ||
        !(work->tree = foci_new_array(count + 1, sizeof *work->tree, err)) ||
        !(work->sources = foci_new_array(count, sizeof *work->sources, err)) ||
        !(work->sinks = foci_new_array(count, sizeof *work->sinks, err)) ||
        !(work->source_at = foci_new_array(count, sizeof *work->source_at, err)) ||
        !(work->stack = foci_new_array(count + 1, sizeof *work->stack, err))) {
        foci_transport_close(work);
        return false;
    }
    double longest = 0;
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++) {
            double distance = hypot(places[i].x - places[j].x, places[i].y - places[j].y);
            work->distances[i * count + j] = distance;
            longest = fmax(longest, distance);
        }
    work->artificial = (double)(count + 1) * longest + 1;
    *out = work;
    return true;
}

void foci_transport_close(foci_transport *work) {
    if (!work)
        return;
    free(work->distances);
    free(work->costs);
    free(work->prices);
    free(work->tree);
    free(work->sources);
    free(work->sinks);
    free(work->source_at);
    free(work->stack);
    free(work);
}

/* ---- the tree ---- */

static void detach(branch *tree, int node) {
    branch *b = &tree[node];
    if (b->previous == NOBODY)
        tree[b->parent].first_child = b->next;
    else
        tree[b->previous].next = b->next;
    if (b->next != NOBODY)
        tree[b->next].previous = b->previous;
}

static void attach(branch *tree, int node, int parent) {
    branch *b = &tree[node];
    b->parent = parent;
    b->previous = NOBODY;
    b->next = tree[parent].first_child;
    if (b->next != NOBODY)
        tree[b->next].previous = node;
    tree[parent].first_child = node;
}

/* Every stop hangs from the root and sends it what it has, or takes what it lacks. */
static void plant(foci_transport *work, const int64_t *parts, const size_t *order) {
    int root = work->count;
    work->tree[root] = (branch){.parent = NOBODY, .first_child = NOBODY, .next = NOBODY, .previous = NOBODY};
    work->source_count = work->sink_count = 0;
    for (int i = 0; i < work->count; i++) {
        int64_t has = parts[order ? order[i] : (size_t)i];
        if (has == 0)
            continue;
        bool sends = has > 0;
        work->tree[i] = (branch){.depth = 1,
                                 .first_child = NOBODY,
                                 .sends = sends,
                                 .flow = sends ? has : -has,
                                 .length = work->artificial,
                                 .price = sends ? work->artificial : -work->artificial};
        attach(work->tree, i, root);
        if (sends) {
            work->prices[work->source_count] = work->artificial;
            work->source_at[i] = work->source_count;
            work->sources[work->source_count++] = i;
        } else {
            work->source_at[i] = NOBODY;
            work->sinks[work->sink_count++] = i;
        }
    }
    for (int s = 0; s < work->sink_count; s++)
        for (int i = 0; i < work->source_count; i++)
            work->costs[(size_t)s * (size_t)work->source_count + (size_t)i] =
                work->distances[(size_t)work->sources[i] * (size_t)work->count + (size_t)work->sinks[s]];
}

/* ---- one pivot ---- */

/* The arc that saves most into this sink, or NOBODY. */
static int cheapest_source(const foci_transport *work, int sink, double *saving) {
    const double *costs = work->costs + (size_t)sink * (size_t)work->source_count;
    double price = work->tree[work->sinks[sink]].price, tolerance = 1e-12 * work->artificial;
    double least = -tolerance - price;
    int best = NOBODY;
    for (int i = 0; i < work->source_count; i++) {
        double cost = costs[i] - work->prices[i];
        if (cost < least) {
            least = cost;
            best = i;
        }
    }
    *saving = least + price;
    return best;
}

static int meeting_place(const branch *tree, int a, int b) {
    while (a != b)
        if (tree[a].depth >= tree[b].depth)
            a = tree[a].parent;
        else
            b = tree[b].parent;
    return a;
}

typedef struct {
    int from, to;   /* the arc that enters */
    int leaving;    /* the stop whose arc to its parent leaves */
    bool on_from;   /* it lies between `from` and the meeting place */
    int64_t amount; /* moved round the cycle */
} pivot;

/* Round the cycle, from the meeting place down to `from`, over the new arc and up again, the last arc that blocks
 * leaves: this keeps the tree strongly feasible. */
static pivot choose_leaving(const branch *tree, int from, int to, int meeting) {
    pivot p = {.from = from, .to = to, .leaving = NOBODY, .amount = INT64_MAX};
    for (int node = from; node != meeting; node = tree[node].parent)
        if (tree[node].sends && tree[node].flow < p.amount) {
            p.amount = tree[node].flow;
            p.leaving = node;
            p.on_from = true;
        }
    for (int node = to; node != meeting; node = tree[node].parent)
        if (!tree[node].sends && tree[node].flow <= p.amount) {
            p.amount = tree[node].flow;
            p.leaving = node;
            p.on_from = false;
        }
    return p;
}

static void move_round(branch *tree, const pivot *p, int meeting) {
    for (int node = p->from; node != meeting; node = tree[node].parent)
        tree[node].flow += tree[node].sends ? -p->amount : p->amount;
    for (int node = p->to; node != meeting; node = tree[node].parent)
        tree[node].flow += tree[node].sends ? p->amount : -p->amount;
}

/* The cut-off branch is hung up by the other end: every arc from there to the leaving one turns its child and parent.
 */
static void hang_over(branch *tree, const pivot *p, double length) {
    int node = p->on_from ? p->from : p->to, parent = p->on_from ? p->to : p->from;
    bool sends = p->on_from;
    int64_t flow = p->amount;
    for (;;) {
        branch old = tree[node];
        detach(tree, node);
        attach(tree, node, parent);
        tree[node].sends = sends;
        tree[node].flow = flow;
        tree[node].length = length;
        if (node == p->leaving)
            return;
        sends = !old.sends;
        flow = old.flow;
        length = old.length;
        parent = node;
        node = old.parent;
    }
}

/* Depths and prices of a branch that was hung over. */
static void reprice(foci_transport *work, int top, double change) {
    branch *tree = work->tree;
    int waiting = 0;
    work->stack[waiting++] = top;
    while (waiting > 0) {
        int node = work->stack[--waiting];
        branch *b = &tree[node];
        b->depth = tree[b->parent].depth + 1;
        b->price += change;
        if (work->source_at[node] != NOBODY)
            work->prices[work->source_at[node]] = b->price;
        for (int child = b->first_child; child != NOBODY; child = tree[child].next)
            work->stack[waiting++] = child;
    }
}

static void turn_cycle(foci_transport *work, int source, int sink, double saving) {
    int from = work->sources[source], to = work->sinks[sink];
    double length = work->costs[(size_t)sink * (size_t)work->source_count + (size_t)source];
    int meeting = meeting_place(work->tree, from, to);
    pivot p = choose_leaving(work->tree, from, to, meeting);
    move_round(work->tree, &p, meeting);
    hang_over(work->tree, &p, length);
    reprice(work, p.on_from ? from : to, p.on_from ? saving : -saving);
}

/* ---- the whole ---- */

static double moved(const foci_transport *work) {
    double sum = 0;
    for (int i = 0; i < work->source_count; i++)
        sum += (double)work->tree[work->sources[i]].flow * work->tree[work->sources[i]].length;
    for (int s = 0; s < work->sink_count; s++)
        sum += (double)work->tree[work->sinks[s]].flow * work->tree[work->sinks[s]].length;
    return sum;
}

/* Sinks take turns: one that is searched until nothing is saved there takes what the next ones then win back. */
double foci_transport_cost(foci_transport *work, const int64_t *parts, const size_t *order) {
    plant(work, parts, order);
    for (int sink = 0, clean = 0; clean < work->sink_count; sink = sink + 1 == work->sink_count ? 0 : sink + 1) {
        double saving = 0;
        const int source = cheapest_source(work, sink, &saving);
        clean = source == NOBODY ? clean + 1 : 0;
        if (source != NOBODY)
            turn_cycle(work, source, sink, saving);
    }
    return moved(work);
}
