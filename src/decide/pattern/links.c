#include "decide/pattern/links.h"

#include <stdlib.h>

#include "base/memory.h"

enum { LINKS_MOST = 8000000 }; /* two a pair */

static bool are_near(foci_point a, foci_point b, double band) {
    double dx = a.x - b.x, dy = a.y - b.y;
    return dx * dx + dy * dy <= band * band;
}

/* Counts into first[i + 1], then runs up. */
static bool count_links(foci_links *links, const foci_point *places, double band, foci_error *err) {
    size_t count = links->count;
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < i; j++)
            if (are_near(places[i], places[j], band)) {
                links->first[i + 1]++;
                links->first[j + 1]++;
            }
    for (size_t i = 0; i < count; i++)
        links->first[i + 1] += links->first[i];
    if (links->first[count] > LINKS_MOST)
        return foci_fail(err, FOCI_BAD_SETTING, "{band}", 0,
                         "within %g m of each other lie %zu pairs of stops; give a distance that leaves fewer than %d",
                         band, links->first[count] / 2, LINKS_MOST / 2);
    return true;
}

bool foci_links_make(foci_links *out, const foci_point *places, size_t count, double band, foci_error *err) {
    foci_links links = {.count = count};
    bool ok = false;
    links.first = foci_new_array(count + 1, sizeof *links.first, err);
    if (!links.first || !count_links(&links, places, band, err))
        goto done;
    links.to = foci_new_array(links.first[count], sizeof *links.to, err);
    if (!links.to)
        goto done;
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0, k = links.first[i]; k < links.first[i + 1]; j++)
            if (j != i && are_near(places[i], places[j], band))
                links.to[k++] = j;
    *out = links;
    links = (foci_links){0};
    ok = true;
done:
    foci_links_free(&links);
    return ok;
}

void foci_links_free(foci_links *links) {
    free(links->first);
    free(links->to);
    free(links->weights);
    *links = (foci_links){0};
}

double foci_links_weight(const foci_links *links, size_t k) {
    return links->weights ? links->weights[k] : 1;
}

size_t foci_links_isolated(const foci_links *links) {
    size_t isolated = 0;
    for (size_t i = 0; i < links->count; i++)
        isolated += links->first[i] == links->first[i + 1];
    return isolated;
}

static double weight_between(const foci_links *links, size_t from, size_t to) {
    for (size_t k = links->first[from]; k < links->first[from + 1]; k++)
        if (links->to[k] == to)
            return foci_links_weight(links, k);
    return 0;
}

bool foci_links_sum(foci_links_sums *out, const foci_links *links, foci_error *err) {
    foci_links_sums sums = {0};
    double *both = foci_new_array(links->count, sizeof *both, err); /* out of and into each stop */
    if (!both)
        return false;
    for (size_t i = 0; i < links->count; i++)
        for (size_t k = links->first[i]; k < links->first[i + 1]; k++) {
            double weight = foci_links_weight(links, k);
            double pair = weight + (links->weights ? weight_between(links, links->to[k], i) : weight);
            sums.s0 += weight;
            sums.s1 += pair * pair / 2;
            both[i] += weight;
            both[links->to[k]] += weight;
        }
    for (size_t i = 0; i < links->count; i++)
        sums.s2 += both[i] * both[i];
    free(both);
    *out = sums;
    return true;
}
